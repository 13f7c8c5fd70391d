"""A place on a reel as the machine shows it: the counter's time from the zero mark, and the timecode on its stripe."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, NamedTuple

from stock.core.house import House
from stock.core.measure import SECOND, time_of
from stock.core.timecode import RATES, code_of, frame_of
from stock.core.view import View


class Counter(NamedTuple):
    """How a reel's places are read. zero: its place. stripe: place, start code and rate; None where it has none."""

    zero: int
    stripe: tuple[int, str, str] | None

    def time_us(self, place: int, nominal: int) -> int:
        """The counter's time at a place; the counter goes by the nominal speed, and below zero before the mark."""
        return time_of(place - self.zero, nominal)

    def code(self, place: int, nominal: int) -> str | None:
        """The timecode at a place, to the frame below; None where there is no stripe, or before its start."""
        if self.stripe is None or place < self.stripe[0]:
            return None
        start, code, rate = self.stripe
        frames = Fraction(time_of(place - start, nominal), SECOND) * RATES[rate].run
        return code_of(frame_of(code, rate) + int(frames), rate)


def counter_of(view: View) -> Counter:
    """The counter of a reel as of the house's moment: a zero mark that was cut away is the head."""
    zero, stripe = _newest(view, "zero_marks"), _newest(view, "stripes")
    at = None if stripe is None else view.layout.project_point(stripe.tape, stripe.lo)
    return Counter(
        (view.layout.project_point(zero.tape, zero.lo) or 0) if zero is not None else 0,
        (at, stripe.start_code, stripe.rate) if stripe is not None and at is not None else None,
    )


def _newest(view: View, file: str) -> Any:
    return _marks(view.house, file).get(view.reel.reel)


def _marks(house: House, file: str) -> dict[str, Any]:
    """The newest zero mark or stripe of each reel; of those tied the last entered, as places are laid by."""
    key = "newest", file
    found: dict[str, Any] | None = house.memo.get(key)
    if found is None:
        newest: dict[str, tuple[int, int, Any]] = {}
        for row in house.record.of(file):
            if row.entry in house.record.voided or not house.as_of.has(row.day, row.at_us) or row.tape is None:
                continue
            if file == "stripes" and not (row.start_code and row.rate):
                continue
            rank = house.calendar.loosens(row.day, row.at_us), row.entry, row
            if row.reel not in newest or newest[row.reel] < rank:
                newest[row.reel] = rank
        found = house.memo[key] = {reel: rank[2] for reel, rank in newest.items()}
    return found
