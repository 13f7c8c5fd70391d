"""A loss per pass from readings: the Theil–Sen slope, and a range for it that is exact for few readings too."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from scipy.stats import theilslopes  # type: ignore[import-untyped]

COVER = 0.8
"""How often a range is to cover the truth."""
_MOST_EXACT = 40


class Slope(NamedTuple):
    """A slope and its range at `COVER`. told: whether it can be told from none (the whole range lies above it)."""

    value: float
    low: float
    high: float

    @property
    def told(self) -> bool:
        return self.low > 0


def slope_of(x: Sequence[float], y: Sequence[float], cover: float = COVER) -> Slope:
    """The Theil–Sen slope of y over x (two points and more, x not all one) and its range.

    The range is Sen's (1968), by the order of the slopes of all pairs. A library's range rounds outwards to whole
    ranks, which for five to seven readings covers 86 to 92 of 100 where 80 were asked; between the two nearest ranks
    it is interpolated here by their exact chances (Kendall's distribution), as long as no two readings share an x.
    """
    fitted = theilslopes(y, x, alpha=cover)
    n = len(x)
    if n > _MOST_EXACT or any(a == b for a, b in pairwise(sorted(x))):
        return Slope(float(fitted.slope), float(fitted.low_slope), float(fitted.high_slope))
    xs, ys = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    i, j = np.triu_indices(n, 1)
    slopes = np.sort((ys[j] - ys[i]) / (xs[j] - xs[i]))
    rank, share = _rank(n, (1 - cover) / 2)
    if rank == 0:
        return Slope(float(fitted.slope), float(slopes[0]), float(slopes[-1]))
    low = share * slopes[rank - 1] + (1 - share) * slopes[rank]
    high = share * slopes[-rank] + (1 - share) * slopes[-1 - rank]
    return Slope(float(fitted.slope), float(low), float(high))


def _rank(n: int, tail: float) -> tuple[int, float]:
    """The rank from which on a slope is more likely than `tail` to lie above the truth, and how far to go back to the
    rank before it."""
    below = 0.0
    for rank, chance in enumerate(_chances(n)):
        if chance > tail:
            return rank, (chance - tail) / (chance - below)
        below = chance
    raise AssertionError("the chances end at 1")


@cache
def _chances(n: int) -> tuple[float, ...]:
    """The chance that at most k of the pairs of n readings without a slope run down, for each k (Kendall)."""
    counts = [1]
    for more in range(2, n + 1):
        wider = [0] * (len(counts) + more - 1)
        for at, count in enumerate(counts):
            for step in range(more):
                wider[at + step] += count
        counts = wider
    every = sum(counts)
    return tuple(running / every for running in accumulate(counts))
