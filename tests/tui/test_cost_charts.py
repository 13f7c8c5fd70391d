"""The pictures of cost: bars no wider than their room and true to their sums, prices by their own signs, in words."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.containers import VerticalScroll
from textual.widgets import Static

from stock.core.costing import Bought
from stock.desk.costing import Month
from stock.desk.desk import Desk
from tests.tui.every_screen import running
from tests.tui.reel_fixtures import LARGE, SMALL, check_picture, demo_desk, keys, settled
from tui.present.cost_charts import BUDGET, COMMITTED, SIGNS, SPENT, month_lines, price_lines
from tui.present.line import text_of

AMOUNTS = st.integers(0, 10_000_000)


def month(number: int, spent: int, committed: int, budget: int | None = None) -> Month:
    return Month(12 * 2026 + number, "EUR", spent, committed, budget)


def bought(day: int, item: str, price: int, *, new: bool = True) -> Bought:
    return Bought(day, "Portside Magnetics", item, "EUR", new, 1, price, None)


def texts(months: list[Month], width: int = 80) -> list[str]:
    return [text_of(line) for line in month_lines(months, width)]


def test_a_month_is_what_was_spent_then_what_is_committed() -> None:
    legend, bar = texts([month(2, 100_00, 50_00)])
    assert legend == f"{SPENT} spent  {COMMITTED} committed, EUR"
    assert bar.startswith("2026-03  ")
    assert bar.count(SPENT) == 2 * bar.count(COMMITTED)
    assert bar.index(SPENT) < bar.index(COMMITTED)
    assert bar.endswith("150.00")


def test_a_little_is_drawn_as_what_it_is() -> None:
    _, _, little, both = texts([month(0, 9_000_00, 0), month(1, 1, 0), month(2, 8_999_99, 1)])
    assert (little.count(SPENT), little.count(COMMITTED)) == (1, 0)
    assert both.count(COMMITTED) == 1


def test_a_month_over_its_budget_says_so() -> None:
    legend, under, over = texts([month(0, 90_00, 0, 100), month(1, 90_00, 20_00, 100)])
    assert legend.endswith(f"{BUDGET} budget, EUR")
    assert BUDGET in under
    assert BUDGET in over
    assert over.endswith(" over")
    assert "over" not in under


def test_months_without_anything_are_left_out() -> None:
    assert texts([month(0, 0, 0, 100)]) == []
    assert len(texts([month(0, 0, 0), month(1, 5, 0)])) == 2
    assert len(texts([month(each, 5, 0) for each in range(60)])) == 25, "the newest two years"


@given(st.lists(st.tuples(AMOUNTS, AMOUNTS, st.none() | st.integers(1, 200_000)), max_size=30), st.integers(60, 200))
def test_no_bar_leaves_its_room(rows: list[tuple[int, int, int | None]], width: int) -> None:
    months = [month(at, *row) for at, row in enumerate(rows)]
    for line in texts(months, width):
        assert len(line) <= width
    lengths = {
        row.month: sum(piece.text in (SPENT, COMMITTED) for piece in line)
        for row, line in zip(
            [row for row in months if row.spent + row.committed][-24:], month_lines(months, width)[1:], strict=True
        )
    }
    drawn = [(row.spent + row.committed, lengths[row.month]) for row in months if row.month in lengths]
    for amount, cells in drawn:
        for other, others in drawn:
            # the sign of the budget may hide one cell, and a little of both kinds takes one each
            assert amount < other or cells >= others - 2


def test_each_stock_item_has_its_own_sign() -> None:
    rows = [bought(day, item, price) for day, item, price in ((19000, "A-1", 90_00), (19300, "A-1", 99_00))]
    rows += [bought(19100, "B-2", 50_00), bought(19400, "B-2", 55_00), bought(19200, "C-3", 10_00)]
    legend, *chart = [text_of(line) for line in price_lines(rows, 80)]
    assert legend.startswith("EUR a reel, new:")
    assert f"{SIGNS[0]} A-1" in legend
    assert f"{SIGNS[1]} B-2" in legend
    assert "C-3" not in legend, "one price is no line in time"
    drawn = "\n".join(chart)
    assert drawn.count(SIGNS[0]) == drawn.count(SIGNS[1]) == 2
    assert "2022-0" in drawn
    assert all(len(line) <= 80 for line in chart)


def test_used_reels_and_gifts_are_no_prices() -> None:
    rows = [bought(19000, "A-1", 90_00), bought(19300, "A-1", 40_00, new=False), bought(19400, "A-1", 0)]
    assert price_lines(rows, 80) == []
    assert price_lines([], 80) == []


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        for rule, value in (("forecast_trials", "100"), ("budget_month", "1500")):
            desk.add("rule", {"rule": rule, "value": value})
        yield desk


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with running(desk, size) as (app, pilot):
        await keys(pilot, "7", "f5")
        lines = str(app.screen.query_one("#page_words", Static).content).splitlines()
        page = app.screen.query_one("#page", VerticalScroll)
        for name, heading in (("months", "By month"), ("prices", "What was paid")):
            (at,) = (number for number, line in enumerate(lines) if line.startswith(heading))
            page.scroll_to(y=at, animate=False)
            await settled(pilot)
            await check_picture(pilot, f"buying-{name}-{size[0]}x{size[1]}")
