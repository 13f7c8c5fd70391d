"""Passes in bulk, as a store hands them over: tape by tape, in columns of text, unpacked where a reel is looked at.

A house has a hundred passes for each reel. Held as rows they take most of the time and room that answers about the
whole house need; as columns, a tape is a handful of strings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import partial
from itertools import repeat
from json import loads
from typing import Any, NamedTuple

from stock.core.record import Pass


class PackedRecords(NamedTuple):
    """The record passes of one tape: each column a JSON array, all in one order. reel: null where it is the tape's own
    reel."""

    entry: str
    reel: str
    day: str
    at_us: str
    speed: str
    vary: str
    tracks: str
    take: str
    lo: str
    hi: str


class PackedWear(NamedTuple):
    """What passes of one tape wear, as numbers with commas between.

    begins, ends: the places where passes of ten tenths begin and end. others: `tenths lo hi` of any other pass. None
    where there is none.
    """

    begins: str | None
    ends: str | None
    others: str | None


_pass_of = partial(tuple.__new__, Pass)
"""A pass from its values in order: `Pass._make` without its count of them, which takes longer than making it."""


class PackedPasses:
    """The passes of a house that nothing more is to be known of: not voided, there as of the moment asked for, and on
    one stretch of one tape each.

    records, wear: by tape.
    """

    def __init__(self, records: dict[str, PackedRecords], wear: dict[str, PackedWear]) -> None:
        self._records = records
        self._wear = wear
        self._alike: dict[str, list[Any]] = {}
        """Columns that are the same for many tapes (every pass at one speed), unpacked once."""

    def records(self, tape: str) -> list[tuple[int, int, Pass]]:
        """The record passes on a tape with their stretches, in the order of their columns."""
        packed = self._records.get(tape)
        if packed is None:
            return []
        lo, hi = loads(packed.lo), loads(packed.hi)
        reels = [tape if reel is None else reel for reel in self._unpack(packed.reel)]
        rows: Iterable[Pass] = map(
            _pass_of,
            zip(
                loads(packed.entry), reels, self._unpack(packed.day), loads(packed.at_us), repeat("record"),
                self._unpack(packed.speed), self._unpack(packed.vary), loads(packed.tracks), repeat(None),
                loads(packed.take), repeat(tape), lo, hi,
            ),
        )  # fmt: skip
        return list(zip(lo, hi, rows, strict=True))

    def _unpack(self, column: str) -> list[Any]:
        found = self._alike.get(column)
        if found is None:
            found = self._alike[column] = loads(column)
        return found

    def wear_steps(self, tape: str) -> dict[int, int]:
        """Where along a tape the tenths of a pass change, and by how much; a change may be 0."""
        steps: dict[int, int] = {}
        packed = self._wear.get(tape)
        if packed is None:
            return steps
        if packed.begins and packed.ends:
            for place, count in Counter(packed.begins.split(",")).items():
                steps[int(place)] = 10 * count
            for place, count in Counter(packed.ends.split(",")).items():
                at = int(place)
                steps[at] = steps.get(at, 0) - 10 * count
        if packed.others:
            for each in packed.others.split(","):
                tenths, lo, hi = map(int, each.split())
                steps[lo] = steps.get(lo, 0) + tenths
                steps[hi] = steps.get(hi, 0) - tenths
        return steps
