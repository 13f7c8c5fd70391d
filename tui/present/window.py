"""The part of a reel that is drawn, and which place each column stands for."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.measure import SECOND, length_of, time_of

_CLOSEST_S = 20
"""As close as the map goes: so many seconds across its whole width."""


class Window(NamedTuple):
    """Reel places [lo, hi) over so many columns; hi is above lo, and width at least 1."""

    lo: int
    hi: int
    width: int

    def column(self, place: int) -> int:
        """The column a place lies in; below 0 or from width on where it is not drawn."""
        return (place - self.lo) * self.width // (self.hi - self.lo)

    def place(self, column: int) -> int:
        """The first place of a column."""
        # rounded up: the place before it lies in the column before
        return self.lo - (self.lo - self.hi) * column // self.width

    def step(self, speed: int) -> int:
        """How far one step goes: a column, in whole seconds at the speed, at least one."""
        column_us = time_of(max((self.hi - self.lo) // self.width, 1), speed)
        seconds = max(1, -(-column_us // SECOND))
        return length_of(seconds * SECOND, speed)

    def zoomed(self, around: int, closer: int, length: int, speed: int) -> Window:
        """Half as much tape (closer 1) or twice as much (-1), the place around staying in its column if it can."""
        size = self.hi - self.lo
        least = min(length_of(_CLOSEST_S * SECOND, speed), length)
        size = max(size // 2, least) if closer > 0 else min(size * 2, length)
        lo = around - (around - self.lo) * size // (self.hi - self.lo)
        return self._replace(lo=lo, hi=lo + max(size, 1)).within(length)

    def showing(self, place: int, length: int) -> Window:
        """Moved as little as shows a place with a little room beside it."""
        size = self.hi - self.lo
        room = size // 8
        if place < self.lo or (place >= self.hi and place < length) or self.column(place) >= self.width:
            lo = place - room if place < self.lo else place - size + room
            return self._replace(lo=lo, hi=lo + size).within(length)
        return self

    def within(self, length: int) -> Window:
        """Moved so that it begins and ends on the reel."""
        size = min(self.hi - self.lo, max(length, 1))
        lo = max(0, min(self.lo, length - size))
        return self._replace(lo=lo, hi=lo + size)


def whole(length: int, width: int) -> Window:
    """All of a reel."""
    return Window(0, max(length, 1), max(width, 1))
