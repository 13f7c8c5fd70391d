"""Exact measures: lengths on tape, speeds, playing times.

A length or a place is an integer count of tenths of a millimetre, so inches, feet and metres are all exact
(1 in = 25.4 mm by definition). A speed is an integer count of micrometres per second. A time is an integer count of
microseconds.
"""

from __future__ import annotations

from typing import NamedTuple

INCH = 254
FOOT = 3048
METRE = 10_000
SECOND = 1_000_000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE

IPS = 25_400
"""One inch per second, in micrometres per second."""


class Speed(NamedTuple):
    """A tape speed: the nominal figure the machine's counter goes by, and the varispeed set on top of it.

    nominal: micrometres per second. vary: hundredths of a percent (+3 % is 300).
    """

    nominal: int
    vary: int = 0

    @property
    def actual(self) -> int:
        """The speed the tape really moves at, micrometres per second, rounded to the nearest."""
        return _divide(self.nominal * (10_000 + self.vary), 10_000)


def _divide(numerator: int, denominator: int) -> int:
    """Integer division rounded to the nearest, halves away from zero (denominator above zero)."""
    if numerator < 0:
        return -((-numerator * 2 + denominator) // (2 * denominator))
    return (numerator * 2 + denominator) // (2 * denominator)


def length_of(time_us: int, speed: int) -> int:
    """The length that passes in a time: tenths of a millimetre, from microseconds and micrometres per second."""
    return _divide(time_us * speed, 100 * SECOND)


def time_of(length: int, speed: int) -> int:
    """The time a length takes: microseconds, from tenths of a millimetre and micrometres per second (above 0)."""
    return _divide(length * 100 * SECOND, speed)
