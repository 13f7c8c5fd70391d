"""Random cells and facts for the tests of this room, made from the table of kinds by the type of cell."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from hypothesis import strategies as st

from stock.core.facts import Fact, Stretch
from stock.core.kinds import KINDS, Field, Kind, columns
from stock.core.moments import Calendar
from stock.core.places import AtCode, AtLength, AtTime
from stock.edge.cells import Context, Parsed, minor_units
from stock.edge.plan import place_columns
from stock.edge.texts import BLANKS

ZONE = "Europe/Berlin"
CONTEXT = Context(Calendar(ZONE))
KIND = st.sampled_from(KINDS)

_VISIBLE = st.characters(
    exclude_categories=("Cc", "Cs", "Zl", "Zp"),
    exclude_characters="\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069",
)


def _trimmed(text: str) -> str:
    return text.strip(BLANKS)


def words(most: int = 30) -> st.SearchStrategy[str]:
    """A name as it can be stored."""
    return st.text(_VISIBLE, min_size=1, max_size=most).map(_trimmed).filter(bool)


def notes() -> st.SearchStrategy[str]:
    """A text as it can be stored, of several lines."""
    return st.lists(words(), min_size=1, max_size=3).map("\n".join)


@st.composite
def track_sets(draw: st.DrawFn) -> tuple[int, str | None]:
    """A mask and names for some of its tracks."""
    tracks = draw(st.sets(st.integers(1, 48), min_size=1))
    label = words(12).map(lambda text: text.replace(";", "").strip(BLANKS + ",-")).filter(bool)
    named = draw(st.dictionaries(st.sampled_from(sorted(tracks)), label, max_size=4))
    names = "; ".join(f"{track} {label}" for track, label in sorted(named.items()))
    return sum(1 << (track - 1) for track in tracks), names or None


_DAYS = st.integers(-7305, 84006)
_INSTANTS = st.integers(-631152000, 7258118400).flatmap(
    lambda second: st.sampled_from([0, 1, 500_000, 999_999]).map(lambda part: (second - 1) * 1_000_000 + part)
)
INSTANTS = _INSTANTS.filter(lambda at_us: at_us >= -631152000 * 1_000_000)
CODES = st.from_regex(r"\A([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9][:;][0-2][0-9]\Z").map(str)
PLACES = (
    st.builds(AtLength, st.integers(0, 10**10))
    | st.builds(AtTime, st.integers(-(10**12), 10**12))
    | st.builds(AtCode, CODES)
)


def _one(strategy: st.SearchStrategy[object]) -> st.SearchStrategy[Parsed]:
    return strategy.map(lambda value: (value,))  # type: ignore[arg-type,return-value]


_STORED: dict[str, Callable[[Field], st.SearchStrategy[Parsed]]] = {
    "text": lambda field: _one(notes()),
    "name": lambda field: _one(words()),
    "person": lambda field: _one(words()),
    "length": lambda field: _one(st.integers(1, 10**10)),
    "place": lambda field: _one(PLACES),
    "time": lambda field: _one(st.integers(0, 36 * 10**12)),
    "speed": lambda field: st.tuples(st.integers(1, 10**7), st.integers(-5000, 5000)),
    "speeds": lambda field: _one(st.sampled_from(["15 ips", "15 ips; 30 ips", "38.1 cm/s; 7.5 ips"])),
    "size": lambda field: _one(st.integers(1, 10**7)),
    "thickness": lambda field: _one(st.integers(1, 10**7)),
    "tracks": lambda field: track_sets(),
    "moment": lambda field: st.tuples(_DAYS, st.none()) | st.tuples(st.none(), INSTANTS),
    "day": lambda field: _one(_DAYS),
    "count": lambda field: _one(st.integers(1, 3) if field.name != "bytes" else st.integers(0, 2**63 - 1)),
    "thousandths": lambda field: _one(st.integers(-200_000 if field.name == "level_db" else 1, 200_000)),
    "share": lambda field: _one(st.integers(0, 1000)),
    "hertz": lambda field: _one(st.integers(1, 10**9)),
    "money": lambda field: _one(st.decimals(0, 10**9, places=2)),
    "currency": lambda field: _one(st.sampled_from(["EUR", "USD", "CHF"])),
    "yesno": lambda field: _one(st.sampled_from(["yes", "no"])),
    "choice": lambda field: _one(st.sampled_from(field.choices)),
    "timecode": lambda field: _one(CODES),
    "sha256": lambda field: _one(st.from_regex(r"\A[0-9a-f]{64}\Z")),
    "entry": lambda field: _one(st.integers(1, 2**63 - 1)),
}
CELL_TYPES = tuple(_STORED)


def stored(field: Field) -> st.SearchStrategy[Parsed]:
    """The stored values of a cell that is not empty."""
    return _STORED[field.cell](field)


def field_of(cell: str) -> Field:
    """The first field of any kind with that type of cell."""
    return next(field for kind in KINDS for field in kind.fields if field.cell == cell)


STRETCHES = st.builds(
    lambda tape, lo, long: Stretch(tape, lo, lo + long), words(), st.integers(0, 10**9), st.integers(0, 10**8)
)


@st.composite
def facts(draw: st.DrawFn, kind: Kind) -> Fact:
    """A fact of a kind as the store gives it: numbers in rising order where they have to be, money with a currency."""
    place_fields = place_columns(kind)
    amounts = any(field.cell == "money" for field in kind.fields)
    values: list[object] = []
    for field in kind.fields:
        if field.name in place_fields:
            continue
        parts = draw(stored(field))
        empty = not field.required and not (amounts and field.cell == "currency") and draw(st.booleans())
        values += [None] * len(parts) if empty else parts
    if kind.name == "decision":
        values.append(draw(st.none() | st.integers(1, 10**6)))
    names = [column.name for column in columns(kind)]
    for group in (("from", "to"), *((f"{what}_low", f"{what}_likely", f"{what}_high") for what in _GROUPS)):
        at = [names.index(name) for name in group if name in names]
        given = sorted(values[index] for index in at if values[index] is not None)  # type: ignore[type-var]
        for index in at:
            values[index] = given.pop(0) if values[index] is not None else None
    code = values[names.index("currency")] if amounts else None
    values = [minor_units(value, str(code)) if isinstance(value, Decimal) else value for value in values]
    places: tuple[Stretch, ...] = ()
    if kind.placed != "no":
        places = tuple(draw(st.lists(STRETCHES, max_size=3)))
    if kind.placed == "point":
        places = tuple(place._replace(hi=place.lo) for place in places)
    entry = draw(st.none() | st.integers(1, 10**6))
    return Fact(kind, tuple(values), places, entry, draw(st.none() | INSTANTS))  # type: ignore[arg-type]


_GROUPS = ("length", "takes", "lead")
