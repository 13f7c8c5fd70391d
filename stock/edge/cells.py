"""One parser and one speller for each type of cell: what people type becomes stored values, and back without loss."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import NamedTuple

from stock.core.facts import Value
from stock.core.kinds import Cell, Field
from stock.core.measure import Speed
from stock.core.moments import Calendar
from stock.core.places import Place
from stock.core.words import vary_words
from stock.edge import clock, numbers, texts, units
from stock.edge.problems import CellError

__all__ = [
    "CellError",
    "Context",
    "Parsed",
    "Stored",
    "amount_of",
    "minor_units",
    "parse",
    "parse_place",
    "parse_speed",
    "speeds_of",
    "spell",
    "spell_place",
    "spell_values",
    "width",
]

amount_of = numbers.amount_of
minor_units = numbers.minor_units
spell_place = clock.spell_place

Stored = Value | Decimal | Place
"""What one value of a cell becomes: a stored value, an amount not yet in minor units, or a place not yet on tape."""

Parsed = tuple[Stored, ...]
"""The values of one cell in the order of its columns."""


class Context(NamedTuple):
    """What reading and writing depends on beside the text. calendar: the house's time zone."""

    calendar: Calendar


class _Codec(NamedTuple):
    """How one type of cell is read and written, where it is not empty. wide: how many values it makes."""

    expected: str
    parse: Callable[[Field, str, Context], Parsed]
    spell: Callable[..., str]
    wide: int = 1


_VARIED = re.compile(r"(.*[^ +\-]) *([+-]) ?([0-9]{1,2}(?:\.[0-9]{1,2})?) ?%")
_MOST_VARY = 5_000


def parse(field: Field, text: str, context: Context) -> Parsed:
    """The stored values of a cell, in the order of its columns; all None for an empty one.

    A moment gives (day, at_us), a speed (nominal, vary), tracks (mask, names), money a Decimal, a place a `Place`.
    CellError where the text cannot be read, or is empty and the field required.
    """
    codec = _CODECS[field.cell]
    stripped = text.strip(texts.BLANKS)
    if stripped:
        return codec.parse(field, stripped, context)
    if field.required:
        expected = f"one of {', '.join(field.choices)}" if field.choices else codec.expected
        raise CellError.of("", "is given", expected)
    return (None,) * codec.wide


def spell(field: Field, stored: Parsed, context: Context) -> str:
    """The text a dump writes for stored values, such that `parse` gives the same values; empty for none."""
    return spell_values(field.cell, stored)


def spell_values(cell: Cell, stored: Parsed) -> str:
    """As `spell`, by the type of cell: no type so far is written differently in one house than in another."""
    if all(value is None for value in stored):
        return ""
    return _CODECS[cell].spell(*stored)


def width(cell: Cell) -> int:
    """How many stored values a type of cell makes."""
    return _CODECS[cell].wide


def parse_place(text: str, context: Context) -> Place | None:
    """A place as people type it, None for an empty text; CellError where it cannot be read."""
    stripped = text.strip(texts.BLANKS)
    return clock.place(stripped) if stripped else None


def parse_speed(text: str) -> Speed:
    """A speed with or without varispeed, `15 ips`, `38.1 cm/s +3%`; CellError where it cannot be read."""
    varied = _VARIED.fullmatch(text)
    bare, sign, percent = (text, "+", "0") if varied is None else varied.groups()
    nominal = units.whole(bare, units.SPEED)
    if not nominal:
        raise CellError.of(text, "is no speed at all", units.SPEED.expected, units.SPEED.such_as)
    vary = int(Decimal(sign + percent).scaleb(2))
    if abs(vary) > _MOST_VARY:
        raise CellError.of(text, "is varied too much", "a varispeed of at most 50 %", "`15 ips +3%`")
    return Speed(nominal, vary)


def speeds_of(text: str) -> tuple[Speed, ...]:
    """The speeds of a `speeds` cell, `15 ips; 30 ips`; CellError where one cannot be read or is varied."""
    found = tuple(parse_speed(item.strip(texts.BLANKS)) for item in text.split(";"))
    if any(speed.vary for speed in found):
        raise CellError.of(text, "has a varispeed", "a list of nominal speeds", "`15 ips; 30 ips`")
    return found


def _parse_speed(field: Field, text: str, context: Context) -> Parsed:
    return tuple(parse_speed(text))


def _spell_speed(nominal: int, vary: int | None) -> str:
    spelled = f"{numbers.spell_scaled(nominal, 4)} cm/s"
    return f"{spelled} {vary_words(vary)}" if vary else spelled


def _parse_speeds(field: Field, text: str, context: Context) -> Parsed:
    speeds_of(text)
    return ("; ".join(item.strip(texts.BLANKS) for item in text.split(";")),)


def _spell_moment(day: int | None, at_us: int | None) -> str:
    if at_us is not None:
        return clock.spell_instant(at_us)
    assert day is not None
    return clock.spell_day(day)


def _parse_size(field: Field, text: str, context: Context) -> Parsed:
    return (_above_nothing(text, units.SIZE),)


def _parse_thickness(field: Field, text: str, context: Context) -> Parsed:
    return (_above_nothing(text, units.THICKNESS),)


def _above_nothing(text: str, measure: units.Measure) -> int:
    value = units.whole(text, measure)
    if not value:
        raise CellError.of(text, "is nothing", measure.expected, measure.such_as)
    return value


_UNITS_OF_NUMBERS = {"level_db": "dB", "level_nwb_m": "nWb/m"}


def _parse_hertz(field: Field, text: str, context: Context) -> Parsed:
    bare = text.isascii() and text.isdigit()
    found = units.quantity(f"{text} hz" if bare else text, units.FREQUENCY.expected, units.FREQUENCY.such_as)
    value = units.stored(text, found, units.FREQUENCY)
    if not value or found.numerator % found.denominator:
        raise CellError.of(text, "is not a whole number of hertz", units.FREQUENCY.expected, units.FREQUENCY.such_as)
    return (value,)


def _parse_entry(field: Field, text: str, context: Context) -> Parsed:
    value = numbers.count(text, "the number of an entry")
    if not value:
        raise CellError.of(text, "is no entry", "the number of an entry", "`12`")
    return (value,)


_CODECS: dict[Cell, _Codec] = {
    "text": _Codec("a text", lambda field, text, context: (texts.note(text),), str),
    "name": _Codec("a name", lambda field, text, context: (texts.name(text),), str),
    "person": _Codec("a person's name", lambda field, text, context: (texts.name(text),), str),
    "length": _Codec("a length", lambda field, text, context: (units.whole(text, units.LENGTH),), clock.spell_length),
    "place": _Codec("a place on the reel", lambda field, text, context: (clock.place(text),), clock.spell_place),
    "time": _Codec("a playing time", lambda field, text, context: (clock.duration(text),), clock.spell_time),
    "speed": _Codec("a speed", _parse_speed, _spell_speed, 2),
    "speeds": _Codec("a list of speeds", _parse_speeds, str),
    "size": _Codec("a width or a diameter", _parse_size, lambda size: f"{numbers.spell_scaled(size, 3)} mm"),
    "thickness": _Codec("a thickness", _parse_thickness, lambda nm: f"{numbers.spell_scaled(nm, 3)} µm"),
    "tracks": _Codec("a list of tracks", lambda field, text, context: texts.tracks(text), texts.spell_tracks, 2),
    "moment": _Codec(
        "a date or an instant", lambda field, text, context: clock.moment(text, context.calendar), _spell_moment, 2
    ),
    "day": _Codec("a date", lambda field, text, context: (clock.day(text),), clock.spell_day),
    "count": _Codec("a whole number", lambda field, text, context: (numbers.count(text),), str),
    "thousandths": _Codec(
        "a number",
        lambda field, text, context: (numbers.thousandths(text, _UNITS_OF_NUMBERS.get(field.name, "")),),
        lambda value: numbers.spell_scaled(value, 3),
    ),
    "share": _Codec(
        "a part between 0 and 1",
        lambda field, text, context: (numbers.share(text),),
        lambda value: numbers.spell_scaled(value, 3),
    ),
    "hertz": _Codec("a frequency", _parse_hertz, lambda hertz: f"{hertz} Hz"),
    "money": _Codec("an amount", lambda field, text, context: (numbers.money(text),), numbers.spell_money),
    "currency": _Codec("a currency", lambda field, text, context: (numbers.currency(text),), str),
    "yesno": _Codec("yes or no", lambda field, text, context: (texts.choice(text, ("yes", "no")),), str),
    "choice": _Codec("a choice", lambda field, text, context: (texts.choice(text, field.choices),), str),
    "timecode": _Codec("a timecode", lambda field, text, context: (clock.timecode(text),), str),
    "sha256": _Codec("a SHA-256 hash", lambda field, text, context: (texts.sha256(text),), str),
    "entry": _Codec("the number of an entry", _parse_entry, str),
}
