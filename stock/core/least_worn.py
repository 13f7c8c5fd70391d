"""Where along a reel the tape is worn most, and where the next take would lie on the least worn."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.spans import subtract, union
from stock.core.verdict import Advice


class WornSpan(NamedTuple):
    """A stretch of reel places and the most passes anywhere in it, in tenths."""

    lo: int
    hi: int
    tenths: int


def worst_place(advice: Advice) -> WornSpan | None:
    """The first stretch with the most passes; None where none were made."""
    most = advice.fitness.wear_most
    return next((WornSpan(*span) for span in advice.fitness.wear if most and span[2] == most), None)


def least_worn(advice: Advice, size: int) -> WornSpan | None:
    """The stretch of a size, fit for the best grade, whose most worn place is worn least; the first of those alike.

    Tape that may not be recorded on yet is left out. None where no stretch is long enough.
    """
    grade = advice.best_grade
    if grade is None or size <= 0:
        return None
    free = union(advice.fit(grade).stretches)
    if advice.verdict == "keep":
        free = subtract(free, union((atom.lo, atom.hi) for atom in advice.recording.live.atoms))
    wear = advice.fitness.wear
    best: WornSpan | None = None
    for lo, hi in free:
        starts = {lo} | {place for a, b, _ in wear for place in (b, a - size) if lo < place <= hi - size}
        for start in sorted(starts):
            if start + size > hi:
                continue
            tenths = max((t for a, b, t in wear if a < start + size and start < b), default=0)
            if best is None or tenths < best.tenths:
                best = WornSpan(start, start + size, tenths)
    return best
