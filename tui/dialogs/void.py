"""Take an entry back: it is shown, a reason is asked for, and nothing is written before the confirm."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.desk.desk import Receipt
from stock.desk.errors import CannotEnter
from stock.desk.history import HistoryLine
from stock.edge.visible import safe
from tui.keys import key_binding
from tui.present.history import entry_words
from tui.widgets.typed import Typed
from tui.work import WorkingModal


class VoidDialog(WorkingModal[int]):
    """Gives the number of the void entered, or None where nothing was."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    VoidDialog #box { width: 72; height: auto; max-height: 90%; padding: 1 2; background: $surface; }
    VoidDialog #entry { margin: 1 0; max-height: 8; }
    VoidDialog .error { color: $error; height: auto; }
    VoidDialog #buttons { height: 1; margin-top: 1; }
    VoidDialog Button { margin-right: 2; }
    """

    def __init__(self, line: HistoryLine) -> None:
        super().__init__()
        self._line = line
        self._busy = False

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("Take this entry back? It stays in the record, struck.")
            yield Static(Content(entry_words(self._line)), id="entry")
            yield Static("Why was it wrong?")
            yield Typed(id="why")
            yield Static("", classes="error", id="error")
            with Horizontal(id="buttons"):
                yield Button("Void it", id="void", variant="error", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one(Typed).focus()

    @on(Typed.Submitted)
    @on(Button.Pressed, "#void")
    def _void(self) -> None:
        if self._busy:
            return
        self._busy = True
        desk, entry, why = self.desk, self._line.entry, self.query_one(Typed).value
        self.ask(lambda: desk.void(entry, why), self._done, instead=self._refused)

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(receipt.entries[0])

    def _refused(self, error: BaseException) -> None:
        self._busy = False
        if isinstance(error, CannotEnter):
            words = "; ".join(problem.says for problem in error.problems)
            self.query_one("#error", Static).update(Content(safe(words)))
            self.query_one(Typed).focus()
        else:
            self.trouble(error)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
