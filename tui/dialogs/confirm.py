"""A question answered by a button that is not under the finger already."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge.visible import safe
from tui.keys import key_binding
from tui.work import WorkingModal


class Confirm(WorkingModal[bool]):
    """Asks before something is entered. The cursor stands on the way out, so that a stray Enter enters nothing."""

    BINDINGS: ClassVar = [key_binding("back")]
    DEFAULT_CSS = """
    Confirm #box { width: 64; height: auto; padding: 1 2; background: $surface; }
    Confirm #buttons { height: 1; margin-top: 1; }
    Confirm Button { margin-right: 2; }
    """

    def __init__(self, question: str, do_it: str) -> None:
        super().__init__()
        self._question = question
        self._do_it = do_it

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(self._question)))
            with Horizontal(id="buttons"):
                yield Button("Esc Leave it", id="leave", compact=True)
                yield Button(self._do_it, id="do_it", variant="primary", compact=True)

    def on_mount(self) -> None:
        self.query_one("#leave", Button).focus()

    @on(Button.Pressed, "#do_it")
    def _yes(self) -> None:
        self.dismiss(True)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(False)
