"""Buying: the plan as it is asked for, changed by hand, at other prices, ordered; and what tape costs."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Button, OptionList, Static

from stock.desk.desk import Desk
from tests.tui.reel_fixtures import HOSTILE, LARGE, SMALL, check_picture, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.entry import EntryDialog
from tui.dialogs.order_line import OrderLine
from tui.dialogs.receive import Receive
from tui.present.buying import BAR, bar
from tui.screens.buying import BuyingScreen
from tui.screens.orders import OrdersScreen
from tui.screens.shelf import ShelfScreen
from tui.widgets.typed import Typed

NEED = "C40-2-2500=26@2027-02-22"
BOTH = f"{NEED}, C40-1-2500=3@2027-02-08"
"""Two items whose orders share fees, which takes the solver."""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        # enough for a forecast that nobody looks at closely
        desk.add("rule", {"rule": "forecast_trials", "value": "100"})
        yield desk


@asynccontextmanager
async def buying(desk: Desk, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await keys(pilot, "7")
        assert isinstance(app.screen, BuyingScreen)
        yield app, pilot
        app.shelf.close()


async def ask(pilot: Pilot[None], **cells: str) -> None:
    for name, text in cells.items():
        pilot.app.screen.query_one(f"#{name}", Typed).value = text
    pilot.app.screen.query_one(f"#{name}", Typed).focus()
    await keys(pilot, "enter")
    pilot.app.screen.query_one("#lines", OptionList).focus()
    await settled(pilot)


def words(app: ReelwardApp, name: str) -> str:
    return str(app.screen.query_one(f"#{name}", Static).content)


def lines(app: ReelwardApp) -> list[str]:
    listed = app.screen.query_one("#lines", OptionList)
    return [str(listed.get_option_at_index(at).prompt) for at in range(listed.option_count)]


async def test_a_plan_and_why_each_line_is_there(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need=NEED)
        assert "proved the cheapest" in words(app, "said")
        assert len(lines(app)) == 2
        first = words(app, "why")
        await keys(pilot, "down")
        assert words(app, "why") != first
        assert "12 on order" in words(app, "notes_words")


async def test_a_line_set_by_hand_stays_when_planning_again(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need=NEED)
        before = lines(app)
        await keys(pilot, "f2")
        assert isinstance(app.screen, OrderLine)
        app.screen.query_one("#quantity", Typed).value = "5"
        await keys(pilot, "f2")
        assert isinstance(app.screen, BuyingScreen)
        kept = [line for line in lines(app) if line.startswith("\u25a0")]
        assert len(kept) == 1
        assert " 5 " in kept[0]
        await ask(pilot, budget="2026-12=9000")
        assert [line for line in lines(app) if line.startswith("\u25a0")] == kept
        # set again, it is still one line
        app.screen.query_one("#lines", OptionList).highlighted = lines(app).index(kept[0])
        await keys(pilot, "f2")
        app.screen.query_one("#quantity", Typed).value = "6"
        await keys(pilot, "f2")
        assert [" 6 " in line for line in lines(app) if line.startswith("\u25a0")] == [True]
        await keys(pilot, "f7")
        await ask(pilot, budget="")
        assert lines(app) == before


async def test_a_line_that_is_not_for_sale_is_refused_and_can_be_mended(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need=NEED)
        await keys(pilot, "f2")
        dialog = app.screen
        dialog.query_one("#quantity", Typed).value = "many"
        await keys(pilot, "f2")
        assert app.screen is dialog
        assert "how many reels" in words(app, "error")
        dialog.query_one("#quantity", Typed).value = "3"
        dialog.query_one("#day", Typed).value = "2020-01-01"
        await keys(pilot, "f2")
        assert "before today" in words(app, "said")
        assert "F7 forgets" in words(app, "said")
        await keys(pilot, "f7")
        assert "proved the cheapest" in words(app, "said")


async def test_not_from_them(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need=NEED)
        supplier = words(app, "why").split(",")[0]
        assert any(supplier[:6] in line for line in lines(app))
        await keys(pilot, "f2")
        app.screen.query_one("#none", Button).press()
        await settled(pilot)
        assert lines(app)
        assert not any(supplier[:6] in line for line in lines(app))
        assert f"none of C40-2-2500 from {supplier}, by hand" in words(app, "notes_words")
        assert "proved the cheapest" in words(app, "said")


async def test_what_cannot_be_read_is_said_and_stays(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need="C40", budget="soon")
        assert "need: " in words(app, "said")
        assert "budget: " in words(app, "said")
        assert app.screen.query_one("#need", Typed).value == "C40"
        assert lines(app) == []
        await keys(pilot, "f2", "f6", "f4")
        assert "no plan yet" in words(app, "page_words")


async def test_what_a_budget_cannot_buy_is_told(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need=NEED, budget="2026-11=0, 2026-12=500, 2027-01=0, 2027-02=0")
        assert "proved the least short" in words(app, "said")
        assert "reels short in the week" in words(app, "notes_words")


async def test_other_prices_and_costs_and_back(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need=NEED)
        await keys(pilot, "f4")
        assert "all prices +10 %" in words(app, "page_words")
        assert BAR in words(app, "page_words")
        await keys(pilot, "f5")
        assert "Tape by project" in words(app, "page_words")
        await keys(pilot, "escape")
        assert isinstance(app.screen, BuyingScreen)
        assert app.screen.query_one("#lines", OptionList).display
        await keys(pilot, "escape")
        assert isinstance(app.screen, ShelfScreen)


async def test_a_line_is_ordered(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        await ask(pilot, need=NEED)
        wanted = words(app, "notes_words")
        await keys(pilot, "f6")
        assert isinstance(app.screen, EntryDialog)
        await keys(pilot, *"PO7", "f2")
        assert isinstance(app.screen, BuyingScreen)
        with desk.store.reading() as reader:
            rows = reader.raw("SELECT stock_item, quantity, currency FROM orders WHERE \"order\" = 'PO7'")
        assert len(rows) == 1
        assert words(app, "notes_words") != wanted, "what is on order now counts"


async def test_what_is_typed_obeys_nothing(desk: Desk) -> None:
    async with buying(desk) as (app, pilot):
        for text in HOSTILE[::2]:
            await ask(pilot, need=f"{text}=2@2027-02-01", without=text, budget=text)
            assert isinstance(app.screen, BuyingScreen)
            assert "\x1b" not in words(app, "said")
            await ask(pilot, need=f"{text}=2@2027-02-01", without=text, budget="")
            assert "\x1b" not in words(app, "said") + words(app, "notes_words")


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with buying(desk, size) as (_, pilot):
        await ask(pilot, need=BOTH, budget="2026-12=3000")
        await keys(pilot, "down", "down")
        await check_picture(pilot, f"buying-{size[0]}x{size[1]}")
        await keys(pilot, "f4")
        await check_picture(pilot, f"buying-beside-{size[0]}x{size[1]}")
        await keys(pilot, "f5")
        await check_picture(pilot, f"buying-costs-{size[0]}x{size[1]}")


async def test_orders_are_received_from_the_screen(desk: Desk, tmp_path: Path) -> None:
    async with buying(desk) as (app, pilot):
        await keys(pilot, "f8")
        assert isinstance(app.screen, OrdersScreen)
        assert "2 of 3 orders late" in words(app, "said")
        await keys(pilot, "down", "down", "f2")
        dialog = app.screen
        assert isinstance(dialog, Receive)
        dialog.query_one("#quantity", Typed).value = "many"
        await keys(pilot, "f2")
        assert app.screen is dialog
        for name, text in (("quantity", "5"), ("first_reel", "M-0200"), ("labels", str(tmp_path / "labels.pdf"))):
            dialog.query_one(f"#{name}", Typed).value = text
        await keys(pilot, "f2")
        assert isinstance(app.screen, OrdersScreen)
        assert "15 reels on order" in words(app, "said")
        assert (tmp_path / "labels.pdf").read_bytes().startswith(b"%PDF-")
        with desk.store.reading() as reader:
            assert len(reader.raw("SELECT reel FROM reels WHERE reel BETWEEN 'M-0200' AND 'M-0204'")) == 5
        # more than was ordered is refused, in words
        await keys(pilot, "f2")
        app.screen.query_one("#quantity", Typed).value = "99"
        await keys(pilot, "f2")
        assert isinstance(app.screen, OrdersScreen)
        assert "15 reels on order" in words(app, "said")
        await keys(pilot, "escape")
        assert isinstance(app.screen, BuyingScreen)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_orders_look(desk: Desk, size: tuple[int, int]) -> None:
    async with buying(desk, size) as (_, pilot):
        await keys(pilot, "f8")
        await check_picture(pilot, f"orders-{size[0]}x{size[1]}")
        await keys(pilot, "f2")
        await check_picture(pilot, f"receive-{size[0]}x{size[1]}")


def test_bars() -> None:
    assert bar(100, 100, 10) == 10 * BAR
    assert len(bar(50, 100, 10)) == 5
    assert bar(1, 1000, 10) != ""
    assert bar(0, 100, 10) == bar(5, 0, 10) == ""
