"""Go to a place on the tape, typed as people say it."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge.clock import place
from stock.edge.problems import CellError
from stock.edge.visible import safe
from tui.keys import key_binding
from tui.present.places import PlaceError, reel_place
from tui.present.tape import Tape
from tui.widgets.typed import Typed
from tui.work import WorkingModal


class GoTo(WorkingModal[int]):
    """Asks for a place; gives it in tenths of a millimetre from the head. speed: micrometres per second."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    GoTo #box { width: 60; height: auto; padding: 1 2; background: $surface; }
    GoTo Typed { margin: 1 0 0 0; }
    GoTo .quiet { color: $quiet; }
    GoTo .error { color: $error; height: auto; }
    GoTo #buttons { height: 1; margin-top: 1; }
    GoTo Button { margin-right: 2; }
    """

    def __init__(self, tape: Tape, speed: int) -> None:
        super().__init__()
        self._tape = tape
        self._speed = speed

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("Go to which place?")
            yield Static("12:40 by the counter, 475 ft from the head, or a timecode", classes="quiet")
            yield Typed(id="place")
            yield Static("", classes="error", id="error")
            with Horizontal(id="buttons"):
                yield Button("Go", id="go", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    @on(Typed.Submitted)
    @on(Button.Pressed, "#go")
    def _go(self) -> None:
        typed = self.query_one(Typed).value
        try:
            found = reel_place(place(typed.strip()), self._tape, self._speed)
        except (CellError, PlaceError) as error:
            self.query_one("#error", Static).update(Content(safe(str(error))))
            self.query_one(Typed).focus()
            return
        self.dismiss(found)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
