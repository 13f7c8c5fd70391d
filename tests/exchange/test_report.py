"""Problems in words."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.moments import Calendar
from stock.exchange.reading import read
from stock.exchange.report import Misread, cut, lines, words


def test_a_wrong_dimension_is_said_with_its_place(tmp_path: Path) -> None:
    (tmp_path / "passes.csv").write_text("reel,date,kind,speed\nR-1,2026-03-01,play,9 kg\n")
    (problem,) = read(tmp_path, Calendar()).problems
    assert words(problem) == (
        "passes.csv line 2, column speed: 9 kg is a mass; a speed was expected, such as `15 ips` or `38.1 cm/s`"
    )
    assert problem.expected == "a speed, such as `15 ips` or `38.1 cm/s`"


@pytest.mark.parametrize(
    "line, column, said",
    [(12, "date", "a.csv line 12, column date: says"), (12, "", "a.csv line 12: says"), (None, "", "a.csv: says")],
)
def test_only_what_is_known_of_the_place_is_said(line: int | None, column: str, said: str) -> None:
    assert words(Misread("a.csv", line, column, "", "", "says")) == said


@given(st.text(), st.text(), st.text())
def test_nothing_in_a_line_is_obeyed_by_a_terminal(file: str, column: str, says: str) -> None:
    said = words(Misread(file, 1, column, "", "", says))
    assert not set(said) & {chr(point) for point in (*range(32), *range(127, 160), 0x202E, 0x2066, 0x2028)}
    said.encode("utf-8")


@pytest.mark.parametrize("found, last", [(2, "a.csv: b"), (3, "and 1 more problem"), (9, "and 7 more problems")])
def test_how_many_more_there_are_is_said(found: int, last: str) -> None:
    said = list(lines([Misread("a.csv", None, "", "", "", "b")] * 2, found))
    assert said[:2] == ["a.csv: b", "a.csv: b"]
    assert said[-1] == last


def test_a_long_value_is_cut() -> None:
    assert cut("x" * 200) == "x" * 200
    assert cut("x" * 201) == "x" * 200 + "…"
