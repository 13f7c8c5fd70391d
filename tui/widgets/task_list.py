"""What is to be done, line by line under heads, with a cursor on one of the lines that are none."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.containers import VerticalScroll
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip

from tui.keys import bindings
from tui.present.line import text_of
from tui.widgets.inked import Inked

if TYPE_CHECKING:
    from tui.present.now import Row


class TaskList(Inked, can_focus=True):
    """Rows under each other, as high as all of them. What is around it scrolls; the cursor keeps itself in sight."""

    BINDINGS: ClassVar = bindings("task list")
    DEFAULT_CSS = """
    TaskList { height: 1; width: 1fr; }
    TaskList .ink--here { background: $block-cursor-blurred-background; text-style: bold; }
    TaskList:focus .ink--here { background: $block-cursor-background; color: $block-cursor-foreground; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {"ink--here"}
    ALLOW_SELECT = False

    class Pointed(Message):
        """The cursor stands on another line, or its line changed. row: None where there is none."""

        def __init__(self, row: Row | None) -> None:
            super().__init__()
            self.row = row

    class Chosen(Message):
        """The line under the cursor is to be seen to."""

        def __init__(self, row: Row) -> None:
            super().__init__()
            self.row = row

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._rows: Sequence[Row] = ()
        self._at = 0

    @property
    def row(self) -> Row | None:
        """The line under the cursor."""
        return self._rows[self._at] if self._at < len(self._rows) else None

    @property
    def rows(self) -> Sequence[Row]:
        """All lines, heads too."""
        return self._rows

    def report_lines(self, width: int) -> list[str]:
        """All lines."""
        return [text_of(row.line) for row in self._rows]

    def show(self, rows: Sequence[Row], *, stay: bool = False) -> None:
        """Show these lines. The cursor stays on the same line where that is still there, else near it.

        stay: it stays at its place instead, whatever stands there now.
        """
        held, self._rows = self.row, rows
        keys = [row.key for row in rows]
        if held is not None and held.key in keys and not stay:
            self._at = keys.index(held.key)
        else:
            self._at = self._near(self._at)
        self.take_height(max(1, len(rows)))
        self.call_after_refresh(self.keep_in_sight)
        self.post_message(self.Pointed(self.row))

    def _near(self, at: int) -> int:
        """The line at a place, or the nearest that is no head: after it where there is one."""
        places = [place for place, row in enumerate(self._rows) if not row.is_head]
        return next((place for place in places if place >= at), places[-1] if places else 0)

    def action_row(self, by: int) -> None:
        """Move the cursor by so many lines, heads not counted."""
        places = [place for place, row in enumerate(self._rows) if not row.is_head]
        if places:
            at = places.index(self._at) if self._at in places else 0
            self._put(places[max(0, min(at + by, len(places) - 1))])

    def action_page(self, pages: int) -> None:
        """Move the cursor by what is in sight."""
        height = max(1, self._around.scrollable_content_region.height - 1)
        self._put(self._near(max(0, min(self._at + pages * height, len(self._rows) - 1))))

    def action_to_end(self, end: int) -> None:
        """Move the cursor to the first line, or for 1 to the last."""
        self.action_row(end * len(self._rows))

    def choose(self) -> None:
        """See to the line under the cursor."""
        if self.row is not None:
            self.post_message(self.Chosen(self.row))

    def _put(self, at: int) -> None:
        self._at = at
        self.refresh()
        self.keep_in_sight()
        self.post_message(self.Pointed(self.row))

    @property
    def _around(self) -> VerticalScroll:
        """What scrolls."""
        assert isinstance(self.parent, VerticalScroll)
        return self.parent

    def keep_in_sight(self) -> None:
        """Scroll what is around so that the line under the cursor is seen, with its head where it is the first."""
        if self._rows:
            first = self._at - 1 if self._at and self._rows[self._at - 1].is_head else self._at
            region = Region(0, self.virtual_region.y + first, self.size.width, self._at - first + 1)
            self._around.scroll_to_region(region, animate=False)

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        if y >= len(self._rows):
            return Strip.blank(width, self.rich_style)
        line = self._rows[y].line
        if y != self._at or self._rows[y].is_head:
            return self.strip(line, width)
        return self.strip(line, width, self.get_component_rich_style("ink--here", partial=True))

    def on_click(self, event: events.Click) -> None:
        """A click points at a line; one on the line pointed at sees to it."""
        at = event.get_content_offset(self)
        if at is None or at.y >= len(self._rows) or self._rows[at.y].is_head:
            return
        if at.y == self._at and self.has_focus:
            self.choose()
        else:
            self._put(at.y)
