"""A brute force for layouts: each reel a list of single cells of tape, and what edits do to such lists."""

from __future__ import annotations

from typing import Literal, NamedTuple

from hypothesis import strategies as st

from stock.core.facts import Stretch
from stock.core.layout import Edit, Layout, Layouts, LengthFix

Cell = tuple[str, int]
"""A tape and the place on it, one tenth of a millimetre long."""

LENGTHS = {"A": 12, "B": 7, "C": 1}
REELS = tuple(LENGTHS)


class Act(NamedTuple):
    """Something done to a reel, with numbers that are fitted to whatever length the reels then have."""

    does: Literal["throw", "join", "append", "move", "measure"]
    reel: str
    start: int
    size: int
    to_reel: str
    to_at: int


ACTS = st.lists(
    st.builds(
        Act,
        st.sampled_from(("throw", "join", "join", "append", "move", "measure")),
        st.sampled_from(REELS),
        st.integers(0, 20),
        st.integers(0, 20),
        st.sampled_from(REELS),
        st.integers(0, 20),
    ),
    max_size=9,
)


def cells_of(stretches: tuple[Stretch, ...] | list[Stretch]) -> list[Cell]:
    """Every cell of some stretches, in order."""
    return [(piece.tape, place) for piece in stretches for place in range(piece.lo, piece.hi)]


class Shelf:
    """Reels as lists of cells, the events that made them so, and how they stood after each event."""

    def __init__(self) -> None:
        self.reels: dict[str, list[Cell]] = {
            reel: [(reel, place) for place in range(size)] for reel, size in LENGTHS.items()
        }
        self.beyond: dict[str, list[Cell]] = {reel: [] for reel in REELS}
        self.thrown: list[Cell] = []
        self.fresh = dict(LENGTHS)
        self.edits: list[Edit] = []
        self.fixes: list[LengthFix] = []
        self.stages: list[dict[str, list[Cell]]] = [self.copied()]

    def copied(self) -> dict[str, list[Cell]]:
        return {reel: list(cells) for reel, cells in self.reels.items()}

    @property
    def moment(self) -> int:
        """When the newest event was: ten apart, from ten on."""
        return 10 * (len(self.stages) - 1)

    @property
    def layouts(self) -> Layouts:
        """The program's layouts of the same events, given in no order that helps."""
        return Layouts(LENGTHS, reversed(self.edits), reversed(self.fixes))

    def act(self, act: Act) -> bool:
        """Do something where it can be done; whether it was."""
        if act.does == "measure":
            self._measure(act.reel, act.size)
        else:
            source = self.reels[act.reel]
            if not source:
                return False
            start = act.start % len(source)
            end = start + 1 + act.size % (len(source) - start)
            if act.does == "throw":
                self._edit(act.reel, start, end, None, None)
            elif act.does == "move":
                places = [*range(start + 1), *range(end, len(source) + 1)]
                self._edit(act.reel, start, end, act.reel, places[act.to_at % len(places)])
            elif act.does == "append":
                self._edit(act.reel, start, end, act.to_reel, None)
            else:
                target = len(self.reels[act.to_reel])
                to_at = act.to_at % (target + 1)
                if act.to_reel == act.reel:
                    to_at = start if start < to_at < end else to_at
                self._edit(act.reel, start, end, act.to_reel, to_at)
        self.stages.append(self.copied())
        return True

    def _edit(self, reel: str, start: int, end: int, to_reel: str | None, to_at: int | None) -> None:
        stretches = tuple(Layout(self._pieces(reel)).locate(start, end))
        self.edits.append(Edit(len(self.stages), self.moment + 10, reel, stretches, to_reel, to_at))
        source = self.reels[reel]
        cut = source[start:end]
        # a place at the border of the cut is the place where the cut was, so what lies before it tells where that is
        before = len(self.reels[to_reel][:to_at]) if to_reel else 0
        del source[start:end]
        if to_reel is None:
            self.thrown += cut
            return
        if to_reel == reel and to_at is not None and to_at >= end:
            before -= len(cut)
        at = len(self.reels[to_reel]) if to_at is None else before
        self.reels[to_reel][at:at] = cut

    def _pieces(self, reel: str) -> tuple[Stretch, ...]:
        return tuple(Stretch(tape, place, place + 1) for tape, place in self.reels[reel])

    def _measure(self, reel: str, length: int) -> None:
        """Fewer cells: the rest lies beyond. More: first those come back, then cells never seen of the last tape."""
        self.fixes.append(LengthFix(len(self.stages), self.moment + 10, reel, length))
        cells, beyond = self.reels[reel], self.beyond[reel]
        if length < len(cells):
            beyond[:0] = cells[length:]
            del cells[length:]
            return
        while len(cells) < length and beyond:
            cells.append(beyond.pop(0))
        while len(cells) < length:
            tape = cells[-1][0] if cells else reel
            cells.append((tape, self.fresh[tape]))
            self.fresh[tape] += 1
