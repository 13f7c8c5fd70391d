"""The needs screen: the chart, its weeks, what lies behind them, what if."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList, Select, Static

from stock.core.measure import IPS
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.forecasting import needs
from tests.tui.reel_fixtures import HOSTILE, LARGE, SMALL, check_picture, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.read import ReadPlace
from tui.screens.needs import NeedsScreen
from tui.widgets.chart import WeekChart
from tui.widgets.heading import Lines


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        desk.add("rule", {"rule": "forecast_trials", "value": "500"})
        yield desk


@asynccontextmanager
async def forecasting(desk: Desk, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await keys(pilot, "6")
        assert isinstance(app.screen, NeedsScreen)
        yield app, pilot
        app.shelf.close()


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with forecasting(desk, size) as (app, pilot):
        await keys(pilot, *["down"] * 8)
        await check_picture(pilot, f"needs-{size[0]}x{size[1]}")
        app.screen.query_one("#speed", Select).value = 30 * IPS
        await settled(pilot)
        await check_picture(pilot, f"needs-what-if-{size[0]}x{size[1]}")


def words(app: ReelwardApp, name: str) -> str:
    return str(app.screen.query_one(f"#{name}", Static).content)


def weeks(app: ReelwardApp) -> OptionList:
    return app.screen.query_one("#weeks", OptionList)


def rows(app: ReelwardApp) -> list[str]:
    listed = weeks(app)
    return [str(listed.get_option_at_index(at).prompt) for at in range(listed.option_count)]


async def test_the_weeks_are_those_of_the_forecast(desk: Desk) -> None:
    async with forecasting(desk, LARGE) as (app, pilot):
        (need,) = (need for need in needs(desk) if need.stock_item == "C40-2-2500")
        told = rows(app)
        assert len(told) == len(need.weeks)
        for at, row in enumerate(told):
            _, p10, p50, p90, minutes, short, *_ = row.split()
            assert (int(p10), int(p50), int(p90)) == (need.p10[at], need.p50[at], need.p90[at])
            assert int(minutes) == need.minutes_only[at]
            assert short.strip("<>").isdecimal()


async def test_another_stock_item_is_shown_by_key_and_by_mouse(desk: Desk) -> None:
    async with forecasting(desk) as (app, pilot):
        assert words(app, "standing").startswith("13 on hand")
        before = rows(app)
        await keys(pilot, "full_stop")
        assert words(app, "standing").startswith("5 on hand (3 critical")
        await keys(pilot, "comma", "comma")
        assert words(app, "standing").startswith("5 on hand (4 critical")
        await pilot.click("#items", offset=(14, 0))
        await settled(pilot)
        assert rows(app) == before


async def test_the_cursor_goes_by_week_and_a_click_on_the_chart_moves_it(desk: Desk) -> None:
    async with forecasting(desk) as (app, pilot):
        await keys(pilot, "end")
        assert weeks(app).highlighted == 25
        assert "Wrenfall III 1" in words(app, "source")
        await pilot.click(WeekChart, offset=(6, 3))
        await settled(pilot)
        assert weeks(app).highlighted == 0
        assert "Wrenfall III" not in words(app, "source")
        await pilot.click(WeekChart, offset=(1, 3))
        await settled(pilot)
        assert weeks(app).highlighted == 0, "the axis is no week"


@pytest.mark.parametrize(
    ("field", "value", "more"), [("drop", "Wrenfall III", False), ("speed", 30 * IPS, True), ("mode", "through", False)]
)
async def test_what_if_stands_beside_what_is_planned(desk: Desk, field: str, value: object, more: bool) -> None:
    async with forecasting(desk, LARGE) as (app, pilot):
        planned = rows(app)
        app.screen.query_one(f"#{field}", Select).value = value
        await settled(pilot)
        last = rows(app)[-1]
        assert last.startswith(planned[-1])
        _, beside = last.split("\u2502")
        p50, p90 = (int(cell) for cell in beside.split()[:2])
        own = [int(cell) for cell in planned[-1].split()[2:4]]
        assert (p50 > own[0]) == more
        assert (p90 > own[1]) == more
        app.screen.query_one(f"#{field}", Select).clear()
        await settled(pilot)
        assert rows(app) == planned


async def test_what_lies_behind_it_is_read_in_full(desk: Desk) -> None:
    async with forecasting(desk) as (app, pilot):
        await keys(pilot, "e")
        assert isinstance(app.screen, ReadPlace)
        told = app.screen.query_one("#said", Lines).text()
        assert "Wrenfall III, 2026-12-07 to 2027-01-30" in told
        assert "past the day they were due back: M-0107" in told
        assert "FX library: it has no last day" in told
        await keys(pilot, "escape", "enter")
        assert isinstance(app.screen, ReadPlace)
        await keys(pilot, "escape", "escape")
        assert not isinstance(app.screen, NeedsScreen)


async def test_where_nothing_is_ahead_it_says_so(tmp_path: Path) -> None:
    empty = Desk.open(tmp_path / "new.db", "Tess Amblin")
    app = ReelwardApp(lambda: empty)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        await keys(pilot, "6")
        await keys(pilot, "comma", "e", "down")
        assert "No projects ahead" in app.screen.query_one(WeekChart).says
        assert isinstance(app.screen, NeedsScreen)
        app.shelf.close()
    empty.close()


async def test_names_obey_nothing(desk: Desk) -> None:
    project = {"from": "2026-12-01", "to": "2026-12-20", "stock_item": "C40-2-2500", "speed": "15 ips", "titles": "2"}
    entered = 0
    for text in HOSTILE:
        with suppress(CannotEnter):
            desk.add("project", {**project, "project": text, "length_likely": "4:00", "takes_likely": "2"})
            entered += 1
    assert entered > len(HOSTILE) // 2
    async with forecasting(desk, LARGE) as (app, pilot):
        await keys(pilot, "end")
        assert "$error {x} 1" in words(app, "source")
        assert "\x1b" not in words(app, "source")
        drop = app.screen.query_one("#drop", Select)
        drop.focus()
        await keys(pilot, "enter", "down", "enter")
        assert drop.value is not Select.NULL
        await keys(pilot, "e")
        assert isinstance(app.screen, ReadPlace)
        assert "side [A] take [/]" in app.screen.query_one("#said", Lines).text()
        await keys(pilot, "escape")
        assert isinstance(app.screen, NeedsScreen)
