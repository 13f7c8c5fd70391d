"""Take entries back: the newest of one's own, or one of a history. What it would change is seen before it is done."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar
from zoneinfo import ZoneInfo

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from stock.desk.errors import CannotEnter
from stock.edge.visible import safe
from tui.keys import bindings, key_binding
from tui.present.line import Piece
from tui.present.take_back import own_line, undo_lines
from tui.widgets.act import Act
from tui.widgets.heading import Lines
from tui.widgets.inked import inked
from tui.widgets.typed import Typed
from tui.work import WorkingModal

if TYPE_CHECKING:
    from stock.desk.desk import Receipt
    from stock.desk.undoing import Own, UndoSeen


class TakeBack(WorkingModal[int]):
    """Gives the first void entered, or None. entry: the one to take back; None offers the newest of one's own.

    F2 before it is worked out what would change waits for that, and does it only where no answer would be looser.
    """

    BINDINGS: ClassVar = [*bindings("taking back"), key_binding("back")]
    CSS = """
    TakeBack #box { width: 92%; max-width: 100; height: auto; max-height: 100%; padding: 1 2; background: $surface; }
    TakeBack OptionList { height: auto; max-height: 6; background: $surface; border: none; padding: 0; margin-top: 1; }
    TakeBack OptionList { scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    TakeBack OptionList > .option-list--option-highlighted { background: $panel; color: $foreground; }
    TakeBack VerticalScroll { height: auto; max-height: 8; margin: 1 0; scrollbar-size-vertical: 1; }
    TakeBack .why { height: 1; }
    TakeBack .why Static { width: 6; color: $quiet; }
    TakeBack .why Typed { width: 1fr; }
    TakeBack #error { color: $error; height: auto; display: none; }
    TakeBack #error.-shown { display: block; }
    TakeBack #buttons { height: 1; margin-top: 1; }
    TakeBack Button { margin-right: 2; }
    """

    def __init__(self, entry: int | None = None) -> None:
        super().__init__()
        self._entry = entry
        self._owns: list[Own] = []
        self._seen: UndoSeen | None = None
        self._wanted = self._busy = False

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(
                Content.assemble(
                    ("Take back?", "bold"), ("   It stays in the record, struck, with the reason.", "$quiet")
                )
            )
            yield OptionList(id="own", compact=True)
            with VerticalScroll(can_focus=False):
                yield Lines(id="change")
            with Horizontal(classes="why"):
                yield Static("why")
                yield Typed("entered by mistake", id="why")
            yield Static("", id="error")
            with Horizontal(id="buttons"):
                yield Act("F2 Take it back", id="do_it", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#change", Lines).one_line_each = False
        self.query_one(OptionList).focus()
        self._read()
        self.keep_watch()

    def _read(self) -> None:
        from stock.desk.undoing import one_entry, own_entries

        desk, entry = self.desk, self._entry

        def read() -> tuple[list[Own], ZoneInfo]:
            owns = own_entries(desk) if entry is None else [one_entry(desk, entry)]
            return owns, desk.context().calendar.zone

        self.read(read, self._offer)

    def anew(self) -> None:
        self._read()

    @property
    def holds_still(self) -> bool:
        return self._busy

    def _offer(self, found: tuple[list[Own], ZoneInfo]) -> None:
        """List what there is; what the cursor stood on keeps it."""
        options = self.query_one(OptionList)
        before = self._own
        self._owns, zone = found
        options.clear_options()
        options.add_options(Option(inked(own_line(own, zone))) for own in self._owns)
        kept = next((n for n, own in enumerate(self._owns) if before and own.entries == before.entries), None)
        if before is not None and kept is None:
            # what was looked at is gone: a key pressed for it is not taken for another entry
            self._seen, self._wanted = None, False
        options.highlighted = (kept or 0) if self._owns else None
        if not self._owns:
            self._wanted = False
            self.query_one("#change", Lines).say(f"There is nothing that {safe(self.desk.who)} entered.", "quiet")

    @property
    def _own(self) -> Own | None:
        at = self.query_one(OptionList).highlighted
        return self._owns[at] if at is not None and at < len(self._owns) else None

    @on(OptionList.OptionHighlighted)
    def preview(self) -> None:
        """Work out what taking back what is under the cursor would change; nothing is entered."""
        from stock.desk.undoing import UndoSeen, see_undo

        own = self._own
        self._seen = None
        if own is None:
            return
        if own.why_not is not None:
            self._show(UndoSeen(own.entries, own.says, why_not=own.why_not))
            return
        desk, entries = self.desk, own.entries
        self.query_one("#change", Lines).show([(Piece("what it would change is being worked out …", "quiet"),)])
        self.ask(lambda: see_undo(desk, entries), self._show, group="see")

    def _show(self, seen: UndoSeen) -> None:
        self._seen = seen
        self.query_one("#change", Lines).show(undo_lines(seen))
        button = self.query_one(Act)
        button.disabled = seen.why_not is not None
        button.name_it("F2 Take it back all the same" if seen.loosens else "F2 Take it back")
        wanted, self._wanted = self._wanted, False
        if wanted and not seen.loosens:
            self.action_take_it_back()

    @on(OptionList.OptionSelected)
    def _to_reason(self) -> None:
        """Enter in the list goes on to the reason, and takes nothing back."""
        self.query_one("#why", Typed).focus()

    @on(Typed.Submitted)
    @on(Button.Pressed, "#do_it")
    def action_take_it_back(self) -> None:
        """Void what is under the cursor; twice at once is once."""
        from stock.desk.undoing import take_back

        own, seen = self._own, self._seen
        if self._busy:
            return
        if own is None or seen is None:
            self._wanted = True
            return
        if seen.entries != own.entries:
            return
        if seen.why_not is None:
            self._busy = True
            desk, why = self.desk, self.query_one("#why", Typed).value
            self.ask(lambda: take_back(desk, own.entries, why), self._done, instead=self._refused)

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(receipt.entries[0])

    def _refused(self, error: BaseException) -> None:
        self._busy = False
        if not isinstance(error, CannotEnter):
            self.trouble(error)
            return
        said = self.query_one("#error", Static)
        said.update(Content(safe("; ".join(dict.fromkeys(problem.says for problem in error.problems)))))
        said.set_class(True, "-shown")
        self.query_one("#why", Typed).focus()
        self.preview()

    def on_key(self, event: events.Key) -> None:
        """Up and down go from the reason back to the list, and on from it."""
        if event.key in ("up", "down") and isinstance(self.focused, Typed):
            event.stop()
            self.query_one(OptionList).focus()

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
