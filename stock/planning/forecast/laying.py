"""Takes laid on reels in the order of recording, in many trials at once.

The rules are those of picking (`stock.core.picking.request`): a take needs its whole footprint unbroken, a gap lies
between two, a reel opened for a project gives tape to tones, and head and tail stay unused. A take that does not fit
opens another reel; the last reels passed over may still take a shorter one, the oldest first.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from stock.core.measure import SECOND, length_of
from stock.core.rules import Rules

Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int32]
Floats = npt.NDArray[np.float64]

_NONE_OPEN = -1
_PER_LENGTH = 100 * SECOND
"""Micrometres per second times microseconds in a tenth of a millimetre."""


class Measures(NamedTuple):
    """The measures of footprints at one speed. room: of a newly opened reel, with the gap that follows its last take;
    gap: added to each footprint. Tenths of a millimetre; times in microseconds."""

    speed: int
    room: int
    gap: int
    slate_us: int
    overrun_us: int
    overrun_share: int

    @classmethod
    def of(cls, length: int, speed: int, rules: Rules) -> Measures:
        """The measures of reels of one length at a speed."""
        gap = length_of(rules.number("gap_s"), speed)
        head = max(length_of(rules.number("unused_head_s"), speed), rules.number("unused_head_length"))
        ends = head + length_of(rules.number("unused_tail_s"), speed) + length_of(rules.number("tones_s"), speed)
        return cls(
            speed,
            max(length - ends, 0) + gap,
            gap,
            rules.number("slate_s"),
            rules.number("overrun_s"),
            rules.number("overrun_share"),
        )

    def sizes(self, takes_us: npt.NDArray[np.int64]) -> Ints:
        """The footprints of takes, each with the gap after it; exact, as `stock.core.picking.request.footprint`."""
        overrun = np.maximum(-(-takes_us * self.overrun_share // 1000), self.overrun_us)
        moved = (takes_us + overrun + self.slate_us) * (2 * self.speed)
        return ((moved + _PER_LENGTH) // (2 * _PER_LENGTH) + self.gap).astype(np.int32)

    def broken_off(self, takes_us: Floats) -> Ints:
        """The same of takes that were broken off, from times that are no whole microseconds."""
        overrun = np.maximum(takes_us * (self.overrun_share / 1000), self.overrun_us)
        overrun += takes_us
        overrun += self.slate_us
        overrun *= self.speed / _PER_LENGTH
        return (np.rint(overrun) + self.gap).astype(np.int32)


class Bench:
    """The reels of one project in every trial: the one in use, and the last few passed over that have tape left.

    leftovers: how many passed-over reels may still take a shorter title. Reels passed over for good are reported by
    `lay`, with whether they hold a master.
    """

    def __init__(self, trials: int, room: int, leftovers: int) -> None:
        self.room = room
        self.left = np.full((leftovers + 1, trials), _NONE_OPEN, dtype=np.int32)
        self.master = np.zeros((leftovers + 1, trials), dtype=np.bool_)
        self.too_long = np.zeros(trials, dtype=np.bool_)
        self._used = np.empty(trials, dtype=np.int32)

    def lay(self, need: Ints, use: Ints, active: Bools, master: Bools | None) -> tuple[Bools, Bools, Bools] | None:
        """Lay one take where `active`.

        need: tape that must be free; use: what the take leaves used, at most that. master: whether it is one. Gives
        the trials that opened a reel, and of those the ones that passed one over for good, without and with a master;
        None where no trial did.
        """
        open_ = ~active
        for left, has_master in zip(self.left, self.master, strict=True):
            fits = left >= need
            np.greater(fits, open_, out=fits)
            np.multiply(use, fits, out=self._used)
            left -= self._used
            open_ |= fits
            if master is not None:
                has_master |= fits & master
        opened = ~open_
        where = np.flatnonzero(opened)
        if not where.size:
            return None
        passed, passed_master = np.zeros_like(opened), np.zeros_like(opened)
        there = self.left[0, where] != _NONE_OPEN
        kept = self.master[0, where]
        passed[where], passed_master[where] = there & ~kept, there & kept
        self.left[:-1, where] = self.left[1:, where]
        self.master[:-1, where] = self.master[1:, where]
        self.left[-1, where] = np.maximum(self.room - use[where], 0)
        self.master[-1, where] = False if master is None else master[where]
        self.too_long[where] |= need[where] > self.room
        return opened, passed, passed_master

    def still_open(self) -> tuple[Ints, Ints]:
        """How many reels are not passed over yet: without and with a master."""
        there = self.left != _NONE_OPEN
        return (there & ~self.master).sum(axis=0, dtype=np.int32), (there & self.master).sum(axis=0, dtype=np.int32)
