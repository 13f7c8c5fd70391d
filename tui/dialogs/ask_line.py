"""One line asked for: a number, a place, a title."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import key_binding
from tui.widgets.typed import Typed


class AskLine(DraftModal[str]):
    """Gives what was typed, stripped, or None where it was left. check: says what is wrong with it, else None.

    form: by which what was typed is kept as a draft; empty where it is too short to be worth it.
    """

    enters_itself = False

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    AskLine #box { width: 64; height: auto; padding: 1 2; background: $surface; }
    AskLine Typed { margin: 1 0 0 0; }
    AskLine .quiet { color: $quiet; height: auto; }
    AskLine .error { color: $error; height: auto; }
    AskLine #buttons { height: 1; margin-top: 1; }
    AskLine Button { margin-right: 2; }
    """

    def __init__(
        self,
        question: str,
        hint: str,
        *,
        typed: str = "",
        do_it: str = "Enter it",
        check: Callable[[str], str | None] = lambda text: None,
        form: str = "",
        about: str = "",
    ) -> None:
        super().__init__()
        self._question = question
        self._hint = hint
        self._typed = typed
        self._do_it = do_it
        self._check = check
        self.form, self.about = form, about

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(self._question)))
            yield Static(Content(safe(self._hint)), classes="quiet")
            yield DraftLine()
            yield Typed(self._typed, id="line")
            yield Static("", classes="error", id="error")
            with Horizontal(id="buttons"):
                yield Button(f"Enter {self._do_it}", id="do_it", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one(Typed).focus()

    @on(Typed.Submitted)
    @on(Button.Pressed, "#do_it")
    def _enter(self) -> None:
        typed = self.query_one(Typed).value.strip()
        wrong = self._check(typed)
        if wrong is None:
            self.dismiss(typed)
            return
        self.query_one("#error", Static).update(Content(safe(wrong)))
        self.query_one(Typed).focus()

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
