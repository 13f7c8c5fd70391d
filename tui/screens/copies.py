"""Copies: the transfers that wait for proof, and the copies that are due to be read again."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from stock.desk.fixity import Reread, read_due
from stock.desk.listening import ToHear, to_hear
from stock.desk.proving import DueCopy, due
from stock.desk.waiting import Waiting, waiting
from tui.dialogs.listen import ListenDialog
from tui.dialogs.report import ReportDialog
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.present.copies import due_line, rereads_lines, waiting_detail, waiting_line
from tui.present.line import Line, clip, text_of
from tui.reading import ReadingScreen
from tui.screens.proving import CopyAsked, ProvingScreen, asked_of
from tui.widgets.inked import inked
from tui.widgets.lines import KeyLine
from tui.widgets.page import Page
from tui.widgets.rows_list import RowsList


class CopiesScreen(ReadingScreen[None], PlaceScreen):
    """Two lists; what is under the cursor is told in full below them."""

    BINDINGS: ClassVar = [*bindings("copies"), key_binding("back")]
    CSS = """
    CopiesScreen .heading { height: 1; padding: 0 1; text-style: bold; }
    CopiesScreen OptionList { height: 1fr; min-height: 3; border: none; padding: 0; background: $background; }
    CopiesScreen OptionList { scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    CopiesScreen OptionList:focus { border: none; }
    CopiesScreen #due_heading { margin-top: 1; }
    CopiesScreen Page { height: auto; min-height: 4; max-height: 8; padding: 0 1; background: $surface; margin-top: 1; }
    CopiesScreen #progress { height: auto; padding: 0 1; color: $accent; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._waiting: list[Waiting] = []
        self._due: list[DueCopy] = []
        self._busy = False

    def compose(self) -> ComposeResult:
        yield PlaceLine("copies")
        yield Static("Transfers that wait for proof", id="waiting_heading", classes="heading")
        yield RowsList(id="waiting", compact=True)
        yield Static("Copies due to be read again", id="due_heading", classes="heading")
        yield RowsList(id="due", compact=True)
        yield Static("", id="progress")
        detail = Page(id="detail")
        detail.can_focus = False
        yield detail
        yield KeyLine("copies", back=True)

    def opened(self) -> None:
        self.query_one("#waiting").focus()
        self.work_out()
        self.keep_watch()

    def on_resize(self) -> None:
        self._fill()

    # reading the record

    def work_out(self) -> None:
        """List anew what waits and what is due."""
        self.read(lambda: (waiting(self.desk), due(self.desk)), self._show)

    def anew(self) -> None:
        self.work_out()

    @property
    def holds_still(self) -> bool:
        return self._busy

    def _show(self, read: tuple[list[Waiting], list[DueCopy]]) -> None:
        self._waiting, self._due = read
        for name, what, rows in (
            ("waiting", "Transfers that wait for proof", self._waiting),
            ("due", "Copies due to be read again", self._due),
        ):
            self.query_one(f"#{name}_heading", Static).update(f"{what}: {len(rows) or 'none'}")
        self._fill()

    def _fill(self) -> None:
        width = max(self.size.width - 3, 20)
        lines = {"waiting": [*map(waiting_line, self._waiting)], "due": [*map(due_line, self._due)]}
        for name, rows in lines.items():
            options = self.query_one(f"#{name}", RowsList)
            options.uncut = [text_of(line) for line in rows]
            at = options.highlighted
            options.clear_options()
            options.add_options(Option(inked(clip(line, width))) for line in rows)
            options.highlighted = min(at or 0, len(rows) - 1) if rows else None
        self._tell()

    # what is under the cursor

    @property
    def _on_due(self) -> bool:
        return self.query_one("#due").has_focus

    def _chosen(self) -> Waiting | DueCopy | None:
        rows: list[Waiting] | list[DueCopy] = self._due if self._on_due else self._waiting
        at = self.query_one("#due" if self._on_due else "#waiting", OptionList).highlighted
        return rows[at] if at is not None and at < len(rows) else None

    def on_descendant_focus(self) -> None:
        self._tell()

    @on(OptionList.OptionHighlighted)
    def _tell(self) -> None:
        row = self._chosen()
        detail: list[Line] = []
        if isinstance(row, Waiting):
            detail = waiting_detail(row)
        elif isinstance(row, DueCopy):
            detail = [due_line(row)]
        self.query_one("#detail", Page).show(detail)

    @on(OptionList.OptionSelected)
    def action_open_copy(self) -> None:
        """Do what would help the transfer under the cursor most, or read the copy under it."""
        row = self._chosen()
        if self._busy:
            return
        if isinstance(row, Waiting):
            if row.action is not None and row.action.code == "listen":
                self.action_listen()
            else:
                self.app.push_screen(ProvingScreen(asked_of(row.state, row.action)), self._left)
        elif isinstance(row, DueCopy):
            asked = CopyAsked(row.transfer, row.copy, row.medium, row.place, row.folder or "")
            self.app.push_screen(ProvingScreen(asked), self._left)

    def _left(self, _: object) -> None:
        self.work_out()

    def action_listen(self) -> None:
        """Enter that somebody has heard the files of the transfer under the cursor."""
        row, desk = self._chosen(), self.desk
        if row is not None and not self._busy:
            name = row.transfer
            self.ask(lambda: to_hear(desk, name), self._ask_listen)

    def _ask_listen(self, asked: ToHear) -> None:
        self.app.push_screen(ListenDialog(asked), self._left)

    # reading all that are due

    def action_read_due(self) -> None:
        """Read every copy that is due and can be reached, one after another."""
        if self._busy:
            return
        if not any(row.here for row in self._due):
            media = ", ".join(dict.fromkeys(row.medium for row in self._due))
            says = f"No copy that is due can be reached; mount: {media}." if media else "No copy is due to be read."
            self.notify(says, markup=False)
            return
        self._busy = True
        self.may_read()
        self.show_progress("looking for the copies …")
        desk = self.desk
        self.ask(
            lambda: list(read_due(desk, told=self.told, stop=self.stopped)), self._read_through, instead=self._broke_off
        )

    def _read_through(self, read: list[Reread]) -> None:
        self._busy = False
        self.query_one("#progress", Static).update("")
        self.app.push_screen(ReportDialog("Copies read again", rereads_lines(read)))
        self.work_out()

    def _broke_off(self, error: BaseException) -> None:
        self._busy = False
        self.query_one("#progress", Static).update("")
        self.trouble(error)
        self.work_out()

    def show_progress(self, words: str) -> None:
        if self._busy:
            self.query_one("#progress", Static).update(Content(f"{words}   Esc stops it"))

    async def action_back(self) -> None:
        """Stop a reading that is under way; else leave."""
        if self._busy and not self.stopped():
            self.stop_reading()
        else:
            await self.leave()
