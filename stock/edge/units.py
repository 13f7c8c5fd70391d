"""Measures as people type them, turned into exact stored integers.

Pint knows the units and their dimensions, in a small registry of the project's own (a stock registry reads `mil` as an
angle). It is imported when a spelling is met that is not in the short table of plain ones. All arithmetic is on whole
numbers: the factors of the units are fractions.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from stock.edge.problems import CellError

if TYPE_CHECKING:
    from pint import UnitRegistry


class Measure(NamedTuple):
    """A kind of measure: its dimension, its wording, stored units to a base (m, s, m/s, Hz, kg), the most stored."""

    dimension: str
    expected: str
    such_as: str
    per_base: int
    most: int


class Quantity(NamedTuple):
    """A number read with its unit: what it measures, and its value in base units as a fraction."""

    dimension: str
    numerator: int
    denominator: int


LENGTH = Measure("length", "a length", "`2500 ft` or `762 m`", 10_000, 10**10)
SIZE = Measure("length", "a width or a diameter", "`2 in` or `50.8 mm`", 10**6, 10**7)
THICKNESS = Measure("length", "a thickness", "`2.1 mil` or `50 um`", 10**9, 10**7)
DURATION = Measure("time", "a playing time", "`9:00` or `540 s`", 10**6, 36 * 10**12)
SPEED = Measure("speed", "a speed", "`15 ips` or `38.1 cm/s`", 10**6, 10**7)
MASS = Measure("mass", "a weight", "`1.2 kg` or `850 g`", 10**6, 10**9)
FREQUENCY = Measure("frequency", "a frequency", "`96 kHz` or `44100`", 1, 10**9)

_INCH = Fraction(254, 10_000)
_CENTI = Fraction(1, 100)
_MICRO = Fraction(1, 10**6)

_PLAIN: dict[str, tuple[str, int, int]] = {
    spelling: (dimension, Fraction(factor).numerator, Fraction(factor).denominator)
    for dimension, factor, spellings in (
        ("length", Fraction(1), ("m",)),
        ("length", _CENTI, ("cm",)),
        ("length", Fraction(1, 1000), ("mm",)),
        ("length", _MICRO, ("um", "\u03bcm")),
        ("length", _INCH, ("in", '"')),
        ("length", 12 * _INCH, ("ft", "feet", "'")),
        ("length", _INCH / 1000, ("mil",)),
        ("time", Fraction(1), ("s",)),
        ("time", Fraction(60), ("min",)),
        ("time", Fraction(3600), ("h",)),
        ("speed", _INCH, ("ips", "in/s")),
        ("speed", _CENTI, ("cm/s",)),
        ("speed", Fraction(1), ("m/s",)),
        ("frequency", Fraction(1), ("hz",)),
        ("frequency", Fraction(1000), ("khz",)),
    )
    for spelling in spellings
}
"""The common spellings, case-folded: they need no registry. Checked against the registry by a test."""

_DEFINITIONS = (
    "metre = [length] = m = meter",
    "centimetre = 0.01 * metre = cm = centimeter",
    "millimetre = 0.001 * metre = mm = millimeter",
    "micrometre = 0.000001 * metre = um = micrometer = micron = \u03bcm",
    "inch = 0.0254 * metre = in = inches",
    "foot = 0.3048 * metre = ft = feet",
    "yard = 0.9144 * metre = yd",
    "mil = 0.0000254 * metre = mil",
    "second = [time] = s = sec",
    "minute = 60 * second = min",
    "hour = 3600 * second = h = hr",
    "ips = inch / second = ips",
    "hertz = 1 / second = hz",
    "kilohertz = 1000 * hertz = khz",
    "kilogram = [mass] = kg = kilo",
    "gram = 0.001 * kilogram = g = gramme",
    "pound = 0.45359237 * kilogram = lb = lbs",
    "ounce = 0.028349523125 * kilogram = oz",
)
_DIMENSIONS = (
    ("length", "a length", {"[length]": 1}),
    ("time", "a time", {"[time]": 1}),
    ("speed", "a speed", {"[length]": 1, "[time]": -1}),
    ("frequency", "a frequency", {"[time]": -1}),
    ("mass", "a mass", {"[mass]": 1}),
)
_NAMED = {dimension: named for dimension, named, _ in _DIMENSIONS}
_MARKS = {'"': "inch", "'": "foot"}

_TYPED = re.compile(
    r"([+\-\u2212]?) ?((?:[0-9]{1,18}(?:\.[0-9]{1,18})?|\.[0-9]{1,18}))"  # sign and number
    r" *((?:[^\W\d_]|[\"'/ ]){0,40})"  # unit
)
_PER = re.compile(r" *(?:/| per ) *")
_WORD = re.compile("[a-z\u03bc]+")


@cache
def registry() -> UnitRegistry[Any]:
    """The project's own units, made on first use; magnitudes are fractions, so that every factor is exact."""
    from pint import UnitRegistry

    own: UnitRegistry[Any] = UnitRegistry(None, non_int_type=Fraction)
    for definition in _DEFINITIONS:
        own.define(definition)
    return own


@lru_cache(maxsize=256)
def unit_by_registry(unit: str) -> tuple[str, int, int] | None:
    """What a case-folded unit measures and its size in base units as a fraction; None for an unknown one.

    The dimension is empty for a unit that is known and of no use here, such as `m per m`.
    """
    from pint.errors import PintError

    words = [_MARKS.get(word, word) for word in _PER.split(unit)]
    # the registry reads `nan` as a number
    if len(words) > 2 or "nan" in words or not all(map(_WORD.fullmatch, words)):
        return None
    own = registry()
    try:
        units = [own.parse_units(word) for word in words]
    except PintError:
        return None
    whole = units[0] if len(units) == 1 else units[0] / units[1]
    factor = Fraction(own.Quantity(Fraction(1), whole).to_root_units().magnitude)
    exponents = dict(whole.dimensionality)
    names = [name for name, _, wanted in _DIMENSIONS if exponents == wanted]
    return (names[0] if names else "", factor.numerator, factor.denominator)


def quantity(text: str, expected: str, such_as: str) -> Quantity:
    """A plain number and its unit, of whatever dimension; expected, such_as: the wording of the CellError."""
    typed = _TYPED.fullmatch(text)
    if typed is None:
        raise CellError.of(text, "is not a plain number with a unit", expected, such_as)
    sign, number, spelled = typed.groups()
    if not spelled:
        raise CellError.of(text, "names no unit", expected + " with its unit", such_as)
    unit = spelled.casefold()
    known = _PLAIN.get(unit) or unit_by_registry(unit)
    if known is None:
        raise CellError.of(text, "has a unit that is not known here", expected, such_as)
    if sign and sign != "+":
        raise CellError.of(text, "is below nothing", expected, such_as)
    whole, _, part = number.partition(".")
    dimension, numerator, denominator = known
    return Quantity(dimension, int(whole + part) * numerator, denominator * 10 ** len(part))


def stored(text: str, found: Quantity, measure: Measure) -> int:
    """A quantity in the stored units of a measure, rounded to the nearest; text: for the message of the CellError."""
    if found.dimension != measure.dimension:
        named = _NAMED.get(found.dimension, "another kind of measure")
        raise CellError.of(text, f"is {named}", measure.expected, measure.such_as)
    count = (2 * found.numerator * measure.per_base + found.denominator) // (2 * found.denominator)
    if count > measure.most:
        raise CellError.of(text, "is far too much", measure.expected, measure.such_as)
    return count


def whole(text: str, measure: Measure) -> int:
    """A typed measure in its stored units; CellError where it is none, has no unit, is negative or far too large."""
    return stored(text, quantity(text, measure.expected, measure.such_as), measure)
