"""Random facts of every kind, within the bounds a form keeps."""

from __future__ import annotations

from hypothesis import strategies as st

from stock.core.facts import Entered, Fact, Stretch, Value
from stock.core.kinds import Field, Kind, columns
from stock.edge.texts import BLANKS, tracks

_BIDI = "".join(map(chr, [0x2028, 0x2029, *range(0x202A, 0x202F), *range(0x2066, 0x206A)]))
_BEGINNINGS = ("", "'", "''", "=", "+", "-", "@", '"', "'=", ",", ";", ":", "%3B", "[/]")
_VISIBLE = st.characters(exclude_categories=("Cs", "Cc"), exclude_characters=_BIDI)
_FIRST_US, _LAST_US = -631_152_000_000_000, 7_258_118_400_000_000
"""1950 and 2200, microseconds since 1970."""

_TRACKS = ("1-8,13", "48", "1 kick; 2 snare; 5-8", "3 = DI; 4-6", "1 'room'; 2 @ wall")
_IN_ORDER = (
    ("from", "to"),
    ("length_low", "length_likely", "length_high"),
    ("takes_low", "takes_likely", "takes_high"),
    ("lead_low", "lead_likely", "lead_high"),
)


def _words(characters: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    bodies = st.text(characters, min_size=1, max_size=20)
    words = st.builds(lambda beginning, body: (beginning + body).strip(BLANKS), st.sampled_from(_BEGINNINGS), bodies)
    return words.filter(bool)


names = _words(_VISIBLE)
texts = _words(st.one_of(_VISIBLE, st.sampled_from('\n\t",')))


def _stored(field: Field) -> st.SearchStrategy[tuple[Value, ...]]:
    """Stored values of a cell that is not empty."""
    if field.cell == "tracks":
        return st.sampled_from([tracks(text) for text in _TRACKS])
    if field.cell == "moment":
        days = st.tuples(st.integers(-7_305, 84_006), st.none())
        return st.one_of(days, st.tuples(st.none(), st.integers(_FIRST_US, _LAST_US)))
    if field.cell == "speed":
        return st.tuples(st.integers(1, 10**7), st.integers(-5_000, 5_000))
    return st.tuples(_single(field))


def _single(field: Field) -> st.SearchStrategy[Value]:
    values: dict[str, st.SearchStrategy[Value]] = {
        "text": texts,
        "name": names,
        "person": names,
        "length": st.integers(1, 10**10),
        "time": st.integers(0, 36 * 10**12),
        "speeds": st.sampled_from(["15 ips", "15 ips; 30 ips", "+38.1 cm/s"]),
        "size": st.integers(1, 10**7),
        "thickness": st.integers(1, 10**7),
        "day": st.integers(-7_305, 84_006),
        "count": st.integers(1, 3),
        "thousandths": st.integers(-200_000 if field.name == "level_db" else 1, 200_000),
        "share": st.integers(0, 1_000),
        "hertz": st.integers(1, 10**9),
        "money": st.integers(0, 10**9),
        "currency": st.sampled_from(["EUR", "JPY", "KWD"]),
        "yesno": st.sampled_from(["yes", "no"]),
        "choice": st.sampled_from(field.choices or ("",)),
        "timecode": st.sampled_from(["01:00:00:00", "23:59:59;29"]),
        "sha256": st.binary(min_size=32, max_size=32).map(bytes.hex),
        "entry": st.integers(1, 2**63 - 1),
    }
    return values[field.cell]


@st.composite
def facts(draw: st.DrawFn, kind: Kind) -> Fact:
    """A fact of a kind, with its entry, when it was recorded and, where it is placed, stretches of tape."""
    values: list[Value] = []
    for field in kind.fields:
        if field.cell == "place":
            continue
        filled = _stored(field)
        if field.required or field.cell == "currency":
            values += draw(filled)
        else:
            values += draw(st.one_of(filled.map(lambda given: (*(None for _ in given),)), filled))
    if kind.name == "decision":
        values.append(draw(st.integers(1, 10**9)))
    at = {column.name: index for index, column in enumerate(columns(kind))}
    for group in _IN_ORDER:
        given = [at[column] for column in group if column in at and values[at[column]] is not None]
        for index, value in zip(given, sorted(values[index] for index in given), strict=True):  # type: ignore[type-var]
            values[index] = value
    places = tuple(draw(st.lists(_stretches(kind), max_size=3))) if kind.placed != "no" else ()
    entry = draw(st.integers(1, 2**63 - 1))
    return Fact(kind, tuple(values), places, entry, draw(st.integers(_FIRST_US, _LAST_US)))


def _stretches(kind: Kind) -> st.SearchStrategy[Stretch]:
    def stretch(tape: str, one: int, other: int) -> Stretch:
        return Stretch(tape, min(one, other), min(one, other) if kind.placed == "point" else max(one, other))

    lengths = st.integers(0, 10**10)
    return st.builds(stretch, names, lengths, lengths)


def as_entered(fact: Fact) -> Entered:
    """What reading the row of a fact gives."""
    places = fact.places if fact.kind.placed != "no" else None
    return Entered(fact.kind, fact.values, None, None, places, fact.entry, fact.recorded_us)
