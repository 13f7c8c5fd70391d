"""What is written is read back as it was, whatever people typed."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.core.facts import Fact, Stretch
from stock.core.kinds import BY_FILE, KINDS, Kind
from stock.core.moments import Calendar
from stock.core.places import AtTime
from stock.edge.cells import Context
from stock.edge.dump import dump_columns, spell_fact
from stock.exchange.guard import guard, unguard
from stock.exchange.reading import read
from stock.exchange.report import Misread
from stock.exchange.source import rows
from stock.exchange.writing import write_folder

from .facts import as_entered, facts

CALENDAR = Calendar("Europe/Berlin")
CONTEXT = Context(CALENDAR)
A_PASS = ("R-1", 17_000, None, "record", 381_000, 0, 255, None, 1, None, None, None, None)

any_text = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
short = settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
@short
@given(data=st.data())
def test_facts_of_every_kind_come_back_as_they_were(tmp_path: Path, kind: Kind, data: st.DataObject) -> None:
    written = data.draw(st.lists(facts(kind), min_size=1, max_size=4))
    write_folder(tmp_path, [(kind, [spell_fact(fact, CONTEXT, None) for fact in written])], overwrite=True)
    reading = read(tmp_path, CALENDAR)
    assert reading.problems == []
    assert list(reading.rows) == [kind.file]
    assert [fact for _, fact in reading.rows[kind.file].rows] == [as_entered(fact) for fact in written]


def test_a_place_before_the_zero_mark_and_a_level_stay_numbers(tmp_path: Path) -> None:
    a_pass = Fact(BY_FILE["passes"], A_PASS, (Stretch("=A", 0, 9),), 1, 0)
    response = ("R-1", 17_000, None, None, None, None, None, 10_000_000, -1_500, None, None, None)
    level = Fact(BY_FILE["response"], response, (), 2, 0)
    write_folder(
        tmp_path,
        [
            (a_pass.kind, [spell_fact(a_pass, CONTEXT, ("-0:30", "1:00"))]),
            (level.kind, [spell_fact(level, CONTEXT, None)]),
        ],
    )
    lines = (tmp_path / "passes.csv").read_text("utf-8").splitlines()
    assert lines[1] == "R-1,2016-07-18,record,-0:30,1:00,38.1 cm/s,1-8,1,,,,,1,1970-01-01T00:00:00Z,'=A:0.0000-0.0009"
    assert ",-1.5," in (tmp_path / "response.csv").read_text("utf-8")
    reading = read(tmp_path, CALENDAR)
    (_, again), (_, measured) = reading.rows["passes"].rows[0], reading.rows["response"].rows[0]
    assert again.start == AtTime(-30_000_000)
    assert again.places == (Stretch("=A", 0, 9),)
    assert measured.values == response


@given(any_text)
def test_a_guard_is_taken_off_exactly(text: str) -> None:
    assert unguard([guard(text)]) == [text]
    assert guard(text)[:1] not in set("=+-@\t\r")
    if text[:1] not in set("'=+-@\t\r"):
        assert guard(text) == text


@pytest.mark.parametrize("cell, text", [("'=1+1", "=1+1"), ("''tis", "'tis"), ("'tis", "tis"), ("a'", "a'"), ("'", "")])
def test_one_mark_is_taken_off_and_no_more(cell: str, text: str) -> None:
    assert unguard([cell]) == [text]


@short
@given(st.lists(st.lists(any_text, min_size=5, max_size=5), min_size=1, max_size=5))
def test_any_text_whatever_is_in_it_comes_back_from_a_file(tmp_path: Path, typed: list[list[str]]) -> None:
    kind = BY_FILE["rules"]
    columns = dump_columns(kind)
    cells = [[*row, "1", "2026-01-01T00:00:00Z"] for row in typed]
    write_folder(tmp_path, [(kind, [dict(zip(columns, row, strict=True)) for row in cells])], overwrite=True)
    problems: list[Misread] = []
    found = [row for _, row in rows(tmp_path / "rules.csv", problems.append)]
    assert problems == []
    assert found == [list(columns), *cells]


@short
@given(st.lists(any_text, min_size=5, max_size=5))
def test_no_cell_of_a_dump_is_a_formula(tmp_path: Path, typed: list[str]) -> None:
    kind = BY_FILE["rules"]
    row = dict(zip(dump_columns(kind), [*typed, "1", ""], strict=True))
    write_folder(tmp_path, [(kind, [row])], overwrite=True)
    with (tmp_path / "rules.csv").open(encoding="utf-8", newline="") as file:
        cells = [cell for line in csv.reader(file) for cell in line]
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]
