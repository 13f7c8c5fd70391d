"""The chart by week, as text: what stands in which cell."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.moments import date_of, day_number
from tui.present.chart import (
    AXIS,
    DIAMOND,
    HALF,
    LEVEL,
    LIGHT,
    RING,
    SOLID,
    Band,
    Trace,
    chart_lines,
    cuts,
    months,
    step_of,
    week_at,
)
from tui.present.line import text_of

MONDAY = day_number(date_of(0).replace(2026, 11, 16))


def drawn(band: Band, *traces: Trace, width: int = 11, height: int = 6, cursor: int = -1) -> list[str]:
    weeks = [MONDAY + 7 * at for at in range(len(band.mid))]
    return [text_of(line) for line in chart_lines(band, traces, weeks, width, height, cursor)]


def test_the_surer_the_more_solid() -> None:
    lines = drawn(Band((1, 1, 1), (2, 2, 2), (2, 3, 4)))
    assert [line[AXIS:] for line in lines[:4]] == [
        f"    {LIGHT * 2}",
        f"  {LIGHT * 4}",
        HALF * 6,
        SOLID * 6,
    ]
    assert [line[:AXIS].strip("\u2502\u2514 ") for line in lines[:5]] == ["4", "", "2", "", "0"]


def test_lines_lie_over_the_band_at_their_height() -> None:
    band = Band((0, 0, 0), (2, 2, 2), (4, 4, 4))
    lines = drawn(band, Trace((3, 1, 0), RING, "blank", floor=True), Trace((0, 2, 2), LEVEL, "yes", through=True))
    assert lines[1][AXIS:] == f"{RING}{LIGHT * 5}"
    assert lines[2][AXIS:] == f"{HALF * 2}{LEVEL * 4}"
    assert lines[3][AXIS:] == f"{HALF * 2}{RING}{HALF * 3}"
    assert lines[4][AXIS:] == f"{LEVEL * 4}{RING}{LEVEL}"


def test_the_first_trace_lies_uppermost() -> None:
    lines = drawn(Band((0,), (0,), (0,)), Trace((2,), DIAMOND, "mark"), Trace((2,), RING, "blank"), width=6)
    assert "".join(lines).count(DIAMOND) == 1
    assert RING not in "".join(lines)


def test_the_cursor_marks_its_week_and_no_other() -> None:
    band = Band((0, 0, 0), (0, 0, 0), (1, 1, 1))
    lines = chart_lines(band, (), [MONDAY, MONDAY + 7, MONDAY + 14], 11, 6, 1)
    assert ["".join(piece.text for piece in line if piece.cursor) for line in lines] == [
        "",
        "",
        "",
        "",
        "\u2500\u2500",
        "",
    ]
    assert "\u250a" in text_of(lines[0])[AXIS + 2 : AXIS + 4]
    assert "\u250a" not in text_of(lines[0])[AXIS : AXIS + 2]


@pytest.mark.parametrize(
    ("most", "rows", "step"), [(0, 5, 1), (5, 5, 1), (6, 5, 2), (18, 7, 3), (500, 7, 100), (9999, 7, 1500)]
)
def test_a_row_stands_for_a_round_number(most: int, rows: int, step: int) -> None:
    assert step_of(most, rows) == step


@given(most=st.integers(0, 100_000), rows=st.integers(1, 60))
def test_the_rows_reach_the_most(most: int, rows: int) -> None:
    assert step_of(most, rows) * rows >= most


@given(weeks=st.integers(1, 300), width=st.integers(0, 200))
def test_weeks_share_the_width_and_a_cell_tells_its_week(weeks: int, width: int) -> None:
    edges = cuts(weeks, width)
    assert edges == sorted(edges)
    assert edges[-1] <= max(width - AXIS, 0)
    widths = {right - left for left, right in zip(edges, edges[1:], strict=False)}
    assert not widths or max(widths) - min(widths) <= 1 and min(widths) >= 1
    for x in range(width):
        at = week_at(x, weeks, width)
        assert (at is not None) == (0 <= x - AXIS < edges[-1])
        if at is not None:
            assert edges[at] <= x - AXIS < edges[at + 1]


@given(
    values=st.lists(st.integers(0, 400), min_size=1, max_size=80),
    width=st.integers(AXIS + 1, 160),
    height=st.integers(3, 40),
)
def test_a_chart_is_as_large_as_it_is_asked(values: list[int], width: int, height: int) -> None:
    lines = drawn(Band(values, values, values), Trace(values, RING, "blank", floor=True), width=width, height=height)
    assert len(lines) == height
    assert {len(line) for line in lines[:-1]} == {AXIS + cuts(len(values), width)[-1]}
    assert len(lines[-1]) <= width


def test_months_are_named_where_they_begin_and_have_room() -> None:
    weeks = [MONDAY + 7 * at for at in range(12)]
    assert months(weeks, cuts(12, AXIS + 72)) == "Nov" + " " * 9 + "Dec" + " " * 21 + "Jan 2027" + " " * 22 + "Feb"
    # in a narrow chart December finds no room beside November
    assert months(weeks, cuts(12, AXIS + 12)).startswith("Nov ")
