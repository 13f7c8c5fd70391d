"""The few plain text forms that the generated houses write, read into exact values.

Lengths and places are integer tenths of a millimetre, speeds integer micrometres per second, moments UTC.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

Row = dict[str, str]
House = dict[str, list[Row]]

TENTHS_OF_MM = {"m": 10_000, "ft": 3_048, "in": 254}
MICROMETRES_PER_INCH = 25_400


@dataclass(frozen=True)
class Moment:
    """When a fact was: its day, and the first and the last instant it may have been (equal for a timed fact)."""

    day: date
    start: datetime
    end: datetime


def read_moment(text: str) -> Moment:
    """Read `2025-03-04` (the whole day, UTC) or `2025-03-04T10:15:00Z`."""
    if "T" in text:
        instant = datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)
        return Moment(instant.date(), instant, instant)
    day = date.fromisoformat(text)
    start = datetime.combine(day, time(), UTC)
    return Moment(day, start, start + timedelta(days=1) - timedelta(microseconds=1))


def read_length(text: str) -> int:
    """Read `123.4000 m`, `25 ft` or `1 in` as tenths of a millimetre; every such length is exact."""
    number, unit = text.split()
    length = Decimal(number) * TENTHS_OF_MM[unit]
    if length != int(length):
        raise ValueError(f"{text!r} is not a whole number of tenths of a millimetre")
    return int(length)


def read_speed(text: str) -> int:
    """Read `7.5 ips` as micrometres per second."""
    number, unit = text.split()
    if unit != "ips":
        raise ValueError(f"{text!r} is not a speed in ips")
    return int(Decimal(number) * MICROMETRES_PER_INCH)


def travel(seconds: str, speed_um_s: int) -> int:
    """Length of tape, in tenths of a millimetre, that passes in so many seconds."""
    return int(Decimal(seconds) * speed_um_s / 100)


def read_tracks(text: str, track_count: int) -> frozenset[int]:
    """Read `1-3,5` or `1 kick; 2 snare`; not stated means every track of the reel."""
    if not text:
        return frozenset(range(1, track_count + 1))
    tracks: set[int] = set()
    for part in text.replace(";", ",").split(","):
        number = part.split()[0]
        first, _, last = number.partition("-")
        tracks.update(range(int(first), int(last or first) + 1))
    return frozenset(tracks)


def same_words(text: str) -> str:
    """Fold case and spaces, as names of media and owners are compared."""
    return " ".join(text.split()).casefold()
