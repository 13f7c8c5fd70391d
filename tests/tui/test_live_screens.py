"""A copy found damaged, by anybody anywhere, turns its reel to keep in every open screen, with no key pressed."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import OptionList

from stock.desk.desk import Desk
from stock.desk.proving import prove
from tests.proved_house import REEL, TRANSFER, Ticking, damage, proved_house
from tests.tui.reel_fixtures import NOW_US, SMALL, settled
from tui.app import ReelwardApp
from tui.screens.copies import CopiesScreen
from tui.screens.reel import ReelScreen
from tui.screens.shelf import ShelfScreen
from tui.screens.wipe import WipeScreen
from tui.widgets.heading import Lines


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    desk = proved_house(tmp_path, NOW_US)
    yield desk
    desk.close()


@asynccontextmanager
async def app_of(desk: Desk) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        yield app, pilot
    app.shelf.close()


def found_elsewhere(desk: Desk, folder: Path) -> None:
    """Another program reads the copies, one bit of which has flipped, and records what it found."""
    damage(folder)
    clock = desk._now_us
    assert isinstance(clock, Ticking)
    other = Desk.open(desk.store.path, "Pim Dacey", create=False, now_us=clock)
    read = prove(other, TRANSFER, folder, medium="disk a", place="here", copy="disk a", own_medium=True)
    assert read.receipt is not None and not read.report.passed
    (answer,) = other.advise([REEL])
    assert answer.verdict == "keep"
    other.close()


def shown(app: ReelwardApp) -> str:
    """The verdict of the reel as the open screen shows it."""
    screen = app.screen
    if isinstance(screen, CopiesScreen):
        return "keep" if screen.query_one("#waiting", OptionList).option_count else "clear"
    if isinstance(screen, ShelfScreen):
        lines = app.export_screenshot().split("\n")
        return " ".join(line for line in lines if REEL in line)
    return screen.query_one("#verdict", Lines).text()


@pytest.mark.parametrize("which", [None, ReelScreen, WipeScreen, CopiesScreen])
async def test_a_flipped_bit_found_elsewhere_is_keep_in_the_open_screen(
    desk: Desk, tmp_path: Path, which: type[Screen[None]] | None
) -> None:
    async with app_of(desk) as (app, pilot):
        if which is not None:
            app.push_screen(CopiesScreen() if which is CopiesScreen else which(REEL))
            await settled(pilot)
        assert "clear" in shown(app) and "keep" not in shown(app)
        found_elsewhere(desk, tmp_path / "a")
        screen = app.screen
        assert isinstance(screen, ShelfScreen | ReelScreen | WipeScreen | CopiesScreen)
        screen.look()  # what its own clock does once a second
        await settled(pilot)
        assert "keep" in shown(app) and "clear" not in shown(app)
