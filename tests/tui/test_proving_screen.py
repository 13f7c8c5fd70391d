"""The screen that proves one copy: how it looks while it asks, reads and reports, and its picker of folders."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Select, Static

from stock.core.explain_files import REMARKS_EXPLAINED
from stock.desk.desk import Desk
from stock.proof.facts import Progress
from tests.proved_house import TRANSFER, copies, damage, proved_house
from tests.tui.reel_fixtures import HOSTILE, LARGE, NOW_US, SMALL, check_picture, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.folder import FolderDialog, Folders
from tui.dialogs.sheet import Sheet
from tui.screens import proving
from tui.screens.proving import CopyAsked, ProvingScreen
from tui.widgets.page import Page
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed

ASKED = CopyAsked(TRANSFER, "disk c", "disk c", "here", "disk c")
MIB = 1 << 20
PROGRESS = Progress(
    path="06 overhead left.wav",
    files_done=5,
    files=16,
    bytes_done=1_400 * MIB,
    bytes_total=4_100 * MIB,
    left_s=83.0,
)


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Desk]:
    """A house with a third copy, `disk c`, in the working folder, so that no picture tells where that is."""
    desk = proved_house(tmp_path, NOW_US)
    shutil.copytree(tmp_path / "a", tmp_path / "disk c")
    monkeypatch.chdir(tmp_path)
    yield desk
    desk.close()


@asynccontextmanager
async def asking(
    desk: Desk, asked: CopyAsked = ASKED, size: tuple[int, int] = SMALL
) -> AsyncIterator[tuple[ProvingScreen, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        screen = ProvingScreen(asked)
        app.push_screen(screen)
        await settled(pilot)
        screen.query_one("#own_medium", Tick).value = True
        await settled(pilot)
        yield screen, pilot
    app.shelf.close()


def held_back(seen: Event, go_on: Event) -> Callable[..., object]:
    """A reading that tells how far it is, and waits there until it may go on."""
    real = proving.prove

    def read(*args: Any, told: Callable[[Progress], None], **named: Any) -> object:
        told(PROGRESS)
        seen.set()
        go_on.wait(30)
        return real(*args, told=lambda _: None, **named)

    return read


async def drawn(pilot: Pilot[None], what: Callable[[], bool]) -> None:
    """Wait until something is so, while a reading goes on."""
    for _ in range(1_000):
        await pilot.pause()
        if what():
            return
    raise AssertionError("it never was")


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]) -> None:
    name = f"{size[0]}x{size[1]}"
    async with asking(desk, CopyAsked(TRANSFER), size) as (screen, pilot):
        await keys(pilot, "f2")
        await check_picture(pilot, f"proving-asked-{name}")
        screen.query_one("#folder", Typed).value = "disk c"
        screen.query_one("#medium", Typed).value = "disk c"
        screen.query_one("#place", Select).value = "here"
        await settled(pilot)
        seen, go_on = Event(), Event()
        with monkeypatch.context() as patch:
            patch.setattr(proving, "prove", held_back(seen, go_on))
            await pilot.press("f2")
            await drawn(pilot, lambda: seen.is_set() and "06 overhead" in said(screen, "progress"))
            await check_picture(pilot, f"proving-reading-{name}")
            go_on.set()
            await settled(pilot)
        assert screen.proved is not None and screen.proved.report.passed
        await check_picture(pilot, f"proving-passed-{name}")
        damage(tmp_path / "disk c")
        (tmp_path / "disk c" / "notes.wav").write_text("read me")
        await keys(pilot, "f2")
        assert not screen.proved.report.passed
        await check_picture(pilot, f"proving-failed-{name}")
        await keys(pilot, "f5")
        assert isinstance(pilot.app.screen, Sheet)
        told = " ".join(str(each.content) for each in pilot.app.screen.query(Static))
        for remark in screen.proved.report.remarks:
            assert REMARKS_EXPLAINED[remark.code].means in told


async def test_before_anything_is_read_there_is_nothing_to_explain(desk: Desk) -> None:
    async with asking(desk) as (screen, pilot):
        await keys(pilot, "f5")
        assert pilot.app.screen is screen


def said(screen: ProvingScreen, part: str) -> str:
    return str(screen.query_one(f"#{part}", Static).content)


async def test_leaving_a_reading_stops_it_first(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    seen, go_on = Event(), Event()
    monkeypatch.setattr(proving, "prove", held_back(seen, go_on))
    async with asking(desk) as (screen, pilot):
        await pilot.press("f2")
        await drawn(pilot, seen.is_set)
        await pilot.press("escape")
        assert pilot.app.screen is screen
        assert screen.stopped()
        go_on.set()
        await settled(pilot)
        assert "Stopped: nothing is recorded" in screen.query_one(Page).text()
        await keys(pilot, "escape")
        assert pilot.app.screen is not screen


async def test_a_folder_is_picked_by_keyboard(desk: Desk, tmp_path: Path) -> None:
    copies(tmp_path / "shelf" / "of disks")
    async with asking(desk, CopyAsked(TRANSFER, folder=str(tmp_path / "shelf"))) as (screen, pilot):
        await keys(pilot, "f3")
        dialog = pilot.app.screen
        assert isinstance(dialog, FolderDialog)
        await drawn(pilot, lambda: labels(dialog) == ["shelf", "of disks"])
        await keys(pilot, "down", "enter")
        await drawn(pilot, lambda: labels(dialog) == ["shelf", "of disks", "a", "b"])
        await keys(pilot, "down", "down", "f2")
        assert pilot.app.screen is screen
        assert screen.query_one("#folder", Typed).value == str(tmp_path / "shelf" / "of disks" / "b")


async def test_the_folder_above_and_leaving_it(desk: Desk, tmp_path: Path) -> None:
    async with asking(desk, CopyAsked(TRANSFER, folder=str(tmp_path / "a" / "not there"))) as (screen, pilot):
        await keys(pilot, "f3")
        dialog = pilot.app.screen
        assert isinstance(dialog, FolderDialog)
        assert dialog.chosen == tmp_path / "a", "the nearest there is"
        await keys(pilot, "f3")
        await drawn(pilot, lambda: labels(dialog)[1:] == ["a", "b", "disk c", "own"])
        await keys(pilot, "escape")
        assert pilot.app.screen is screen
        assert screen.query_one("#folder", Typed).value == str(tmp_path / "a" / "not there")


async def test_a_folder_is_picked_by_mouse(desk: Desk, tmp_path: Path) -> None:
    async with asking(desk, CopyAsked(TRANSFER, folder=str(tmp_path))) as (screen, pilot):
        await pilot.click("#folders")
        await settled(pilot)
        dialog = pilot.app.screen
        assert isinstance(dialog, FolderDialog)
        await drawn(pilot, lambda: labels(dialog)[1:] == ["a", "b", "disk c", "own"])
        await pilot.click(Folders, offset=(6, 3))
        await settled(pilot)
        await pilot.click("#take")
        await settled(pilot)
        assert pilot.app.screen is screen
        assert screen.query_one("#folder", Typed).value == str(tmp_path / "disk c")


def labels(dialog: FolderDialog) -> list[str]:
    """The folders as the tree shows them, from the top."""
    tree = dialog.query_one(Folders)
    return [tree.get_node_at_line(line).label.plain for line in range(tree.last_line + 1)]  # type: ignore[union-attr]


NAMES = [*(name.replace("/", "∕") for name in HOSTILE), b"half \xff name".decode(errors="surrogateescape"), " spaced "]


@pytest.mark.parametrize("name", NAMES, ids=[ascii(name) for name in NAMES])
async def test_names_of_folders_obey_nothing_and_are_read_as_they_are(desk: Desk, tmp_path: Path, name: str) -> None:
    shutil.copytree(tmp_path / "a", tmp_path / "shelf" / name)
    asked = CopyAsked(TRANSFER, medium="disk d", place="here", folder=str(tmp_path / "shelf"))
    async with asking(desk, asked) as (screen, pilot):
        await keys(pilot, "f3")
        dialog = pilot.app.screen
        assert isinstance(dialog, FolderDialog)
        await drawn(pilot, lambda: len(labels(dialog)) == 2)
        await keys(pilot, "down", "f2")
        assert pilot.app.screen is screen
        await keys(pilot, "f2")
        assert pilot.app._exception is None
        shown = screen.query_one(Page).text() + said(screen, "error")
        assert "passed" in shown or "folder" in shown
        assert not any(ord(sign) < 32 and sign != "\n" for sign in shown)
