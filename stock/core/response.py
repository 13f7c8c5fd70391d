"""Response checks of a reel as they lie over the passes it has made, and what is measured by them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from itertools import accumulate
from typing import NamedTuple

from stock.core.house import House
from stock.core.record import Response
from stock.core.view import View, take_names

TOP_TONE_HZ = 10_000
"""The tone by which the house's limits on a fall go."""


class Reading(NamedTuple):
    """A level read once. passes: tenths of a pass made at its place before it. level_db: thousandths of a dB.

    moment: microseconds, the start of its day where it has no time. day: the local day, None where not dated.
    """

    moment: int
    day: int | None
    passes: int
    level_db: int
    entry: int


class Series(NamedTuple):
    """Readings of one tone that may be held against one another, oldest first (of one moment the highest first).

    tape, at: the tape place. place: the reel place now. speed: actual, micrometres per second, or None. passes_now:
    tenths of a pass made at its place by the as-of moment. year: those of the 365 days before it.
    """

    tape: str
    at: int
    place: int
    speed: int | None
    vary: int
    machine: str | None
    track: int | None
    tone: str | None
    frequency_hz: int
    readings: tuple[Reading, ...]
    passes_now: int
    year: int

    @property
    def fall_db(self) -> int:
        """How much the newest reading lies under the first, thousandths of a dB."""
        return self.readings[0].level_db - self.readings[-1].level_db

    @property
    def same_check(self) -> tuple[object, ...]:
        """What tones of one check have in common."""
        return self.tape, self.at, self.speed, self.vary, self.machine, self.track, self.tone


class Worn:
    """The passes made at one tape place, over time; passes before the tape came count from the beginning."""

    def __init__(self, house: House, tape: str, at: int) -> None:
        calendar = house.calendar
        made: list[tuple[int, int]] = []
        logged: set[tuple[str, str]] = set()
        for lo, hi, row in house.on_tape("passes", tape):
            if lo <= at < hi:
                tenths = (1 if row.count is None else row.count) * (1 if row.kind == "wind" else 10)
                made.append((calendar.binds(row.day, row.at_us), tenths))
                if row.kind == "record" and row.take:
                    logged.add((row.reel, row.take))
        for lo, hi, take in house.on_tape("takes", tape):
            # where a record pass names the take, that pass is its wear
            if lo <= at < hi and not any((take.reel, name) in logged for name in take_names(take)):
                made.append((calendar.binds(take.day, take.at_us), 10))
        for lo, hi, wipe in house.on_tape("wipes", tape):
            if lo <= at < hi and wipe.method == "machine":
                made.append((calendar.loosens(wipe.day, wipe.at_us), 10))
        made.sort()
        self._moments = [moment for moment, _ in made]
        self._sums = [10 * (house.reel(tape).passes_before or 0)]
        self._sums = list(accumulate((tenths for _, tenths in made), initial=self._sums[0]))

    def by(self, moment: int) -> int:
        """Tenths of a pass made by a moment; of a day without a time, once the day is over."""
        return self._sums[bisect_right(self._moments, moment)]

    @property
    def now(self) -> int:
        return self._sums[-1]


_YEAR_US = 365 * 86_400_000_000


def series_of(view: View) -> list[Series]:
    """All readings at places on the reel, series by series: worst track first within a tone, tones from low to high."""
    house = view.house
    held: dict[tuple[object, ...], list[Response]] = {}
    places: dict[tuple[str, int], int] = {}
    for start, piece in view.on_reel:
        for lo, _, row in house.on_tape("response", piece.tape):
            if piece.lo <= lo <= piece.hi:
                places.setdefault((piece.tape, lo), start + lo - piece.lo)
                key = piece.tape, lo, row.speed, row.vary or 0, row.machine, row.track, row.tone, row.frequency_hz
                rows = held.setdefault(key, [])
                if row not in rows:
                    rows.append(row)
    worn = {spot: Worn(house, spot[0], _within(view, *spot)) for spot in places}
    found = [_series(house, rows, key, places, worn) for key, rows in held.items()]
    return sorted(found, key=lambda series: (series.frequency_hz, -series.fall_db, *map(str, series.same_check)))


def _within(view: View, tape: str, at: int) -> int:
    """The tape just at a place, or just before it where the reel's tape ends there."""
    return at if any(p.tape == tape and p.lo <= at < p.hi for _, p in view.on_reel) else at - 1


def _series(
    house: House,
    rows: Iterable[Response],
    key: tuple[object, ...],
    places: dict[tuple[str, int], int],
    worn: dict[tuple[str, int], Worn],
) -> Series:
    calendar = house.calendar
    first = next(iter(rows))
    assert first.tape is not None and first.lo is not None
    tape, at = str(key[0]), first.lo
    passes = worn[tape, at]
    readings = [
        Reading(
            moment := calendar.loosens(row.day, row.at_us),
            calendar.local_day(row.day, row.at_us),
            passes.by(moment),
            row.level_db,
            row.entry,
        )
        for row in rows
    ]
    readings.sort(key=lambda reading: (reading.moment, -reading.level_db, reading.entry))
    vary = first.vary or 0
    return Series(
        tape,
        at,
        places[tape, at],
        None if first.speed is None else (first.speed * (10_000 + vary) + 5_000) // 10_000,
        vary,
        first.machine,
        first.track,
        first.tone,
        first.frequency_hz,
        tuple(readings),
        passes.now,
        passes.now - passes.by(house.as_of.at_us - _YEAR_US),
    )


def falls_with(series: Series, every: Iterable[Series]) -> dict[int, float]:
    """The falls in dB of all tones checked on the days of a series' first and newest reading, by frequency.

    Empty where the series has one reading only.
    """
    if len(series.readings) < 2:
        return {}
    days = series.readings[0].day, series.readings[-1].day
    return {
        other.frequency_hz: other.fall_db / 1000
        for other in every
        if other.same_check == series.same_check
        and len(other.readings) > 1
        and (other.readings[0].day, other.readings[-1].day) == days
    }
