"""A list of blocks of text, one of them under the cursor: the base of the answers and the history."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip

from tui.keys import bindings
from tui.present.line import Block, Piece, text_of
from tui.widgets.inked import Inked


class Blocks(Inked, can_focus=True):
    """Blocks under each other, as high as all of them. What is around it scrolls; the cursor keeps itself in sight."""

    BINDINGS: ClassVar = bindings("reasons and history")
    DEFAULT_CSS = """
    Blocks { height: 1; width: 1fr; }
    Blocks .ink--here { background: $panel; }
    """
    COMPONENT_CLASSES: ClassVar[set[str]] = {"ink--here"}

    class Chosen(Message):
        """Somebody asks to see a reel place on the map."""

        def __init__(self, place: int) -> None:
            super().__init__()
            self.place = place

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.blocks: list[Block] = []
        self.current = 0
        self._lines: list[tuple[int, int]] = []
        self._made_for = 0

    def make(self, width: int) -> list[Block]:
        """The blocks at a width; the widgets made from this one say which."""
        raise NotImplementedError

    def changed(self) -> None:
        """Make the blocks anew: what they tell of has changed."""
        self._made_for = 0
        self.on_resize()

    def on_resize(self) -> None:
        if self.size.width:
            self._make(self.size.width)
            self.take_height(max(1, len(self._lines)))

    def _make(self, width: int) -> None:
        if self._made_for == width:
            return
        self._made_for = width
        self.blocks = self.make(width)
        self._lines = [(b, n) for b, block in enumerate(self.blocks) for n in range(len(block.lines))]
        self.current = max(0, min(self.current, len(self.blocks) - 1))

    def report_lines(self, width: int) -> list[str]:
        """All blocks, laid out for a width."""
        return [text_of(line) for block in self.make(width) for line in block.lines]

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        self._make(width)
        if y >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        block, number = self._lines[y]
        line = self.blocks[block].lines[number]
        if block != self.current or not self.has_focus or not line:
            return self.strip(line, width)
        first = line[0]
        if first.text.startswith("  ") and not any(self.blocks[block].lines[:number]):
            line = (Piece("\u203a", "mark"), first._replace(text=first.text[1:]), *line[1:])
        return self.strip(line, width, self.get_component_rich_style("ink--here", partial=True))

    def action_move(self, by: int) -> None:
        """Move the cursor by so many blocks; at either end what is around scrolls on."""
        self.current = max(0, min(self.current + by, len(self.blocks) - 1))
        self.refresh()
        self.keep_in_sight()

    def action_to_end(self, way: int) -> None:
        self.action_move(way * len(self.blocks))

    def keep_in_sight(self) -> None:
        """Scroll what is around so that the block under the cursor is seen, its top at least."""
        rows = [y for y, (block, _) in enumerate(self._lines) if block == self.current]
        if rows and self.parent is not None:
            region = Region(0, self.virtual_region.y + rows[0], self.size.width, len(rows))
            self.screen.query_one("#below").scroll_to_region(region, animate=False)

    def action_choose(self) -> None:
        if self.blocks and self.blocks[self.current].at is not None:
            self.post_message(self.Chosen(self.blocks[self.current].at or 0))

    def on_click(self, event: events.Click) -> None:
        at = event.get_content_offset(self)
        if at is not None and at.y < len(self._lines):
            self.current = self._lines[at.y][0]
            self.refresh()
            if event.chain == 2:
                self.action_choose()

    def on_focus(self) -> None:
        self.keep_in_sight()
