"""What happened to a reel, on its page: a dated list whose entries can be taken back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.message import Message

from stock.desk.history import HistoryLine
from tui.keys import bindings
from tui.present.history import history_blocks, newest_first
from tui.present.line import Block, Piece
from tui.widgets.blocks import Blocks


class History(Blocks):
    """The entries, newest first, under a heading."""

    BINDINGS: ClassVar = bindings("history")

    class VoidWanted(Message):
        """Somebody wants to take an entry back."""

        def __init__(self, line: HistoryLine) -> None:
            super().__init__()
            self.line = line

    shown: Sequence[HistoryLine] = ()
    speed = 0

    def show(self, history: Sequence[HistoryLine], speed: int) -> None:
        """Tell a history, given oldest first. speed: micrometres per second, for the places."""
        self.shown, self.speed = newest_first(history), speed
        self.changed()

    @property
    def line(self) -> HistoryLine | None:
        """The entry under the cursor; None on the heading."""
        return self.shown[self.current - 1] if 1 <= self.current <= len(self.shown) else None

    def make(self, width: int) -> list[Block]:
        heading = (Piece("What happened  ", "strong"), Piece("newest first", "quiet"))
        return [Block(((), heading)), *history_blocks(self.shown, width, self.speed)]

    def action_void(self) -> None:
        """Ask to take back the entry under the cursor."""
        if self.line is not None:
            self.post_message(self.VoidWanted(self.line))
        else:
            self.notify("Go to the entry that was wrong first, with the arrow keys or a click.", markup=False)
