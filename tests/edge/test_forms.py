"""The form of every kind, the row reader beside it, and the checks between cells."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.facts import Entered, Fact, Stretch
from stock.core.kinds import BY_NAME, KINDS, Kind, columns
from stock.core.places import AtLength, AtTime
from stock.edge.forms import (
    FormError,
    Problem,
    RowReader,
    attribute,
    dump_columns,
    enter,
    form,
    header_problems,
    spell_fact,
)
from stock.edge.plan import plan_of
from stock.edge.tapes import parse_on_tape, spell_on_tape

from .strategies import CONTEXT, KIND, facts, words

PASS = {"reel": "A-1", "date": "2026-11-24", "kind": "record"}
TAKE = {"reel": "A-1", "date": "2026-11-24", "title": "Heron", "take": "1", "speed": "15 ips", "start": "1:00"}


def refusals(kind: str, cells: dict[str, str]) -> dict[str, str]:
    with pytest.raises(FormError) as refused:
        enter(BY_NAME[kind], cells, CONTEXT)
    return {problem.column: problem.says for problem in refused.value.problems}


def read_by_row(kind: Kind, cells: dict[str, str]) -> Entered | list[Problem]:
    return RowReader(kind, list(cells), CONTEXT).read(list(cells.values()))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_kind_has_a_form_of_all_its_columns(kind: Kind) -> None:
    fields = form(kind).model_fields
    assert [field.alias for field in fields.values()] == [slot.column for slot in plan_of(kind).slots]
    assert {field.name for field in kind.fields} < {field.alias for field in fields.values()}
    for field in kind.fields:
        assert fields[attribute(field.name)].description == field.help
    assert form(kind) is form(kind)
    assert form(kind).model_json_schema()["additionalProperties"] is False


@given(st.data())
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_dumped_fact_is_entered_again_the_same(kind: Kind, data: st.DataObject) -> None:
    fact = data.draw(facts(kind))
    row = spell_fact(fact, CONTEXT, None)
    assert tuple(row) == dump_columns(kind)
    assert len(fact.values) == len(columns(kind))
    places = fact.places if kind.placed != "no" else None
    expected = Entered(kind, fact.values, None, None, places, fact.entry, fact.recorded_us)
    assert enter(kind, row, CONTEXT) == expected
    assert read_by_row(kind, row) == expected


@given(KIND, st.data())
def test_reader_and_form_agree_on_any_cells(kind: Kind, data: st.DataObject) -> None:
    row = spell_fact(data.draw(facts(kind)), CONTEXT, None)
    spoiled = data.draw(st.lists(st.sampled_from(sorted(row)), max_size=3))
    for column in spoiled:
        row[column] = data.draw(
            st.text(max_size=8) | st.sampled_from(["", "-1", "9 kg", "1:00", "300 ft", "2030-01-01"])
        )
    by_row = read_by_row(kind, row)
    try:
        by_form: Entered | list[Problem] = enter(kind, row, CONTEXT)
    except FormError as refused:
        by_form = list(refused.problems)
    assert by_row == by_form


@given(st.lists(st.sampled_from(["15 ips", "30 ips", "9 kg", ""]), max_size=20))
def test_a_remembered_text_reads_as_it_did_the_first_time(speeds: list[str]) -> None:
    reader = RowReader(BY_NAME["pass"], [*PASS, "speed"], CONTEXT)
    for speed in speeds:
        row = [*PASS.values(), speed]
        assert reader.read(row) == RowReader(BY_NAME["pass"], [*PASS, "speed"], CONTEXT).read(row)


def test_a_full_memory_is_emptied_and_reads_on() -> None:
    reader = RowReader(BY_NAME["pass"], [*PASS, "start", "end"], CONTEXT)
    for metres in [*range(11_000), 0]:
        entered = reader.read([*PASS.values(), f"{metres} m", f"{metres + 1} m"])
        assert isinstance(entered, Entered)
        assert entered.start == AtLength(metres * 10_000)
    assert max(map(len, reader._memos)) <= 5_000


def test_columns_may_stand_in_any_order_and_be_left_out() -> None:
    entered = read_by_row(BY_NAME["pass"], {"kind": "play", "count": "60", "date": "2026-11-24", "reel": "A-1"})
    assert isinstance(entered, Entered)
    assert entered.values == ("A-1", 20781, None, "play", None, None, None, None, 60, None, None, None, None)


def test_a_row_has_as_many_cells_as_the_header() -> None:
    reader = RowReader(BY_NAME["pass"], list(PASS), CONTEXT)
    for row in (["A-1", "2026-11-24"], ["A-1", "2026-11-24", "play", "more"], []):
        problems = reader.read(row)
        assert isinstance(problems, list)
        assert f"has {len(row)} cells" in problems[0].says


def test_all_bad_cells_of_a_row_are_told() -> None:
    cells = {**PASS, "date": "12/1/2030", "kind": "hum", "speed": "9 kg"}
    problems = read_by_row(BY_NAME["pass"], cells)
    assert isinstance(problems, list)
    assert [(problem.column, problem.value) for problem in problems] == [
        ("date", "12/1/2030"),
        ("kind", "hum"),
        ("speed", "9 kg"),
    ]
    assert "one of record, play, erase, wind" in problems[1].expected


def test_header_problems() -> None:
    kind = BY_NAME["take"]
    found = header_problems(kind, ["reel", "date", "title", "title", "colour", "take", "speed"])
    assert [(problem.column, problem.says.split(";")[0]) for problem in found] == [
        ("title", "title is there twice"),
        ("colour", "colour is not a column of this file"),
        ("start", "start is missing"),
    ]
    assert header_problems(kind, ["reel", "date", "title", "take", "speed", "on_tape"]) == []
    with pytest.raises(FormError):
        RowReader(kind, ["reel"], CONTEXT)


def test_unknown_cells_are_refused_by_the_form_too() -> None:
    assert list(refusals("pass", {**PASS, "colour\ud800": "red"})) == ["colour\ud800"]


def test_the_number_of_a_void_and_of_what_it_voids() -> None:
    void = BY_NAME["void"]
    cells = {"entry": "7", "date": "2026-11-24", "reason": "wrong reel", "by": "Ida Moor", "void_entry": "9"}
    entered = enter(void, cells, CONTEXT)
    assert (entered.values[0], entered.entry) == (7, 9)
    assert "void_entry" in dump_columns(void)


def test_a_decision_may_name_the_entry_of_its_take() -> None:
    cells = {"reel": "A-1", "title": "Heron", "take": "1", "date": "2026-11-24", "keep": "discard", "by": "Ida Moor"}
    assert enter(BY_NAME["decision"], cells, CONTEXT).values[-1] is None
    assert enter(BY_NAME["decision"], {**cells, "take_entry": "41"}, CONTEXT).values[-1] == 41


def test_places_as_entered() -> None:
    entered = enter(BY_NAME["take"], {**TAKE, "end": "300 ft"}, CONTEXT)
    assert (entered.start, entered.end, entered.places) == (AtTime(60_000_000), AtLength(914_400), None)
    splice = enter(BY_NAME["splice"], {"reel": "A-1", "date": "2026-11-24", "at": "300 ft"}, CONTEXT)
    assert (splice.start, splice.end) == (AtLength(914_400), None)


def test_only_a_running_take_has_no_end() -> None:
    assert "only a running take has none" in refusals("take", TAKE)["end"]
    assert enter(BY_NAME["take"], {**TAKE, "state": "running"}, CONTEXT).end is None
    assert enter(BY_NAME["take"], {**TAKE, "on_tape": "A-1:1.0000-2.0000"}, CONTEXT).places


@pytest.mark.parametrize(
    ("kind", "cells", "column", "found"),
    [
        ("pass", {**PASS, "count": "0"}, "count", "0 is out of bounds; at least 1"),
        ("pass", {**PASS, "start": "300 ft"}, "end", "both start and end, or neither"),
        ("pass", {**PASS, "end": "300 ft"}, "start", "both start and end, or neither"),
        ("pass", {**PASS, "start": "1:00", "end": "2:00"}, "speed", "the speed at which 1:00 is meant"),
        ("pass", {**PASS, "recorded_at": "2026-11-24"}, "recorded_at", "has no time of day"),
        ("pass", {}, "reel", "nothing is given; a name was expected"),
        (
            "finding",
            {"reel": "A-1", "date": "2026-11-24", "kind": "edge", "severity": "4"},
            "severity",
            "4 is out of bounds; at least 0 and at most 3",
        ),
        ("reel", {"reel": "A-1", "stock_item": "two-inch", "tracks": "0"}, "tracks", "out of bounds"),
        ("reel", {"reel": "A-1", "stock_item": "two-inch", "tracks": "49"}, "tracks", "out of bounds"),
        ("reel", {"reel": "A-1", "stock_item": "x", "tracks": "16", "length": "-1 m"}, "length", "below nothing"),
        ("reel", {"reel": "A-1", "stock_item": "x", "tracks": "16", "price": "210"}, "currency", "the currency of"),
        (
            "reel",
            {"reel": "A-1", "stock_item": "x", "tracks": "16", "price": "210.555", "currency": "EUR"},
            "price",
            "too many places for EUR",
        ),
        ("zero-mark", {"reel": "A-1", "date": "2026-11-24", "at": "1:00"}, "at", "a length from the head"),
        ("splice", {"reel": "A-1", "date": "2026-11-24"}, "at", "where it lies"),
        ("splice", {"reel": "A-1", "date": "2026-11-24", "on_tape": "A-1:0.0000-1.0000"}, "on_tape", "has a length"),
        ("edit", {"reel": "A-1", "date": "2026-11-24", "start": "1 ft"}, "end", "where it ends"),
        (
            "wipe",
            {"reel": "A-1", "date": "2026-11-24", "method": "bulk", "start": "0 ft", "end": "9 ft"},
            "start",
            "bulk wipe",
        ),
        ("project", {"project": "Fen", "from": "2026-03-01", "to": "2026-02-01"}, "to", "at least the 2026-03-01"),
        (
            "project",
            {"project": "Fen", "length_low": "5:00", "length_high": "3:00"},
            "length_high",
            "3:00 is too small",
        ),
    ],
)
def test_checks_between_cells(kind: str, cells: dict[str, str], column: str, found: str) -> None:
    assert found in refusals(kind, cells)[column]


def test_money_is_kept_in_minor_units() -> None:
    cells = {"supplier": "Marsh Row", "stock_item": "two-inch", "unit_price": "210.5", "currency": "EUR"}
    kind = BY_NAME["quote"]
    entered = enter(kind, {**cells, "order_fee": "15"}, CONTEXT)
    kept = dict(zip([column.name for column in columns(kind)], entered.values, strict=True))
    assert (kept["unit_price"], kept["order_fee"], kept["currency"]) == (21_050, 1_500, "EUR")


def test_tape_names_may_hold_any_of_the_marks() -> None:
    places = (Stretch("A-1:2;50%", 0, 7_620_000), Stretch("B", 1, 1))
    spelled = spell_on_tape(places)
    assert spelled == "A-1%3A2%3B50%25:0.0000-762.0000;B:0.0001-0.0001"
    assert parse_on_tape(spelled) == places
    assert parse_on_tape(spell_on_tape(())) == ()
    assert parse_on_tape("") is None


@given(words(), st.integers(0, 10**9))
def test_any_tape_name_is_read_back(tape: str, lo: int) -> None:
    places = (Stretch(tape, lo, lo + 5), Stretch(tape, 0, 0))
    assert parse_on_tape(spell_on_tape(places)) == places


@pytest.mark.parametrize(
    "text",
    [
        "A-1",
        "A-1:0-762",
        "A:1.0000-0.0000",
        "A%20B:0.0000-1.0000",
        "A%:0.0000-1.0000",
        ":0.0000-1.0000",
        "A\x1b:0.0000-1.0000;",
        "A:0.0000-9999999.0000",
    ],
)
def test_what_is_no_stretch_of_tape_is_refused(text: str) -> None:
    assert "on_tape" in refusals("pass", {**PASS, "on_tape": text})


def test_a_dump_writes_the_places_it_is_given() -> None:
    entered = enter(BY_NAME["pass"], {**PASS, "start": "0 ft", "end": "300 ft"}, CONTEXT)
    fact = Fact(entered.kind, entered.values, (Stretch("A-1", 0, 914_400),), 5, 1_764_000_000_000_000)
    row = spell_fact(fact, CONTEXT, ("0.0000 m", "91.4400 m"))
    assert (row["start"], row["end"], row["on_tape"]) == ("0.0000 m", "91.4400 m", "A-1:0.0000-91.4400")
    assert (row["entry"], row["recorded_at"]) == ("5", "2025-11-24T16:00:00Z")
    splice = Fact(BY_NAME["splice"], ("A-1", 20781, None, None, None, None, None, None, None), (Stretch("A-1", 9, 9),))
    assert spell_fact(splice, CONTEXT, ("0.0009 m", ""))["at"] == "0.0009 m"


def test_a_form_needs_its_context() -> None:
    with pytest.raises(TypeError, match="context"):
        form(BY_NAME["pass"]).model_validate(PASS)
