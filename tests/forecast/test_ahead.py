"""Projects made ready for a forecast: what stands in for an empty cell, and what cannot be forecast."""

from __future__ import annotations

from typing import Any

import pytest

from stock.core.measure import MINUTE
from stock.core.moments import date_of
from stock.core.rules import RuleFact, Rules
from stock.planning.forecast.ahead import Ahead, LeftOut, ProjectRow, ahead_of, weeks_from

TODAY = 20_000
ITEMS = {"grey 2"}
WHOLE: dict[str, Any] = {
    "project": "inn",
    "first": TODAY,
    "last": TODAY + 9,
    "chance": 800,
    "stock_item": "grey 2",
    "speed": 381_000,
    "vary": None,
    "titles": 4,
    "length_low": 2 * MINUTE,
    "length_likely": 3 * MINUTE,
    "length_high": 5 * MINUTE,
    "takes_low": 1,
    "takes_likely": 2,
    "takes_high": 4,
    "false_starts": 100,
    "mode": "keep-masters",
    "cool_days": 7,
    "days_back": 30,
    "passes_per_take": 6000,
    "client_buys": "no",
    "grade": "critical",
}


def asked(**cells: Any) -> Ahead | LeftOut:
    return ahead_of(ProjectRow(**{**WHOLE, **cells}), TODAY, ITEMS, Rules())


def test_a_whole_row_is_taken_as_it_stands() -> None:
    found = asked()
    assert isinstance(found, Ahead)
    assert (found.chance, found.lengths, found.takes) == (800, (2 * MINUTE, 3 * MINUTE, 5 * MINUTE), (1, 2, 4))
    assert (found.mode, found.cool_days, found.days_back, found.wear, found.grade) == (
        "keep-masters",
        7,
        30,
        6000,
        "critical",
    )


def test_what_is_not_stated_is_read_as_what_needs_more_tape() -> None:
    empty = dict.fromkeys(("chance", "false_starts", "mode", "cool_days", "days_back", "passes_per_take", "grade"))
    found = asked(**empty, length_low=None, length_high=None, takes_low=None, takes_high=None)
    assert isinstance(found, Ahead)
    assert (found.chance, found.mode, found.cool_days, found.days_back) == (1000, "keep-all", 14, None)
    assert found.lengths == (3 * MINUTE,) * 3
    assert found.takes == (2, 2, 2)


def test_recorded_through_cools_not_at_all_unless_said() -> None:
    through, said = asked(mode="through", cool_days=None), asked(mode="through", cool_days=3)
    assert isinstance(through, Ahead) and through.cool_days == 0
    assert isinstance(said, Ahead) and said.cool_days == 3


def test_the_house_rule_of_cooling_stands_in() -> None:
    rules = Rules([RuleFact(1, "cooling_days", 21, 0)])
    found = ahead_of(ProjectRow(**{**WHOLE, "cool_days": None}), TODAY, ITEMS, rules)
    assert isinstance(found, Ahead) and found.cool_days == 21


def test_varispeed_moves_the_tape_faster() -> None:
    found = asked(vary=300)
    assert isinstance(found, Ahead) and found.speed == 392_430


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ({"first": None}, "from"),
        ({"last": None}, "to"),
        ({"first": TODAY + 10}, "to"),
        ({"stock_item": None}, "stock_item"),
        ({"stock_item": "grey 3"}, "stock_item"),
        ({"speed": None}, "speed"),
        ({"speed": 0}, "speed"),
        ({"titles": None}, "titles"),
        ({"titles": 0}, "titles"),
        ({"titles": 1001}, "titles"),
        ({"length_likely": None}, "length_likely"),
        ({"length_likely": 0, "length_low": 0}, "length_likely"),
        ({"length_low": 4 * MINUTE}, "length_likely"),
        ({"length_high": 25 * 60 * MINUTE}, "length_high"),
        ({"takes_likely": None}, "takes_likely"),
        ({"takes_high": 1}, "takes_likely"),
        ({"takes_high": 1001}, "takes_high"),
        ({"chance": 1001}, "chance"),
        ({"false_starts": -1}, "false_starts"),
    ],
)
def test_a_bad_row_is_left_out_with_its_cell(cells: dict[str, Any], column: str) -> None:
    found = asked(**cells)
    assert isinstance(found, LeftOut)
    assert found.column == column
    assert found.says


@pytest.mark.parametrize(
    "cells",
    [{"last": TODAY - 1, "first": TODAY - 9}, {"client_buys": "yes"}, {"client_buys": "yes", "titles": None}],
)
def test_what_needs_no_tape_of_ours_is_left_out_without_blame(cells: dict[str, Any]) -> None:
    found = asked(**cells)
    assert isinstance(found, LeftOut)
    assert found.column is None


def test_a_project_that_ends_today_is_still_ahead() -> None:
    assert isinstance(asked(first=TODAY - 9, last=TODAY), Ahead)


def test_titles_are_spread_over_the_days_in_order() -> None:
    found = asked()
    assert isinstance(found, Ahead)
    assert [found.day_of(title) - TODAY for title in range(4)] == [0, 2, 5, 7]
    one_day = found._replace(last=found.first)
    assert {one_day.day_of(title) for title in range(4)} == {TODAY}


@pytest.mark.parametrize("first_weekday", range(1, 8))
def test_the_first_week_holds_today_and_begins_on_the_day_asked(first_weekday: int) -> None:
    for today in range(TODAY, TODAY + 7):
        weeks = weeks_from(today, 3, first_weekday)
        assert weeks[0] <= today < weeks[1] == weeks[0] + 7
        assert all(date_of(start).isoweekday() == first_weekday for start in weeks)
