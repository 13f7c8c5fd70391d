"""The two answers about a reel, on its page."""

from __future__ import annotations

from stock.core.reasons import Reason
from stock.core.verdict import Advice
from tui.present.line import Block, Piece
from tui.present.reasons import answer_blocks, reasons_by_block
from tui.widgets.blocks import Blocks


class Reasons(Blocks):
    """Both answers with every reason; enter on a reason shows its stretch on the map."""

    advice: Advice | None = None
    speed = 0

    def show(self, advice: Advice, speed: int) -> None:
        """Tell of an answer. speed: micrometres per second, for times."""
        self.advice, self.speed = advice, speed
        self.changed()

    @property
    def reason(self) -> Reason | None:
        """The reason under the cursor; None on a heading, and while the cursor is elsewhere."""
        if self.advice is None or not self.has_focus:
            return None
        by_block = reasons_by_block(self.advice)
        return by_block[self.current] if self.current < len(by_block) else None

    def make(self, width: int) -> list[Block]:
        if self.advice is None:
            return [Block(((Piece("working it out …", "quiet"),),))]
        return answer_blocks(self.advice, width, self.speed)
