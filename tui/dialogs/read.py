"""All that is known of the place under the map's cursor, in full."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Button

from tui.keys import key_binding
from tui.present.readout import Said
from tui.widgets.heading import Lines
from tui.work import WorkingModal


class ReadPlace(WorkingModal[None]):
    """Shows a readout with nothing cut off."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    ReadPlace #box { width: 90%; height: auto; max-height: 90%; padding: 1 2; background: $surface; }
    ReadPlace VerticalScroll { height: auto; max-height: 16; margin-bottom: 1; }
    """

    def __init__(self, said: Sequence[Said]) -> None:
        super().__init__()
        self._said = said

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            with VerticalScroll():
                yield Lines(id="said", labels=True)
            yield Button("Esc Close", compact=True)

    def on_mount(self) -> None:
        self.query_one("#said", Lines).show([line.pieces for line in self._said], [line.label for line in self._said])
        self.query_one(VerticalScroll).focus()

    @on(Button.Pressed)
    def action_back(self) -> None:
        self.dismiss(None)
