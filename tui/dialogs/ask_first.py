"""What is said before a take that would do harm: recording over something, or running out of tape."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Static

from stock.core.session import Concern
from stock.edge.visible import safe
from tui.keys import key_binding
from tui.work import WorkingModal


class AskFirst(WorkingModal[bool]):
    """True where it is meant. The cursor stands on the way out, so that a stray Enter or space records nothing."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    AskFirst #box { width: 70; height: auto; max-height: 90%; padding: 1 2; background: $surface; }
    AskFirst #title { text-style: bold; color: $error; }
    AskFirst VerticalScroll { height: auto; max-height: 12; margin: 1 0; }
    AskFirst .asked { color: $foreground; height: auto; }
    AskFirst .said { color: $quiet; height: auto; }
    AskFirst #buttons { height: 1; }
    AskFirst Button { margin-right: 2; }
    """

    def __init__(self, reel: str, concerns: Sequence[Concern]) -> None:
        super().__init__()
        self._reel = reel
        self._concerns = concerns

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(f"Record on {self._reel} all the same?")), id="title")
            with VerticalScroll(can_focus=False):
                for concern in self._concerns:
                    sign, kind = ("\u2717", "asked") if concern.ask else ("-", "said")
                    yield Static(Content(safe(f"{sign} {concern.says}")), classes=kind)
            with Horizontal(id="buttons"):
                yield Button("Esc Leave it", id="leave", compact=True)
                yield Button("Record all the same", id="record", variant="error", compact=True)

    def on_mount(self) -> None:
        self.query_one("#leave", Button).focus()

    @on(Button.Pressed, "#record")
    def _yes(self) -> None:
        self.dismiss(True)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(False)
