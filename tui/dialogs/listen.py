"""The guided listen of a transfer's files: head, middle and end, every track, then the entry."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.core.words import clock
from stock.desk.desk import Receipt
from stock.desk.errors import CannotEnter
from stock.desk.listening import ToHear, heard
from stock.edge.visible import safe
from tui.keys import bindings, key_binding
from tui.widgets.form_row import FormRow
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed
from tui.work import WorkingModal

_TICKS = ("head", "middle", "end", "tracks")


class ListenDialog(WorkingModal[int]):
    """Gives the entry of the listen, or None. Each of its four ticks is made by hand; only all of them are a listen."""

    BINDINGS: ClassVar = [*bindings("listen"), key_binding("back")]
    CSS = """
    ListenDialog #box { width: 76; height: auto; max-height: 96%; padding: 1 2; background: $surface; }
    ListenDialog .quiet { color: $quiet; height: auto; margin-bottom: 1; }
    ListenDialog #names { color: $quiet; height: auto; max-height: 6; padding-left: 4; margin-bottom: 1; }
    ListenDialog #error { color: $error; height: auto; }
    ListenDialog .label { width: 8; }
    ListenDialog FormRow Typed { width: 1fr; margin: 0; }
    ListenDialog #buttons { height: 1; margin-top: 1; }
    ListenDialog Button { margin-right: 2; }
    """

    def __init__(self, asked: ToHear) -> None:
        super().__init__()
        self._asked = asked
        self._busy = False

    def compose(self) -> ComposeResult:
        asked = self._asked
        with Vertical(id="box"):
            yield Static(Content.assemble(("Listen to the files of ", ""), (safe(asked.transfer), "bold")))
            yield Static(
                Content(
                    f"Hashes prove files, not a good transfer. Heard by {safe(self.desk.who)}, who is named for it."
                ),
                classes="quiet",
            )
            for name, at_us in zip(_TICKS, asked.places_us, strict=False):
                yield Tick(f"{name}, from {clock(at_us)}", id=f"tick_{name}")
            count = len(asked.tracks)
            yield Tick("the one track" if count == 1 else f"each of the {count} tracks", id="tick_tracks")
            yield Static(
                Content(", ".join(safe(f"{number} {name}".strip()) for number, name in asked.tracks)), id="names"
            )
            yield FormRow("note", "note", example="what was noticed")
            yield Static("", id="error")
            with Horizontal(id="buttons"):
                yield Button("F2 It was heard", id="heard", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#tick_head").focus()

    @on(Button.Pressed, "#heard")
    def action_heard(self) -> None:
        """Enter the listen, if all of it was heard; twice at once is once."""
        if self._busy:
            return
        unheard = [name for name in _TICKS if not self.query_one(f"#tick_{name}", Tick).value]
        if unheard:
            self._complain(f"not ticked yet: {', '.join(unheard)}")
            return
        self._busy = True
        desk, asked, note = self.desk, self._asked, self.query_one("#note", Typed).value.strip()
        self.ask(lambda: heard(desk, asked, note), self._done, instead=self._refused)

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(receipt.entries[0])

    def _refused(self, error: BaseException) -> None:
        self._busy = False
        self._complain("; ".join(p.says for p in error.problems) if isinstance(error, CannotEnter) else str(error))

    def _complain(self, words: str) -> None:
        self.query_one("#error", Static).update(Content(safe(words)))

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
