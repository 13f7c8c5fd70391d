"""Every type of cell: what people type, what a dump writes, what is refused."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.kinds import KINDS, Field
from stock.core.moments import Calendar, day_number, instant
from stock.core.places import AtCode, AtLength, AtTime
from stock.core.tracks import mask_of
from stock.edge.cells import CellError, Context, amount_of, minor_units, parse, parse_place, speeds_of, spell, width

from .strategies import CELL_TYPES, CONTEXT, PLACES, field_of, stored

HASH = "0123456789abcdef" * 4


def at_us(*parts: int) -> int:
    return instant(datetime(*parts, tzinfo=UTC))  # type: ignore[arg-type,misc]


def day_of(year: int, month: int, day: int) -> int:
    return day_number(datetime(year, month, day, tzinfo=UTC).date())


def cell(kind: str, choices: tuple[str, ...] = ()) -> Field:
    return Field("cell", kind, False, choices)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kind", "text", "values", "dumped"),
    [
        ("length", "2500 ft", (7_620_000,), "762.0000 m"),
        ("length", " 0.0001 m ", (1,), "0.0001 m"),
        ("size", "2 in", (50_800,), "50.8 mm"),
        ("thickness", "2.1 mil", (53_340,), "53.34 µm"),
        ("speed", "15 ips", (381_000, 0), "38.1 cm/s"),
        ("speed", "15 ips +3%", (381_000, 300), "38.1 cm/s +3%"),
        ("speed", "15ips - 2.25 %", (381_000, -225), "38.1 cm/s -2.25%"),
        ("speed", "3.75 in/s", (95_250, 0), "9.525 cm/s"),
        ("speeds", "15 ips ;30 ips", ("15 ips; 30 ips",), "15 ips; 30 ips"),
        ("time", "9:00", (540_000_000,), "9:00"),
        ("time", "133:20", (8_000_000_000,), "2:13:20"),
        ("time", "1:02:03.5", (3_723_500_000,), "1:02:03.5"),
        ("time", "0:00.000001", (1,), "0:00.000001"),
        ("time", "9 min", (540_000_000,), "9:00"),
        ("time", "10000:00:00", (36 * 10**12,), "10000:00:00"),
        ("tracks", "1-8,13", (mask_of([*range(1, 9), 13]), None), "1-8,13"),
        ("tracks", "13, 1-8", (mask_of([*range(1, 9), 13]), None), "1-8,13"),
        ("tracks", "1 kick; 2 snare; 16 timecode", (mask_of([1, 2, 16]), "1 kick; 2 snare; 16 timecode"), None),
        ("tracks", "5-8; 2 snare; 1 kick", (0b11110011, "1 kick; 2 snare"), "1 kick; 2 snare; 5-8"),
        ("tracks", "4 vox; 1-3,5-9", ((1 << 9) - 1, "4 vox"), "1-3; 4 vox; 5-9"),
        ("tracks", "3-4 strings", (0b1100, "3 strings; 4 strings"), "3 strings; 4 strings"),
        ("moment", "2026-11-24", (day_of(2026, 11, 24), None), "2026-11-24"),
        ("moment", "2026-11-24T10:15:00Z", (None, at_us(2026, 11, 24, 10, 15)), "2026-11-24T10:15:00Z"),
        ("moment", "2026-11-24 11:15", (None, at_us(2026, 11, 24, 10, 15)), "2026-11-24T10:15:00Z"),
        ("moment", "2026-07-24T12:15:30.25", (None, at_us(2026, 7, 24, 10, 15, 30, 250_000)), None),
        ("moment", "2026-11-24T05:15-0500", (None, at_us(2026, 11, 24, 10, 15)), "2026-11-24T10:15:00Z"),
        ("moment", "2026-10-25T02:30+01:00", (None, at_us(2026, 10, 25, 1, 30)), "2026-10-25T01:30:00Z"),
        ("day", "2024-02-29", (day_of(2024, 2, 29),), "2024-02-29"),
        ("day", "1950-01-01", (-7305,), "1950-01-01"),
        ("day", "2200-01-01", (84006,), "2200-01-01"),
        ("count", "007", (7,), "7"),
        ("count", str(2**63 - 1), (2**63 - 1,), str(2**63 - 1)),
        ("thousandths", "-1.5", (-1500,), "-1.5"),
        ("thousandths", "185", (185_000,), "185"),
        ("thousandths", "0.1250", (125,), "0.125"),
        ("share", "0.8", (800,), "0.8"),
        ("share", "80 %", (800,), "0.8"),
        ("share", "12.5%", (125,), "0.125"),
        ("share", "1", (1000,), "1"),
        ("hertz", "96 kHz", (96_000,), "96000 Hz"),
        ("hertz", "44100", (44_100,), "44100 Hz"),
        ("hertz", "44.1 kHz", (44_100,), "44100 Hz"),
        ("money", "210.50", (Decimal("210.50"),), "210.50"),
        ("currency", "EUR", ("EUR",), "EUR"),
        ("yesno", " Yes", ("yes",), "yes"),
        ("timecode", "1:00:00;00", ("01:00:00;00",), "01:00:00;00"),
        ("sha256", HASH.upper(), (HASH,), HASH),
        ("entry", "12", (12,), "12"),
        ("name", "  R-7 / \u00fcber\u00a0", ("R-7 / \u00fcber",), None),
        ("text", "two\nlines\tand a tab ", ("two\nlines\tand a tab",), None),
        ("place", "300 ft", (AtLength(914_400),), "91.4400 m"),
        ("place", "-0:30", (AtTime(-30_000_000),), "-0:30"),
    ],
)
def test_what_people_type(kind: str, text: str, values: tuple[object, ...], dumped: str | None) -> None:
    field = cell(kind)
    assert parse(field, text, CONTEXT) == values
    if dumped is not None:
        assert spell(field, values, CONTEXT) == dumped  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kind", "text", "found"),
    [
        ("speed", "0 ips", "is no speed at all"),
        ("speed", "15", "names no unit"),
        ("speed", "15 ips +60%", "is varied too much"),
        ("speed", "15 ips +1.005%", "not a plain number"),
        ("speed", "9 kg", "is a mass"),
        ("speeds", "15 ips; fast", "not a plain number"),
        ("speeds", "15 ips +3%", "has a varispeed"),
        ("size", "0 mm", "is nothing"),
        ("thickness", "2 Hz", "is a frequency"),
        ("time", "9:75", "not a plain number"),
        ("time", "-9:00", "is below nothing"),
        ("time", "9 m", "is a length"),
        ("time", "10000:00:01", "is far too much"),
        ("place", "99999:00:00", "is far too much"),
        ("tracks", "1,1", "has track 1 twice"),
        ("tracks", "1-4,3", "has track 3 twice"),
        ("tracks", "0", "has a track that cannot be"),
        ("tracks", "49", "has a track that cannot be"),
        ("tracks", "1-99999999999999", "has a track that cannot be"),
        ("tracks", "8-1", "the wrong way round"),
        ("tracks", "1;;2", "not a list of tracks"),
        ("tracks", "kick", "not a list of tracks"),
        ("tracks", "1 kick\n2 snare", "has a control character, U+000A"),
        ("moment", "12/1/2030", "(ISO)"),
        ("moment", "2026-02-30", "a day no calendar has"),
        ("moment", "2026-11-24T25:00", "an instant no calendar has"),
        ("moment", "2026-11-24T10:15:60Z", "an instant no calendar has"),
        ("moment", "2026-11-24T10:15+26:00", "an instant no calendar has"),
        ("moment", "2026-03-29T02:30", "never was"),
        ("moment", "2026-10-25T02:30", "was twice"),
        ("moment", "1949-12-31T23:59:59Z", "is not between"),
        ("moment", "20261124", "neither a date nor an instant"),
        ("day", "12/1/2030", "(ISO)"),
        ("day", "2026-W48-2", "(ISO)"),
        ("day", "1949-12-31", "is not between"),
        ("day", "2200-01-02", "is not between"),
        ("day", "2026-11-24T10:15Z", "is not a date"),
        ("day", "\u0662\u0660\u0662\u0666-11-24", "is not a date"),
        ("count", "-1", "not a whole number"),
        ("count", "1.5", "not a whole number"),
        ("count", "\u0663", "not a whole number"),
        ("count", str(2**63), "is far too much"),
        ("count", "9" * 10_000, "is far too much"),
        ("thousandths", "0.0005", "too many places"),
        ("thousandths", "1,5", "not a plain number"),
        ("thousandths", "nan", "not a plain number"),
        ("share", "1.2", "not a part of a whole"),
        ("share", "-0.1", "not a part of a whole"),
        ("share", "101 %", "not a part of a whole"),
        ("share", "80 kg", "not a plain number"),
        ("hertz", "0.5 Hz", "not a whole number of hertz"),
        ("hertz", "0", "not a whole number of hertz"),
        ("hertz", "15 ips", "is a speed"),
        ("money", "-1", "is below nothing"),
        ("money", "NaN", "not a plain amount"),
        ("money", "Infinity", "not a plain amount"),
        ("money", "1,000", "not a plain amount"),
        ("money", "1e9", "not a plain amount"),
        ("currency", "eur", "three capital letters"),
        ("currency", "EURO", "three capital letters"),
        ("yesno", "maybe", "one of yes, no"),
        ("timecode", "24:00:00:00", "not a timecode"),
        ("timecode", "01:00:00:30", "not a timecode"),
        ("sha256", HASH[:-1], "not a SHA-256 hash"),
        ("entry", "0", "is no entry"),
        ("place", "9 kg", "a place on the reel was expected"),
        ("place", "9", "names no unit"),
        ("place", "1:2", "neither a time nor a timecode"),
        ("name", "a\x00b", "U+0000, at place 2"),
        ("name", "a\x1b[31m", "U+001B, at place 2"),
        ("name", "tab\there", "U+0009"),
        ("name", "c1 \x9b", "U+009B"),
        ("name", "abc\u202edef", "U+202E, at place 4"),
        ("name", "\u2066x", "U+2066, at place 1"),
        ("name", "half \ud83c", "half a character, U+D83C"),
        ("name", "n" * 201, "has 201 characters"),
        ("text", "t" * 4001, "has 4001 characters"),
        ("text", "a\rb", "U+000D"),
        ("text", "a\u2069b", "U+2069"),
    ],
)
def test_what_is_refused(kind: str, text: str, found: str) -> None:
    with pytest.raises(CellError) as refused:
        parse(cell(kind), text, CONTEXT)
    assert found in str(refused.value)
    assert "expected" in str(refused.value)
    assert refused.value.expected
    assert not any(
        ord(char) < 32 or 0x7F <= ord(char) < 0xA0 or 0xD800 <= ord(char) < 0xE000 for char in str(refused.value)
    )


def test_choices_are_read_whatever_their_case() -> None:
    field = cell("choice", ("24", "29.97 drop"))
    assert parse(field, " 29.97  DROP ", CONTEXT) == ("29.97 drop",)
    with pytest.raises(CellError, match=r"one of 24, 29\.97 drop was expected"):
        parse(field, "29", CONTEXT)


def test_a_level_may_carry_its_unit() -> None:
    assert parse(Field("level_db", "thousandths"), "-1.5 dB", CONTEXT) == (-1500,)
    assert parse(Field("level_nwb_m", "thousandths"), "320 nWb/m", CONTEXT) == (320_000,)


@pytest.mark.parametrize("kind", CELL_TYPES)
def test_an_empty_cell_is_nothing_or_an_error(kind: str) -> None:
    field = cell(kind, ("one", "two"))
    empty = parse(field, " \t", CONTEXT)
    assert empty == (None,) * width(field.cell)
    assert spell(field, empty, CONTEXT) == ""
    with pytest.raises(CellError, match="nothing is given; .* was expected"):
        parse(field._replace(required=True), "", CONTEXT)


def test_every_type_of_cell_in_use_is_tested() -> None:
    assert {field.cell for kind in KINDS for field in kind.fields} <= set(CELL_TYPES)


@given(st.data())
@pytest.mark.parametrize("kind", CELL_TYPES)
def test_what_a_dump_writes_is_read_back_exactly(kind: str, data: st.DataObject) -> None:
    field = field_of(kind)
    values = data.draw(stored(field))
    assert parse(field, spell(field, values, CONTEXT), CONTEXT) == values


@given(st.data())
@pytest.mark.parametrize("kind", CELL_TYPES)
def test_any_text_is_read_so_that_it_dumps_the_same_or_refused(kind: str, data: st.DataObject) -> None:
    field = field_of(kind)
    text = data.draw(st.text(max_size=40) | st.text("0123456789 -:;.,%+/TZmsftinp'\"ab\x1b", max_size=25))
    try:
        values = parse(field._replace(required=False), text, CONTEXT)
    except CellError as refused:
        assert refused.expected in str(refused) or "expected" in str(refused)
    else:
        assert parse(field._replace(required=False), spell(field, values, CONTEXT), CONTEXT) == values


@given(PLACES)
def test_places_are_read_back(place: AtLength | AtTime | AtCode) -> None:
    assert parse_place(spell(cell("place"), (place,), CONTEXT), CONTEXT) == place


def test_places_as_length_time_or_code() -> None:
    assert parse_place("2500 ft", CONTEXT) == AtLength(7_620_000)
    assert parse_place("9:00", CONTEXT) == parse_place("540 s", CONTEXT) == parse_place("9 min", CONTEXT)
    assert parse_place("1:02:03.5", CONTEXT) == AtTime(3_723_500_000)
    assert parse_place("01:00:00:00", CONTEXT) == AtCode("01:00:00:00")
    assert parse_place("1:00:00;02", CONTEXT) == AtCode("01:00:00;02")
    assert parse_place("  ", CONTEXT) is None


def test_local_time_is_the_house_s_own() -> None:
    far = Context(Calendar("America/St_Johns"))
    assert parse(cell("moment"), "2026-11-24T10:00", far) == (None, at_us(2026, 11, 24, 13, 30))


def test_money_in_minor_units() -> None:
    assert minor_units(Decimal("210.5"), "EUR") == 21_050
    assert minor_units(Decimal("200.00"), "JPY") == 200
    assert minor_units(Decimal("1.234"), "BHD") == 1234
    with pytest.raises(CellError, match="at most 2 places"):
        minor_units(Decimal("0.001"), "EUR")
    with pytest.raises(CellError, match="far too much"):
        minor_units(Decimal("999999999999999999"), "EUR")


@given(st.integers(0, 2**63 - 1), st.sampled_from(["EUR", "JPY", "BHD", "CLF"]))
def test_money_comes_back(units: int, code: str) -> None:
    assert minor_units(amount_of(units, code), code) == units


def test_speeds_of_a_machine() -> None:
    assert [speed.nominal for speed in speeds_of("15 ips; 30 ips")] == [381_000, 762_000]
