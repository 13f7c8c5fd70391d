"""Runs of a yes or no along a file that is seen a piece at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stock.proof.facts import Runs, Stretch

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

KEPT = 20
"""How many runs are kept with their places; all are counted."""


class RunFinder:
    """Finds runs of at least so many yeses in a row, in memory that does not grow with the file.

    Positions are counted in the units fed. `closed` holds the long runs that ended in the last piece fed.
    """

    def __init__(self, least: int) -> None:
        self.closed: list[tuple[int, int]] = []
        self._least = max(least, 1)
        self._at = 0
        self._open: int | None = None

    def feed(self, piece: NDArray[np.bool_]) -> None:
        """Take the next piece."""
        import numpy as np

        self.closed = []
        if not piece.size:
            return
        edges = (np.flatnonzero(piece[1:] != piece[:-1]) + (self._at + 1)).astype(np.int64)
        starts, ends = (edges[1::2], edges[::2]) if piece[0] else (edges[::2], edges[1::2])
        first: int | None = self._open if self._open is not None else self._at if piece[0] else None
        if first is not None and not piece[0]:
            ends = np.concatenate((np.array([self._at], np.int64), ends))
        if first is not None:
            starts = np.concatenate((np.array([first], np.int64), starts))
        self._open = int(starts[-1]) if len(starts) > len(ends) else None
        starts = starts[: len(ends)]
        long = ends - starts >= self._least
        self.closed = list(zip(starts[long].tolist(), ends[long].tolist(), strict=True))
        self._at += len(piece)

    def feed_same(self, value: bool, count: int) -> None:
        """Take a piece that is all yes or all no, at no cost."""
        self.closed = []
        if value and self._open is None:
            self._open = self._at
        elif not value and self._open is not None:
            if self._at - self._open >= self._least:
                self.closed = [(self._open, self._at)]
            self._open = None
        self._at += count

    def end(self) -> None:
        """Close what is open at the end of the file."""
        self.feed_same(False, 0)


class Kept:
    """The count of all runs added, and the places of the first of them."""

    def __init__(self) -> None:
        self.count = 0
        self.first: list[tuple[int, int]] = []

    def add(self, runs: list[tuple[int, int]]) -> None:
        self.count += len(runs)
        self.first.extend(runs[: KEPT - len(self.first)])

    def take(self, other: Kept) -> None:
        """Add what another has, and empty it."""
        self.count += other.count
        self.first.extend(other.first[: KEPT - len(self.first)])
        other.count, other.first = 0, []

    def runs(self, units_a_second: int, unit: int, end: int) -> Runs:
        """As times: each unit is so many samples; nothing lies after the end (in samples)."""
        times = [(lo * unit * 1_000_000, min(hi * unit, end) * 1_000_000) for lo, hi in self.first]
        return Runs(self.count, tuple(Stretch(lo // units_a_second, hi // units_a_second) for lo, hi in times))
