"""How what somebody typed is understood, told beside the field while it is typed."""

from __future__ import annotations

from stock.core.kinds import Field
from stock.core.measure import Speed, length_of, time_of
from stock.core.moments import date_of, datetime_of
from stock.core.places import AtLength, AtTime
from stock.core.words import clock, feet, speed_words
from stock.edge.cells import CellError, Context, parse, parse_place, parse_speed


def understood(field: Field, typed: str, speed: str, context: Context) -> str:
    """What a text in a field means, in words; empty where it means nothing yet, or says so itself.

    speed: as typed in the same form, for places and times.
    """
    try:
        if not typed.strip():
            return ""
        if field.cell == "place":
            return _place(typed.strip(), _speed(speed), context)
        if field.cell == "speed":
            found = parse_speed(typed.strip())
            return f"{speed_words(Speed(found.nominal, found.vary))}, {found.nominal / 10_000:g} cm/s"
        values = parse(field, typed.strip(), context)
    except CellError:
        return ""
    return _value(field, values, context)


def _speed(typed: str) -> int | None:
    try:
        return parse_speed(typed.strip()).nominal if typed.strip() else None
    except CellError:
        return None


def _place(typed: str, speed: int | None, context: Context) -> str:
    found = parse_place(typed, context)
    if isinstance(found, AtLength):
        time = f", {clock(time_of(found.length, speed))} of tape" if speed else ""
        return f"{feet(found.length)} from the head{time}"
    if isinstance(found, AtTime):
        length = f", {feet(length_of(found.time_us, speed))} from its zero" if speed else ""
        return f"{clock(found.time_us)} by the counter{length}"
    return "a timecode" if found is not None else ""


def _value(field: Field, values: tuple[object, ...], context: Context) -> str:
    first = values[0]
    if field.cell in ("moment", "day") and isinstance(first, int):
        return f"{date_of(first):%A, %Y-%m-%d}"
    if field.cell == "moment" and isinstance(values[1], int):
        return f"{datetime_of(values[1]).astimezone(context.calendar.zone):%A, %Y-%m-%d %H:%M}"
    if field.cell == "tracks" and isinstance(first, int):
        count = first.bit_count()
        return f"{count} track{'' if count == 1 else 's'}"
    if field.cell == "length" and isinstance(first, int):
        return f"{feet(first)}, {first / 10_000:g} m"
    if field.cell == "hertz" and isinstance(first, int):
        return f"{first} Hz"
    return ""
