"""Places as counter times and timecode, against the codes SMPTE ST 12-1 gives (computed from its counting)."""

from __future__ import annotations

import pytest

from stock.core.measure import IPS, SECOND, length_of
from stock.core.picking.counter import Counter, counter_of
from stock.core.view import View
from stock.store.store import Store
from tests.core.builder import Studio

SPEED = 15 * IPS


def test_the_counter_goes_from_the_newest_zero_mark(empty: Store) -> None:
    studio = Studio(empty)
    studio.add("zero_marks", reel="R1", date="2025-01-01", at="100 ft")
    studio.add("zero_marks", reel="R1", date="2025-02-01", at="25 ft")
    counter = counter_of(View(studio.house(), "R1"))
    assert counter == Counter(25 * 3048, None)
    assert counter.time_us(25 * 3048 + 3810 * 60, SPEED) == 60 * SECOND
    assert counter.time_us(0, SPEED) == -20 * SECOND
    assert counter.code(100_000, SPEED) is None


def test_a_zero_mark_cut_away_is_the_head(empty: Store) -> None:
    studio = Studio(empty)
    studio.add("zero_marks", reel="R1", date="2025-01-01", at="200 ft")
    studio.add("zero_marks", reel="R1", date="2025-02-01", at="25 ft")
    studio.add("edits", reel="R1", date="2025-03-01", start="0 ft", end="50 ft")
    assert counter_of(View(studio.house(), "R1")).zero == 0


CODES = [
    ("29.97 drop", 1799, "00:00:59;29"),
    ("29.97 drop", 1800, "00:01:00;02"),
    ("29.97 drop", 17_981, "00:09:59;29"),
    ("29.97 drop", 17_982, "00:10:00;00"),
    ("29.97", 1800, "00:01:00:00"),
    ("25", 1500, "00:01:00:00"),
]


@pytest.mark.parametrize(("rate", "frame", "code"), CODES)
def test_the_timecode_at_a_place(empty: Store, rate: str, frame: int, code: str) -> None:
    studio = Studio(empty)
    start = "00:00:00;00" if "drop" in rate else "00:00:00:00"
    studio.add("stripes", reel="R1", date="2025-01-01", track="4", at="30 ft", start_code=start, rate=rate)
    counter = counter_of(View(studio.house(), "R1"))
    frame_us = {"25": 40_000}.get(rate, 1_001_000 / 30)
    inside = 30 * 3048 + length_of(round((frame + 0.5) * frame_us), SPEED)
    assert counter.code(inside, SPEED) == code
    assert counter.code(30 * 3048 - 1, SPEED) is None
