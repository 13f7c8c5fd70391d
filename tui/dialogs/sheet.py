"""A sheet of labelled lines to read: what is left to do, or all that is known of a place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge.visible import safe
from tui.keys import key_binding
from tui.present.sheet import SheetLine
from tui.work import WorkingModal

_TONES = {"yes": "$success", "no": "$error", "doubt": "$warning", "quiet": "$quiet", "plain": "$foreground"}
_SIGNS = {"no": "\u2717 ", "doubt": "? "}


class Sheet(WorkingModal[None]):
    """Shows the lines, nothing cut off. title: what they are about."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    Sheet #box { width: 96%; max-width: 100; height: auto; max-height: 100%; padding: 1 2; background: $surface; }
    Sheet #title { text-style: bold; margin-bottom: 1; height: auto; }
    Sheet VerticalScroll { height: auto; margin-bottom: 1; scrollbar-size-vertical: 1; }
    Sheet .line { layout: horizontal; height: auto; }
    Sheet .label { width: 15; color: $quiet; height: auto; }
    Sheet .says { width: 1fr; height: auto; }
    Sheet Button { margin-right: 2; }
    """

    def __init__(self, title: str, lines: Sequence[SheetLine]) -> None:
        super().__init__()
        self._title = title
        self._lines = lines

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(self._title)), id="title")
            with VerticalScroll():
                for line in self._lines:
                    with Vertical(classes="line"):
                        yield Static(Content(safe(line.label)), classes="label")
                        says = Content(_SIGNS.get(line.weight, "") + safe(line.says))
                        yield Static(says.stylize(_TONES[line.weight]), classes="says")
            yield Button("Esc Close", compact=True)

    def on_mount(self) -> None:
        self._fit()
        self.query_one(VerticalScroll).focus()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        """Leave room for the title, the button and the space around them."""
        self.query_one(VerticalScroll).styles.max_height = max(self.size.height - 7, 3)

    @on(Button.Pressed)
    def action_back(self) -> None:
        self.dismiss(None)
