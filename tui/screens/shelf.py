"""The reel list: every reel with its verdict, found by typing, kept up with what anybody enters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import on
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Input, Static

from stock.edge.visible import safe
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.present.listing import count_pieces, detail_pieces, empty_words, state_words, working_words
from tui.present.row import REPORT_WIDTH, Piece, columns_for, head_pieces, row_pieces, text_of
from tui.reel_acts import ReelActs
from tui.widgets.lines import KeyLine, VerdictCounts, content_of
from tui.widgets.reel_list import ListHead, ReelList
from tui.widgets.typed import Typed
from tui.work import Mark

if TYPE_CHECKING:
    from stock.desk.shelf import ShelfQuery, ShelfRow
    from tui.app import ReelwardApp

    _Finding = tuple[ShelfQuery, list[int], list[ShelfRow], dict[str, int] | None]

_NEVER: Mark = (-1, -1)
"""What nothing is read from: it is looked again until something is."""

_TOLD_BY = 2_000
"""Verdicts worked out between two looks at how far it is."""


_PAGE = 500
"""Rows read at once for a report."""


class Leaving(Exception):
    """Work is broken off because the program ends."""


class Told(Message):
    """So many verdicts are worked out, of so many."""

    def __init__(self, done: int, total: int) -> None:
        super().__init__()
        self.done = done
        self.total = total


class ShelfScreen(ReelActs, PlaceScreen):
    """The reel list."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar = [*bindings("shelf", "reel list", "reel"), key_binding("back")]
    DEFAULT_CSS = """
    ShelfScreen #search { width: 1fr; height: 1; border: none; padding: 0 1; background: $surface; }
    ShelfScreen #search:focus { background: $panel; }
    ShelfScreen #state { height: 1; padding: 0 1; color: $quiet; text-wrap: nowrap; text-overflow: ellipsis; }
    ShelfScreen #empty { height: 1fr; padding: 2 4; display: none; }
    ShelfScreen.-empty #empty { display: block; }
    ShelfScreen.-empty ReelList, ShelfScreen.-opening ReelList { display: none; }
    ShelfScreen #detail { height: 2; padding: 0 1; background: $surface; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self) -> None:
        super().__init__(classes="-opening")
        self._query: ShelfQuery | None = None
        self._counts: dict[str, int] = {}
        self._shown = 0
        self._version: tuple[int, int] | None = None
        self._finding = self._find_again = self._open_found = False
        self._working = self._work_again = False
        self._count_again = True
        self._progress = ""
        self._first_verdict: str | None = None

    def compose(self) -> ComposeResult:
        yield PlaceLine("shelf")
        yield VerdictCounts(id="counts")
        yield Typed(placeholder="Search: number, project, client, title, tape, owner, note", id="search")
        yield Static("Opening the house \u2026", id="state")
        yield ListHead()
        yield ReelList(id="reels")
        yield Static("", id="empty")
        yield Static("", id="detail")
        yield KeyLine("shelf", "reel")

    @property
    def _list(self) -> ReelList:
        return self.query_one(ReelList)

    @property
    def _search(self) -> Input:
        return self.query_one("#search", Input)

    # opening and keeping up

    def opened(self) -> None:
        self.ask(self._usual_speed, self._opened)

    def _usual_speed(self) -> int:
        return self.desk.house(()).rules.number("usual_speed")

    def _opened(self, speed: int) -> None:
        from stock.desk.shelf import ShelfQuery

        self._list.speed = speed
        self.remove_class("-opening")
        if self.focused is None:
            self._list.focus()
        self._query = ShelfQuery(words=self._search.value, verdict=self._first_verdict)
        self.find()
        self.keep_up()
        self.keep_watch()

    @property
    def holds_still(self) -> bool:
        return self._working

    def show_stale(self, words: str) -> None:
        """The line of state says it, with how far the working out is."""

    def _could_not_look(self, error: BaseException) -> None:
        super()._could_not_look(error)
        self._cannot(error)

    def anew(self) -> None:
        self.keep_up()

    def keep_up(self) -> None:
        """Bring the list up to date; while that is under way, once more after it."""
        if self._working:
            self._work_again = True
            return
        self._working = True
        self._progress = working_words(0, 0)
        self._show_state()
        self.ask(self._refresh, self._refreshed, instead=self._cannot)

    def _refresh(self) -> tuple[tuple[int, int], tuple[int, int], int]:
        mark = self.seen()
        self.shelf.refresh(self._told)
        return mark, self.shelf.version(), self._usual_speed()

    def _told(self, done: int, total: int) -> None:
        if cast("ReelwardApp", self.app).leaving.is_set():
            raise Leaving
        if done % _TOLD_BY == 0:
            self.post_message(Told(done, total))

    @on(Told)
    def _on_told(self, message: Told) -> None:
        self._progress = working_words(message.done, message.total)
        self._find_anew()

    def _find_anew(self) -> None:
        """List what is asked for, none of what was read before being sure any more."""
        self._count_again = True
        self._list.outdate()
        self.find()

    def _refreshed(self, result: tuple[tuple[int, int], tuple[int, int], int]) -> None:
        self.mark, version, self._list.speed = result
        self._working = False
        self._progress = ""
        # another screen, or another process, may have brought the list up to date before this one asked for it
        if version != self._version or not self._counts:
            self._version = version
            self._find_anew()
        self._show_state()
        if self._work_again:
            self._work_again = False
            self.keep_up()

    def _cannot(self, error: BaseException) -> None:
        """The house cannot be read just now: say so for as long as that lasts, and look again."""
        self._working = self._finding = False
        self.mark = _NEVER
        self._progress = safe(f"not up to date: {error}")
        self._show_state()

    # finding

    def find(self) -> None:
        """List what is asked for; while that is under way, once more after it."""
        query = self._query
        if query is None:
            return
        if self._finding:
            self._find_again = True
            return
        self._finding = True
        count = self._count_again
        self._count_again = False

        first_page = self._list.scrollable_content_region.height

        def work() -> _Finding:
            ids = self.shelf.find(query)
            # the reels at the top come along, so that the first picture of the answer has them
            top = self.shelf.rows(ids[:first_page])
            return query, ids, top, dict(self.shelf.values("verdict")) if count else None

        self.ask(work, self._found)

    def _found(self, result: _Finding) -> None:
        query, ids, top, counts = result
        self._counts = self._counts if counts is None else counts
        self._finding = False
        self._shown = len(ids)
        total = sum(self._counts.values())
        if query == self._query:
            self._list.show(ids, top)
            self.set_class(not ids and not self._working, "-empty")
            if not ids and not self._search.value:
                # else the focus goes on to the search, where number keys are no places
                self.call_after_refresh(self.set_focus, None)
            self.query_one("#empty", Static).update(content_of([Piece(empty_words(query, total))]))
            self._show_state()
        if self._find_again or query != self._query:
            self._find_again = False
            self.find()
        elif self._open_found:
            self._open_found = False
            self.action_open()

    def _ask_for(self, **changes: Any) -> None:
        if self._query is not None:
            self._query = replace(self._query, **changes)
            self.find()

    def _show_state(self) -> None:
        if self._query is None:
            return
        total = sum(self._counts.values())
        pieces = [Piece(state_words(self._query, self._shown, total))]
        if self._progress:
            pieces = [Piece(f"{self._progress}   ", "accent"), *pieces]
        self.query_one("#state", Static).update(content_of(pieces), layout=False)
        parts = count_pieces(self._counts, self._query.verdict)
        self.query_one(VerdictCounts).show([((piece,), verdict) for piece, verdict in parts])
        self.query_one(ListHead).sort = self._query.sort

    @on(ReelList.Wanted)
    def _fetch(self, message: ReelList.Wanted) -> None:
        ids = message.ids
        self.ask(lambda: self.shelf.rows(ids), lambda rows: self._list.put_rows(ids, rows))

    @on(ReelList.Pointed)
    def _point(self, message: ReelList.Pointed) -> None:
        detail = self.query_one("#detail", Static)
        if message.row is None:
            detail.update("", layout=False)
            return
        first, second = detail_pieces(message.row, self._list.speed)
        detail.update(content_of([*first, Piece("\n"), Piece(second, "quiet")]), layout=False)

    @on(Input.Changed, "#search")
    def _typed(self, event: Input.Changed) -> None:
        self._ask_for(words=event.value)

    @on(Input.Submitted, "#search")
    def _entered(self) -> None:
        if self._finding:
            self._open_found = True
        else:
            self.action_open()

    @on(VerdictCounts.Picked)
    def _pick_verdict(self, message: VerdictCounts.Picked) -> None:
        self._ask_for(verdict=message.verdict)

    @on(ListHead.Picked)
    def _pick_order(self, message: ListHead.Picked) -> None:
        self._ask_for(sort=message.sort)

    def report_title(self) -> str:
        return "Reels"

    def report_rest(self) -> Callable[[], Sequence[str]]:
        ids, speed, shelf = self._list.ids, self._list.speed, self.shelf
        columns = columns_for(REPORT_WIDTH)

        def read() -> list[str]:
            pages = (shelf.rows(ids[first : first + _PAGE]) for first in range(0, len(ids), _PAGE))
            lines = [head_pieces(columns, "")] + [row_pieces(row, columns, speed) for page in pages for row in page]
            return ["", *(text_of(line).rstrip() for line in lines)]

        return read

    # what the keys do

    def action_row(self, places: int) -> None:
        self._list.move(places)

    def action_page(self, pages: int) -> None:
        self._list.move_page(pages)

    def action_to_end(self, end: int) -> None:
        self._list.move_to_end(end)

    def action_search(self) -> None:
        self._search.focus()

    async def action_back(self) -> None:
        """Clear the search; where there is none, the filter; where there is none, back to the place before."""
        query = self._query
        if self._search.value:
            self._search.value = ""
        elif query is not None and (query.verdict, query.owner, query.stock_item, query.shelf) != (None,) * 4:
            self._ask_for(verdict=None, owner=None, stock_item=None, shelf=None)
        elif not self._search.has_focus:
            await self.leave()
        self._list.focus()

    @on(ReelList.Opened)
    def action_open(self) -> None:
        """Open the reel under the cursor."""
        row, each = self._list.row, self._list.current
        if row is not None:
            self._open_rows([row])
        elif each is not None:
            self.ask(lambda: self.shelf.rows([each]), self._open_rows, group="open")

    def _open_rows(self, rows: list[ShelfRow]) -> None:
        from tui.screens.reel import ReelScreen

        if rows and self.is_current:
            self.app.push_screen(ReelScreen(rows[0].reel))

    def reel_here(self) -> str | None:
        row = self._list.row
        return None if row is None else row.reel

    def search(self, words: str) -> None:
        """List what has these words, whatever was listed before."""
        self._ask_for(verdict=None, owner=None, stock_item=None, shelf=None)
        self._search.value = words
        self._list.focus()

    def narrow(self, verdict: str) -> None:
        """List the reels of one verdict, whatever was listed before."""
        self._first_verdict = verdict
        if self._query is not None:
            self._search.value = ""
            self._ask_for(words="", verdict=verdict, owner=None, stock_item=None, shelf=None)
            self._list.focus()

    def action_filter(self) -> None:
        query = self._query
        if query is None:
            return
        from tui.dialogs.filter import FilterDialog
        from tui.present.listing import FILTERS

        def chosen(answer: dict[str, str | None] | None) -> None:
            if answer is not None:
                self._ask_for(**answer)

        def choose(values: dict[str, list[tuple[str, int]]]) -> None:
            self.app.push_screen(FilterDialog(values, query), chosen)

        self.ask(lambda: {column: self.shelf.values(column) for column in FILTERS}, choose)

    def action_order(self) -> None:
        query = self._query
        if query is None:
            return
        from tui.dialogs.order import OrderDialog

        def chosen(sort: str | None) -> None:
            if sort is not None:
                self._ask_for(sort=sort)

        self.app.push_screen(OrderDialog(query.sort), chosen)
