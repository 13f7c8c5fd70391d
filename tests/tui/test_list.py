"""The list of reels as somebody uses it: found by typing, narrowed, opened, left and found as it was."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, Static

from stock.desk.desk import Desk
from stock.desk.shelf import Shelf
from tests.tui.reel_fixtures import HOSTILE, LARGE, SMALL, check_picture, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.sheet import Sheet
from tui.screens.help import HelpScreen
from tui.screens.reel import ReelScreen
from tui.screens.shelf import ShelfScreen
from tui.widgets.reel_list import ReelList


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


@asynccontextmanager
async def listing(desk: Desk, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        yield app, pilot
        app.shelf.close()


def current(app: ReelwardApp) -> str | None:
    row = app.screen.query_one(ReelList).row
    return None if row is None else row.reel


def said(app: ReelwardApp, name: str) -> str:
    return str(app.screen.query_one(f"#{name}", Static).content)


async def type_in(pilot: Pilot[None], text: str) -> None:
    await keys(pilot, "slash")
    pilot.app.screen.query_one("#search", Input).value = text
    await settled(pilot)


async def test_a_reel_is_found_by_typing_and_its_verdict_read(desk: Desk) -> None:
    async with listing(desk) as (app, pilot):
        await keys(pilot, "slash", *"151")
        assert current(app) == "M-0151"
        assert "keep" in said(app, "detail")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ReelScreen)


@pytest.mark.parametrize("words", ["tin regatta", "Lamplighter", "drop-in", "corvane m-0151"])
async def test_words_of_project_title_tape_and_note_find_it(desk: Desk, words: str) -> None:
    async with listing(desk) as (app, pilot):
        await type_in(pilot, words)
        ids = app.shelf.find(app.screen._query)  # type: ignore[attr-defined]
        assert "M-0151" in [row.reel for row in app.shelf.rows(ids)]
        assert len(ids) < 80


async def test_filter_and_cursor_are_as_they_were_on_the_way_back(desk: Desk) -> None:
    async with listing(desk) as (app, pilot):
        await type_in(pilot, "M-01")
        app.screen.query_one(ReelList).focus()
        await keys(pilot, "down", "down", "down")
        before = current(app)
        assert before is not None
        await keys(pilot, "enter")
        assert isinstance(app.screen, ReelScreen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, ShelfScreen)
        assert current(app) == before
        assert app.screen.query_one("#search", Input).value == "M-01"


async def test_escape_takes_away_the_search_and_the_cursor_stays_on_its_reel(desk: Desk) -> None:
    async with listing(desk) as (app, pilot):
        await type_in(pilot, "M-015")
        app.screen.query_one(ReelList).focus()
        await keys(pilot, "down", "down")
        before = current(app)
        await keys(pilot, "escape")
        assert app.screen.query_one("#search", Input).value == ""
        assert current(app) == before
        assert "80 reels" in said(app, "state")


async def test_arrows_pages_and_ends(desk: Desk) -> None:
    async with listing(desk) as (app, pilot):
        first = current(app)
        await keys(pilot, "down", "up")
        assert current(app) == first
        await keys(pilot, "end")
        last = current(app)
        await keys(pilot, "pageup", "pagedown")
        assert current(app) == last
        await keys(pilot, "home")
        assert current(app) == first
        assert first != last


async def test_a_click_points_and_a_click_on_a_verdict_narrows(desk: Desk) -> None:
    async with listing(desk, LARGE) as (app, pilot):
        await pilot.click(ReelList, offset=(20, 3))
        await settled(pilot)
        assert current(app) == "E-0204"
        counts = app.screen.query_one("#counts")
        text = str(counts.render())
        await pilot.click(counts, offset=(text.index("blank") + 1, 0))
        await settled(pilot)
        assert "12 of 80" in said(app, "state")


async def test_what_another_program_enters_is_shown(desk: Desk, tmp_path: Path) -> None:
    async with listing(desk) as (app, pilot):
        await type_in(pilot, "M-0101")
        assert "clear" in said(app, "detail")
        other = Desk.open(desk.store.path, "Bob", now_us=desk._now_us)
        other.add("hold", {"hold": "H-77", "reel": "M-0101", "reason": "the client rang"})
        other.close()
        app.screen.look()  # type: ignore[attr-defined]
        for _ in range(4):
            await settled(pilot)
        assert "keep" in said(app, "detail")


async def test_help_lists_the_keys_and_the_cautions(desk: Desk) -> None:
    async with listing(desk, LARGE) as (app, pilot):
        await keys(pilot, "question_mark")
        assert isinstance(app.screen, HelpScreen)
        shown = app.export_screenshot()
        assert "Search" in shown
        await keys(pilot, "escape")
        assert isinstance(app.screen, ShelfScreen)


async def test_nothing_found_and_no_reels_are_said_in_words(desk: Desk, tmp_path: Path) -> None:
    async with listing(desk) as (app, pilot):
        await type_in(pilot, "zzzz")
        assert "No reel has words that begin so" in said(app, "empty")
    empty = Desk.open(tmp_path / "empty" / "house.db", "Ann", now_us=desk._now_us)
    async with listing(empty) as (app, _):
        assert "reelward load" in said(app, "empty")
    empty.close()


@pytest.mark.parametrize("text", HOSTILE)
async def test_what_is_typed_or_recorded_obeys_nothing(desk: Desk, text: str) -> None:
    note = text.replace("\x1b", "").replace("\x07", "").replace("\u202e", "")
    desk.add("reel", {"reel": "X-1", "stock_item": "C40-2-2500", "tracks": "24", "owner": "house", "note": note})
    async with listing(desk, LARGE) as (app, pilot):
        await type_in(pilot, "X-1")
        assert current(app) == "X-1"
        await type_in(pilot, text)
        assert isinstance(app.screen, ShelfScreen)
        picture = app.export_screenshot()
        assert "\x1b" not in picture


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with listing(desk, size) as (_, pilot):
        await keys(pilot, "down", "down", "down", "down")
        await check_picture(pilot, f"list-{size[0]}x{size[1]}")


async def test_what_another_hand_brought_up_to_date_is_shown(desk: Desk) -> None:
    async with listing(desk) as (app, pilot):
        await type_in(pilot, "M-0101")
        desk.add("hold", {"hold": "H-9", "reel": "M-0101", "reason": "the client rang"})
        other = Shelf(desk)
        assert other.refresh() == {"M-0101"}
        other.close()
        shelf_screen = app.screen
        assert isinstance(shelf_screen, ShelfScreen)
        shelf_screen.look()
        await settled(pilot)
        assert "keep" in said(app, "detail")
        assert "the client rang" in said(app, "detail")


async def test_why_a_reel_in_the_list_is_not_clear_is_one_key(desk: Desk) -> None:
    async with listing(desk) as (app, pilot):
        await type_in(pilot, "m-0151")
        app.screen.query_one(ReelList).focus()
        await keys(pilot, "e")
        assert isinstance(app.screen, Sheet)
        said = "\n".join(str(each.content) for each in app.screen.query(Static))
        assert "Reel M-0151, keep: why is it not clear?" in said
        assert "1. transfer what is missing" in said
