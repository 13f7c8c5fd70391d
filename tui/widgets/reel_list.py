"""The reel list itself: drawn line by line from the rows in sight, however many reels there are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget

from tui.present.row import Piece, column_at, columns_for, head_pieces, row_pieces

if TYPE_CHECKING:
    from stock.desk.shelf import ShelfRow

_BOLD = Style(bold=True)
_ROWS_KEPT = 4_000
_PAGES_AHEAD = 3
"""Rows are fetched as far as this on either side, once any is missing within a page of what is in sight."""


class ListHead(Widget):
    """The heads of the columns; a click on one asks for its order."""

    DEFAULT_CSS = """
    ListHead { height: 1; width: 1fr; background: $panel; color: $quiet; }
    ListHead .list-head--sorted { color: $accent; text-style: bold; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {"list-head--sorted"}
    ALLOW_SELECT = False

    sort = reactive("reel")

    class Picked(Message):
        """A head was clicked. sort: the order it stands for."""

        def __init__(self, sort: str) -> None:
            super().__init__()
            self.sort = sort

    def render_line(self, y: int) -> Strip:
        own = self.rich_style
        styles = {"": own, "sorted": own + self.get_component_rich_style("list-head--sorted", partial=True)}
        pieces = head_pieces(columns_for(self.size.width - 1), self.sort)
        line = Strip([Segment(piece.text, styles[piece.tone]) for piece in pieces])
        return line.adjust_cell_length(self.size.width, own)

    def on_click(self, event: events.Click) -> None:
        column = column_at(columns_for(self.size.width - 1), event.x)
        if column is not None and column.sort:
            self.post_message(self.Picked(column.sort))


class ReelList(ScrollView, can_focus=True, inherit_bindings=False):
    """Reels by their ids, with a cursor on one of them.

    It asks for the rows it needs with `Wanted`, and is given them by `put_rows`. speed: micrometres per second, for the
    times; rows are drawn once it is known.
    """

    DEFAULT_CSS = """
    ReelList {
        height: 1fr;
        scrollbar-size-vertical: 1;
        overflow-x: hidden;
        overflow-y: scroll;
    }
    ReelList .reel-list--cursor { background: $block-cursor-blurred-background; text-style: bold; }
    ReelList:focus .reel-list--cursor { background: $block-cursor-background; color: $block-cursor-foreground; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {"reel-list--cursor"}
    ALLOW_SELECT = False

    cursor = reactive(0, repaint=False)
    speed = reactive(0)

    class Wanted(Message):
        """Rows to be fetched, by id."""

        def __init__(self, ids: list[int]) -> None:
            super().__init__()
            self.ids = ids

    class Pointed(Message):
        """The cursor stands on another reel, or its row arrived or changed. row: None where none is known."""

        def __init__(self, row: ShelfRow | None) -> None:
            super().__init__()
            self.row = row

    class Opened(Message):
        """The reel under the cursor is to be opened."""

        def __init__(self, reel_id: int) -> None:
            super().__init__()
            self.reel_id = reel_id

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._ids: Sequence[int] = ()
        self._rows: dict[int, ShelfRow] = {}
        self._stale: set[int] = set()
        self._asked: set[int] = set()
        self._anchor: int | None = None
        self._strips: dict[tuple[int, bool], Strip] = {}

    # what is listed

    @property
    def current(self) -> int | None:
        """The id of the reel under the cursor."""
        return self._ids[self.cursor] if self._ids else None

    @property
    def row(self) -> ShelfRow | None:
        """Its row, where it is known."""
        return self._rows.get(self.current) if self.current is not None else None

    def show(self, ids: Sequence[int], rows: Iterable[ShelfRow]) -> None:
        """List these reels. The cursor stays on the reel it was put on, where that is listed, else goes to the top.

        rows: those of the first ids.
        """
        in_view = self.cursor - round(self.scroll_y)
        self._ids = ids
        self._keep(rows)
        self.virtual_size = Size(self.scrollable_content_region.width, len(ids))
        place = 0
        if self._anchor is not None:
            try:
                place = ids.index(self._anchor)
            except ValueError:
                in_view = 0
        self.set_reactive(ReelList.cursor, place)
        self.scroll_to(y=max(0, place - max(0, in_view)), animate=False)
        self._keep_in_sight()
        self.refresh()
        self._want()
        self.post_message(self.Pointed(self.row))

    def put_rows(self, ids: Iterable[int], rows: Iterable[ShelfRow]) -> None:
        """Rows that were wanted; ids: all that were asked for, also those that are gone."""
        self._asked.difference_update(ids)
        self._stale.difference_update(ids)
        if len(self._rows) > _ROWS_KEPT:
            self._rows = {}
            self._strips = {}
        self._keep(rows)
        if not set(self._near(0)).isdisjoint(ids):
            self.refresh()
        if self.current is not None and self.current in ids:
            self.post_message(self.Pointed(self.row))

    def _keep(self, rows: Iterable[ShelfRow]) -> None:
        for row in rows:
            if self._rows.get(row.id) != row:
                self._rows[row.id] = row
                for pointed in (False, True):
                    self._strips.pop((row.id, pointed), None)

    def outdate(self) -> None:
        """Rows may have changed: those in sight are shown until newer ones arrive."""
        self._stale = set(self._rows)
        self._asked = set()
        self._want()

    def _near(self, pages: int) -> Sequence[int]:
        """The ids in sight, and of so many pages on either side."""
        height = max(1, self.scrollable_content_region.height)
        top = round(self.scroll_y)
        return self._ids[max(0, top - pages * height) : top + (pages + 1) * height]

    def _missing(self, pages: int) -> list[int]:
        return [
            each
            for each in self._near(pages)
            if (each not in self._rows or each in self._stale) and each not in self._asked
        ]

    def _want(self) -> None:
        if self._missing(1):
            wanted = self._missing(_PAGES_AHEAD)
            self._asked.update(wanted)
            self.post_message(self.Wanted(wanted))

    @property
    def ids(self) -> Sequence[int]:
        """The reels listed, top to bottom."""
        return self._ids

    def report_lines(self, width: int) -> list[str]:
        """Nothing: its rows are read for a report, as only those near the ones in sight are here."""
        return []

    # moving

    def move(self, places: int) -> None:
        """Move the cursor so many reels on, or back."""
        self._put(self.cursor + places)

    def move_page(self, pages: int) -> None:
        """Move the cursor by what is in sight."""
        height = max(1, self.scrollable_content_region.height - 1)
        self.scroll_to(y=self.scroll_y + pages * height, animate=False)
        self._put(self.cursor + pages * height)

    def move_to_end(self, end: int) -> None:
        """Move the cursor to the first reel, or for 1 to the last."""
        self._put(0 if end < 0 else len(self._ids))

    def _put(self, place: int) -> None:
        if self._ids:
            self.cursor = min(max(0, place), len(self._ids) - 1)
            self._anchor = self.current
            self._keep_in_sight()

    def _keep_in_sight(self) -> None:
        height = max(1, self.scrollable_content_region.height)
        top = round(self.scroll_y)
        if self.cursor < top:
            self.scroll_to(y=self.cursor, animate=False)
        elif self.cursor >= top + height:
            self.scroll_to(y=self.cursor - height + 1, animate=False)

    def watch_cursor(self, before: int, now: int) -> None:
        self.refresh_line(before)
        self.refresh_line(now)
        self.post_message(self.Pointed(self.row))

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        super().watch_scroll_y(old_value, new_value)
        self._want()

    def watch_speed(self) -> None:
        self._strips.clear()

    def on_resize(self) -> None:
        self._strips.clear()
        self.virtual_size = Size(self.scrollable_content_region.width, len(self._ids))
        self._keep_in_sight()
        self._want()

    def on_click(self, event: events.Click) -> None:
        place = event.y + round(self.scroll_y)
        if event.widget is self and place < len(self._ids):
            self._put(place)
            if event.chain == 2 and self.current is not None:
                self.post_message(self.Opened(self.current))

    # drawing

    def render_line(self, y: int) -> Strip:
        place = y + round(self.scroll_y)
        if place >= len(self._ids):
            return Strip.blank(self.scrollable_content_region.width, self.rich_style)
        key = self._ids[place], place == self.cursor
        strip = self._strips.get(key)
        if strip is None:
            strip = self._draw(self._rows.get(key[0]), pointed=key[1])
            if key[0] in self._rows:
                self._strips[key] = strip
        return strip

    def _draw(self, row: ShelfRow | None, *, pointed: bool) -> Strip:
        width = self.scrollable_content_region.width
        own = self.rich_style
        here = self.get_component_rich_style("reel-list--cursor", partial=True) if pointed else Style.null()
        pieces = row_pieces(row, columns_for(width), self.speed) if row else [Piece(" \u2026", "quiet")]
        line = Strip([Segment(piece.text, self._style(own, piece.tone) + here) for piece in pieces])
        return line.simplify().adjust_cell_length(width, own + here)

    def _style(self, own: Style, tone: str) -> Style:
        # straight from the theme: a component class for each would have the first picture wait
        if tone == "reel":
            return own + _BOLD
        return own + Style(color=self.app.current_theme.variables[tone]) if tone else own

    def notify_style_update(self) -> None:
        self._strips.clear()
        super().notify_style_update()
