"""The screens of proof: what waits, what is due, the reading and its report, the listen, the proof of each take."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList, Select, Static

from stock.core.explain import EXPLAINED
from stock.desk.desk import Desk
from tests.proved_house import DAY_US, REEL, TRANSFER, Ticking, damage, proved_house
from tests.tui.reel_fixtures import HOSTILE, LARGE, NOW_US, SMALL, check_picture, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.listen import ListenDialog
from tui.dialogs.proof import ProofDialog
from tui.dialogs.report import ReportDialog
from tui.screens.copies import CopiesScreen
from tui.screens.proving import CopyAsked, ProvingScreen
from tui.screens.reel import ReelScreen
from tui.widgets.page import Page
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A year after the copies were read."""
    desk = proved_house(tmp_path, NOW_US)
    assert isinstance(desk._now_us, Ticking)
    desk._now_us.now_us += 366 * DAY_US
    yield desk
    desk.close()


@asynccontextmanager
async def showing(desk: Desk, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        yield app, pilot
    app.shelf.close()


def count(desk: Desk, table: str) -> int:
    with desk.store.reading() as reader:
        return int(reader.raw(f"SELECT count(*) FROM {table}")[0][0])


def page(app: ReelwardApp) -> str:
    return app.screen.query_one(Page).text()


async def test_what_waits_and_what_is_due_is_listed_and_read(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        await keys(pilot, "5")
        assert isinstance(app.screen, CopiesScreen)
        assert app.screen.query_one("#waiting", OptionList).option_count == 1
        assert app.screen.query_one("#due", OptionList).option_count == 2
        assert "Ferry Song/1" in page(app)
        await keys(pilot, "f2")
        assert isinstance(app.screen, ReportDialog)
        assert "2 pass" in page(app)
        await keys(pilot, "escape")
        assert app.screen.query_one("#waiting", OptionList).option_count == 0
        assert app.screen.query_one("#due", OptionList).option_count == 0
        await keys(pilot, "f2", "escape")
        assert not isinstance(app.screen, CopiesScreen)


async def test_a_copy_that_failed_is_told_with_why(desk: Desk, tmp_path: Path) -> None:
    damage(tmp_path / "a")
    async with showing(desk) as (app, pilot):
        await keys(pilot, "5", "f2")
        assert "1 pass, 1 fail" in page(app)
        assert "hash" in page(app)


async def test_a_copy_due_is_proved_from_its_form(desk: Desk, tmp_path: Path) -> None:
    async with showing(desk) as (app, pilot):
        await keys(pilot, "5", "tab", "enter")
        assert isinstance(app.screen, ProvingScreen)
        assert app.screen.query_one("#folder", Typed).value == str(tmp_path / "a")
        before = count(desk, "copy_checks")
        await keys(pilot, "f2")
        assert "passed" in page(app)
        assert count(desk, "copy_checks") == before + 1
        await keys(pilot, "f4")
        assert isinstance(app.screen, ListenDialog)


async def test_a_new_copy_asks_for_what_is_not_said(desk: Desk, tmp_path: Path) -> None:
    async with showing(desk) as (app, pilot):
        app.push_screen(ProvingScreen(CopyAsked(TRANSFER)))
        await settled(pilot)
        screen = app.screen

        def error() -> str:
            return str(screen.query_one("#error", Static).content)

        await keys(pilot, "f2")
        assert "say its folder, medium, place first" in error()
        screen.query_one("#folder", Typed).value = str(tmp_path / "nowhere")
        screen.query_one("#medium", Typed).value = "disk c"
        screen.query_one("#place", Select).value = "here"
        await keys(pilot, "f2")
        assert "there is no folder to read" in error()
        screen.query_one("#folder", Typed).value = str(tmp_path / "a")
        await keys(pilot, "f2")
        assert "two folders on one are one medium" in error()
        screen.query_one("#own_medium", Tick).value = True
        screen.query_one("#tracks", Typed).value = "lead"
        await keys(pilot, "f2")
        assert "the file, `=` and its tracks" in error()
        screen.query_one("#tracks", Typed).value = ""
        await keys(pilot, "f2")
        assert error() == ""
        assert "passed" in page(app)
        assert count(desk, "copies") == 3


async def test_files_whose_tracks_are_not_told_are_asked_about(desk: Desk, tmp_path: Path) -> None:
    for number, path in enumerate(sorted((tmp_path / "a").glob("*.wav"))):
        path.rename(path.with_name("ab"[number] + ".wav"))
    async with showing(desk) as (app, pilot):
        app.push_screen(ProvingScreen(CopyAsked(TRANSFER, "n", "disk n", "here", str(tmp_path / "a"))))
        await settled(pilot)
        app.screen.query_one("#own_medium", Tick).value = True
        await keys(pilot, "f2")
        assert "FAILED" in page(app)
        assert app.screen.query_one("#tracks", Typed).value == "a.wav=; b.wav="


async def test_a_listen_is_only_all_of_it(desk: Desk) -> None:
    before = count(desk, "listens")
    async with showing(desk) as (app, pilot):
        await keys(pilot, "5", "h")
        assert isinstance(app.screen, ListenDialog)
        await keys(pilot, "f2", "space", "f2")
        assert "middle, end, tracks" in str(app.screen.query_one("#error", Static).content)
        assert count(desk, "listens") == before
        for tick in app.screen.query(Tick):
            tick.value = True
        await keys(pilot, "f2")
        assert isinstance(app.screen, CopiesScreen)
    assert count(desk, "listens") == before + 1


async def test_the_page_of_a_reel_tells_proof_take_by_take(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        app.push_screen(ReelScreen(REEL))
        await settled(pilot)
        await keys(pilot, "p")
        assert isinstance(app.screen, ProofDialog)
        await keys(pilot, "e")
        told = " ".join(str(each.content) for each in app.screen.query(Static))
        assert f"Reel {REEL}, keep: why is it not clear?" in told
        assert EXPLAINED["copy-check-old"].means in told
        await keys(pilot, "escape", "enter")
        assert isinstance(app.screen, ProvingScreen), "a copy read through would help most"
        assert app.screen.query_one("#copy", Typed).value == "disk b"
        await keys(pilot, "escape")
        assert isinstance(app.screen, ReelScreen)


async def test_what_is_typed_obeys_nothing(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        app.push_screen(ProvingScreen(CopyAsked(TRANSFER, place="here")))
        await settled(pilot)
        for text in HOSTILE:
            for name in ("folder", "medium", "copy"):
                app.screen.query_one(f"#{name}", Typed).value = text
            await keys(pilot, "f2")
            error = str(app.screen.query_one("#error", Static).content)
            assert error
            assert "\x1b" not in error


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(tmp_path: Path, size: tuple[int, int]) -> None:
    name = f"{size[0]}x{size[1]}"
    with demo_desk(tmp_path) as demo:
        async with showing(demo, size) as (app, pilot):
            await keys(pilot, "5")
            await check_picture(pilot, f"copies-{name}")
            app.push_screen(ReelScreen("M-0151"))
            await settled(pilot)
            await keys(pilot, "p")
            await check_picture(pilot, f"proof-{name}")
