"""Places as people type them, on a reel as the map shows it."""

from __future__ import annotations

from stock.core.measure import length_of
from stock.core.places import AtLength, AtTime, Place
from stock.core.timecode import TimecodeError, time_between
from stock.core.words import clock, feet
from tui.present.tape import Tape


class PlaceError(ValueError):
    """A place that is not on the reel; str() says why."""


def reel_place(place: Place, tape: Tape, speed: int) -> int:
    """A place in tenths of a millimetre from the head: a counter time counts from the zero mark. Raises PlaceError."""
    if isinstance(place, AtLength):
        at, given = place.length, feet(place.length)
    elif isinstance(place, AtTime):
        at, given = tape.zero + length_of(place.time_us, speed), clock(place.time_us)
    elif tape.stripe is None:
        raise PlaceError("this reel has no timecode: give a time or a length")
    else:
        try:
            time_us = time_between(tape.stripe.start_code, place.code, tape.stripe.rate)
        except TimecodeError as error:
            raise PlaceError(str(error)) from None
        at, given = tape.stripe.at + length_of(time_us, speed), place.code
    if not 0 <= at <= tape.length:
        raise PlaceError(f"{given} lies outside the tape: the reel holds {feet(tape.length)}")
    return at
