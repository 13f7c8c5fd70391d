"""Timecode as frame counts, drop frame and non-drop (SMPTE ST 12-1)."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from stock.core.measure import SECOND


class Rate(NamedTuple):
    """A frame rate: frames a second as counted, as run, and whether numbers are dropped."""

    counted: int
    run: Fraction
    drops: bool


RATES = {
    "24": Rate(24, Fraction(24), False),
    "25": Rate(25, Fraction(25), False),
    "29.97": Rate(30, Fraction(30_000, 1001), False),
    "29.97 drop": Rate(30, Fraction(30_000, 1001), True),
    "30": Rate(30, Fraction(30), False),
}
_CODE = re.compile("([0-9]{2}):([0-9]{2}):([0-9]{2})[:;]([0-9]{2})")


class TimecodeError(ValueError):
    """A timecode that does not exist at its rate."""


def frame_of(code: str, rate: str) -> int:
    """The frame number of `hh:mm:ss:ff` since 00:00:00:00. Raises TimecodeError for a code that does not exist."""
    found = _CODE.fullmatch(code)
    kind = RATES[rate]
    if found is None:
        raise TimecodeError(f"{code} is not a timecode: hh:mm:ss:ff was expected")
    hours, minutes, seconds, frames = map(int, found.groups())
    if hours > 23 or minutes > 59 or seconds > 59 or frames >= kind.counted:
        raise TimecodeError(f"{code} does not exist at {rate} frames a second")
    minute = 60 * hours + minutes
    count = (minute * 60 + seconds) * kind.counted + frames
    if kind.drops:
        if minute % 10 and seconds == 0 and frames < 2:
            raise TimecodeError(f"{code} is a number that drop frame leaves out")
        count -= 2 * (minute - minute // 10)
    return count


def code_of(frame: int, rate: str) -> str:
    """The timecode of a frame number, wrapping at 24 hours."""
    kind = RATES[rate]
    if kind.drops:
        frame %= 2 * 12 * 6 * 17_982
        tens, rest = divmod(frame, 17_982)
        frame += 18 * tens + (2 * ((rest - 2) // 1798) if rest >= 2 else 0)
    frame %= 24 * 3600 * kind.counted
    seconds, frames = divmod(frame, kind.counted)
    mark = ";" if kind.drops else ":"
    return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}{mark}{frames:02d}"


def time_between(first: str, second: str, rate: str) -> int:
    """Microseconds of playing time from one code to another; below zero where the second comes first."""
    frames = frame_of(second, rate) - frame_of(first, rate)
    return round(Fraction(frames) / RATES[rate].run * SECOND)
