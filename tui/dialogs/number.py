"""A reel's number, typed or scanned, with the verdicts of the reels it may be."""

from __future__ import annotations

from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from stock.core.label_code import number_read
from stock.desk.shelf import ShelfQuery, ShelfRow
from stock.edge.visible import safe
from tui.keys import key_binding
from tui.present.listing import row_words
from tui.widgets.typed import Typed
from tui.work import WorkingModal

_MOST = 8


class NumberDialog(WorkingModal[str]):
    """Gives the number of a reel there is, or None. do_it: what is done with it, in words."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    NumberDialog #box { width: 70; height: auto; padding: 1 2; background: $surface; }
    NumberDialog Typed { margin: 1 0 0 0; }
    NumberDialog OptionList { height: auto; max-height: 8; margin-top: 1; background: $surface; }
    NumberDialog OptionList { scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    NumberDialog #error { color: $error; height: auto; display: none; }
    NumberDialog.-wrong #error { display: block; }
    NumberDialog #buttons { height: 1; margin-top: 1; }
    NumberDialog Button { margin-right: 2; }
    """

    def __init__(self, do_it: str) -> None:
        super().__init__()
        self._do_it = do_it

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("Which reel?  Type its number, or scan its label.")
            yield Typed(id="number")
            yield Static("", id="error")
            yield OptionList(id="found", compact=True)
            with Horizontal(id="buttons"):
                yield Button(f"Enter {self._do_it}", id="do_it", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one(Typed).focus()

    def take_scan(self, number: str) -> bool:
        """Take the number of a label scanned."""
        with self.prevent(Typed.Changed):
            self.query_one(Typed).value = number
        self._find(number, enter=True)
        return True

    @on(Typed.Changed)
    def _typed(self, message: Typed.Changed) -> None:
        self._find(message.value)

    def _find(self, typed: str, *, enter: bool = False) -> None:
        """List the reels that may be meant. enter: and take the one that is."""
        number = number_read(typed).strip()
        shelf = self.shelf

        def work() -> tuple[str, list[ShelfRow]]:
            exact = shelf.id_of(number) if number else None
            ids = shelf.find(ShelfQuery(words=number))[:_MOST] if number else []
            ids = [*([exact] if exact is not None else []), *(each for each in ids if each != exact)]
            return number, shelf.rows(ids[:_MOST])

        def show(found: tuple[str, list[ShelfRow]]) -> None:
            self._show(*found)
            if enter:
                self._take(*found)

        self.ask(work, show, group="find")

    def _show(self, number: str, rows: list[ShelfRow]) -> None:
        self.remove_class("-wrong")
        options = self.query_one(OptionList)
        options.clear_options()
        options.add_options(Option(Content(safe(row_words(row))), id=row.reel) for row in rows)
        options.highlighted = 0 if rows else None

    def _take(self, number: str, rows: list[ShelfRow]) -> None:
        """Take the reel of that number; where there is none, the only one found."""
        exact = [row.reel for row in rows if row.reel.casefold() == number.casefold()]
        if exact or len(rows) == 1:
            self.dismiss(exact[0] if exact else rows[0].reel)
            return
        says = "Several reels may be meant: pick one." if rows else f"There is no reel {number}."
        self.query_one("#error", Static).update(Content(safe(says if number else "Type the number on the reel.")))
        self.add_class("-wrong")

    @on(Typed.Submitted)
    @on(Button.Pressed, "#do_it")
    def _enter(self) -> None:
        options = self.query_one(OptionList)
        if self._pointed and options.highlighted is not None:
            self.dismiss(options.get_option_at_index(options.highlighted).id)
        else:
            self._find(self.query_one(Typed).value, enter=True)

    _pointed = False
    """Whether somebody walked to a reel in the list: then that one is meant."""

    @on(OptionList.OptionSelected)
    def _selected(self, message: OptionList.OptionSelected) -> None:
        self.dismiss(message.option_id)

    def on_key(self, event: events.Key) -> None:
        """The arrow keys walk the list while the number is typed."""
        if event.key in ("up", "down") and self.query_one(Typed).has_focus:
            event.stop()
            options = self.query_one(OptionList)
            if self._pointed:
                (options.action_cursor_up if event.key == "up" else options.action_cursor_down)()
            self._pointed = options.option_count > 0
        elif event.is_printable or event.key == "backspace":
            self._pointed = False

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
