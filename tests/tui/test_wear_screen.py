"""Measured wear on the screen: the charts, a row of levels entered, and the way there and back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from stock.desk.desk import Desk
from tests.tui.reel_fixtures import (
    HOSTILE,
    LARGE,
    SMALL,
    check_picture,
    demo_desk,
    keys,
    page_of,
    settled,
    where_it_says,
)
from tui.dialogs.levels import LevelsDialog
from tui.present.line import text_of
from tui.screens.reel import ReelScreen
from tui.screens.wear import ChartNames, ChartView, WearScreen
from tui.widgets.heading import Lines
from tui.widgets.lines import KeyLine
from tui.widgets.typed import Typed


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


def chart_of(screen: object) -> str:
    assert isinstance(screen, WearScreen)
    return "\n".join(text_of(line) for line in screen.query_one(ChartView).drawn())


def said(screen: object) -> str:
    assert isinstance(screen, WearScreen)
    return screen.query_one("#said", Lines).text()


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with page_of(desk, "M-0104", size) as (_, pilot):
        await keys(pilot, "r")
        await check_picture(pilot, f"wear-{size[0]}x{size[1]}")
        await keys(pilot, "f3", "f3")
        await check_picture(pilot, f"wear-lasting-{size[0]}x{size[1]}")


async def test_each_chart_by_key_and_by_mouse(desk: Desk) -> None:
    async with page_of(desk, "M-0104", LARGE) as (app, pilot):
        await keys(pilot, "r")
        screen = app.screen
        passes = chart_of(screen)
        assert "critical, 1 dB" in passes and passes.endswith("passes")
        assert passes.count("\u25cf") >= 2
        await keys(pilot, "f3")
        assert "2022-" in chart_of(screen) or "2024-" in chart_of(screen)
        names = screen.query_one(ChartNames)
        await pilot.click(names, offset=where_it_says(names, "how reels last"))
        await settled(pilot)
        assert "half in use" in chart_of(screen)
        assert "49 reels of Corvane C40" in said(screen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, ReelScreen)


async def test_a_reel_never_checked_says_so(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "r")
        assert "No 10 kHz check was made" in chart_of(app.screen)
        assert "Cut 300 ft off the head" in said(app.screen)


async def test_a_row_of_levels_is_entered_at_once(desk: Desk) -> None:
    async with page_of(desk, "M-0104") as (app, pilot):
        await keys(pilot, "r", "f2")
        assert isinstance(app.screen, LevelsDialog)
        for tone, level in (("100", "0.0"), ("1000", "-0.1"), ("10000", "-2.9"), ("15000", "-4.4")):
            app.screen.query_one(f"#level-0-{tone}", Typed).value = level
        with desk.store.reading() as reader:
            before = reader.head()
        await keys(pilot, "f2")
        assert isinstance(app.screen, WearScreen)
        with desk.store.reading() as reader:
            after = reader.head()
            rows = reader.raw(
                "SELECT frequency_hz, level_db, tone, machine, track FROM response ORDER BY entry DESC LIMIT 4"
            )
        assert before is not None and after is not None
        assert after.line == before.line + 1
        assert sorted(rows) == [
            (100, 0, "fresh", "Deck 1", 1), (1000, -100, "fresh", "Deck 1", 1), (10000, -2900, "fresh", "Deck 1", 1),
            (15000, -4400, "fresh", "Deck 1", 1),
        ]  # fmt: skip
        # on one day and at one count of passes as the last check: it does not stand for itself yet
        assert "its 5 checks lie at too few different counts of passes" in " ".join(said(app.screen).split())


async def test_a_level_that_cannot_be_read_enters_none(desk: Desk) -> None:
    async with page_of(desk, "M-0104") as (app, pilot):
        await keys(pilot, "r", "f2", "f2")
        assert isinstance(app.screen, LevelsDialog), "with no level there is nothing to enter"
        app.screen.query_one("#level-0-100", Typed).value = "0"
        app.screen.query_one("#level-0-1000", Typed).value = "loud"
        with desk.store.reading() as reader:
            before = reader.raw("SELECT count(*) FROM response")
        await keys(pilot, "f2")
        assert isinstance(app.screen, LevelsDialog)
        assert "level" in str(app.screen.query_one("#error").render())
        with desk.store.reading() as reader:
            assert reader.raw("SELECT count(*) FROM response") == before
        assert app.screen.query_one("#level-0-1000", Typed).value == "loud"


async def test_the_mouse_alone_goes_there_and_back(desk: Desk) -> None:
    async with page_of(desk, "M-0104") as (app, pilot):
        line = app.page.query_one("PageKeys")
        await pilot.click(line, offset=where_it_says(line, "Response"))
        await settled(pilot)
        assert isinstance(app.screen, WearScreen)
        foot = app.screen.query_one(KeyLine)
        await pilot.click(foot, offset=where_it_says(foot, "Levels"))
        await settled(pilot)
        assert isinstance(app.screen, LevelsDialog)
        await pilot.click("#leave")
        await settled(pilot)
        await pilot.click(foot, offset=where_it_says(foot, "Back"))
        await settled(pilot)
        assert isinstance(app.screen, ReelScreen)


async def test_what_is_typed_obeys_nothing(desk: Desk) -> None:
    async with page_of(desk, "M-0104") as (app, pilot):
        await keys(pilot, "r", "f2")
        for text in HOSTILE:
            for typed in app.screen.query(Typed):
                typed.value = text
            await keys(pilot, "f2")
            assert isinstance(app.screen, LevelsDialog)
            assert "\x1b" not in str(app.screen.query_one("#error").render())


async def test_the_levels_form_looks_as_it_did(desk: Desk) -> None:
    async with page_of(desk, "M-0104") as (_, pilot):
        await keys(pilot, "r", "f2")
        await check_picture(pilot, "levels-80x24")
