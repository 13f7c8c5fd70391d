"""The two answers about a reel, on its page."""

from __future__ import annotations

from stock.core.verdict import Advice
from tui.present.line import Block, Piece
from tui.present.reasons import answer_blocks
from tui.widgets.blocks import Blocks


class Reasons(Blocks):
    """Both answers with every reason; enter on a reason shows its stretch on the map."""

    advice: Advice | None = None
    speed = 0

    def show(self, advice: Advice, speed: int) -> None:
        """Tell of an answer. speed: micrometres per second, for times."""
        self.advice, self.speed = advice, speed
        self.changed()

    def make(self, width: int) -> list[Block]:
        if self.advice is None:
            return [Block(((Piece("working it out …", "quiet"),),))]
        return answer_blocks(self.advice, width, self.speed)
