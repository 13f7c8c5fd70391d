"""The first place, Now: every line's cure by keyboard and by mouse, kept up with what anybody enters."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from stock.core.now import Code
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, DeskError
from stock.desk.now import Needs
from tests.tui.reel_fixtures import HOSTILE, LARGE, NOW_US, SMALL, check_picture, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.entry import EntryDialog
from tui.dialogs.listen import ListenDialog
from tui.dialogs.proof import ProofDialog
from tui.places import FIRST
from tui.present.line import text_of
from tui.screens.copies import CopiesScreen
from tui.screens.needs import NeedsScreen
from tui.screens.now import NowScreen
from tui.screens.orders import OrdersScreen
from tui.screens.proving import ProvingScreen
from tui.screens.reel import ReelScreen
from tui.screens.session import SessionScreen
from tui.screens.shelf import ShelfScreen
from tui.screens.wipe import WipeScreen
from tui.widgets.heading import Lines
from tui.widgets.task_list import TaskList
from tui.widgets.typed import Typed

EACH: dict[Code, tuple[str, type[Screen[None]]]] = {
    "running": ("M-0154", SessionScreen),
    "wiped-not-heard": ("M-0145", WipeScreen),
    "copy-failed": ("OSK-3", ProvingScreen),
    "hold-ending": ("M-0112", ReelScreen),
    "to-transfer": ("M-0151", ProofDialog),
    "to-prove": ("M-0133", ListenDialog),
    "copy-due": ("SW-7", ProvingScreen),
    "overdue": ("M-0138", EntryDialog),
    "order-late": ("PO-015", OrdersScreen),
    "short": ("C40-1-2500", NeedsScreen),
    "to-inspect": ("", ShelfScreen),
    "to-retire": ("Q-0406", EntryDialog),
    "cooling-off": ("", CopiesScreen),
}  # type: ignore[dict-item]
"""Of each kind one line of the demo house, and the screen or dialog that its cure is."""


@pytest.fixture(autouse=True)
def _begins_at_now(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ReelwardApp, "DEFAULT_MODE", FIRST)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """The demo house, with a hold that ends in two days."""
    with demo_desk(tmp_path, lambda: NOW_US) as desk:
        cells = {"hold": "till mixed", "reel": "M-0112", "until": "2026-11-27", "reason": "remix", "by": "Oona Farrant"}
        desk.add("hold", cells)
        yield desk


@asynccontextmanager
async def showing(desk: Desk, size: tuple[int, int] = LARGE) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        yield app, pilot
    app.shelf.close()


def tasks(app: ReelwardApp) -> TaskList:
    return app.screen.query_one(TaskList)


def said(app: ReelwardApp, id: str) -> str:
    widget = app.screen.query_one(f"#{id}")
    return widget.text() if isinstance(widget, Lines) else str(widget.render())


def place_of(listed: TaskList, code: Code, subject: str) -> int:
    """The line of a task; unfolded groups only."""
    for at, row in enumerate(listed.rows):
        if row.code == code and row.task is not None and row.task.subject == subject:
            return at
    raise AssertionError(f"no {code} {subject} among {[text_of(row.line) for row in listed.rows]}")


async def unfold(pilot: Pilot[None]) -> None:
    """Show every line."""
    listed = pilot.app.screen.query_one(TaskList)
    while any(row.left for row in listed.rows):
        await keys(pilot, "home")
        while listed.row is not None and not listed.row.left:
            listed.action_row(1)
        await keys(pilot, "enter")


def is_cure(app: ReelwardApp, code: Code, subject: str) -> bool:
    """Whether what stands is the cure of a line, on what the line is about."""
    screen = app.screen
    if not isinstance(screen, EACH[code][1]):
        return False
    if isinstance(screen, SessionScreen):
        return screen.loaded is not None and screen.loaded.on.reel == subject
    if isinstance(screen, WipeScreen | ReelScreen):
        return screen.number == subject
    if isinstance(screen, ProvingScreen):
        return screen._asked.transfer == subject
    if isinstance(screen, NeedsScreen):
        return screen._item == subject
    if isinstance(screen, ShelfScreen):
        return screen._query is not None and screen._query.verdict == "inspect"
    if isinstance(screen, EntryDialog):
        return screen.cells["reel"] == subject
    if isinstance(screen, ProofDialog):
        return subject in str(screen.query("Static").first().content)  # type: ignore[attr-defined]
    return True


async def back_to_now(app: ReelwardApp, pilot: Pilot[None]) -> None:
    """Leave whatever a cure was, as somebody does."""
    app.action_go("now")
    await settled(pilot)
    while not isinstance(app.screen, NowScreen):
        await keys(pilot, "escape")


async def test_each_line_is_one_key_from_its_cure(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        await unfold(pilot)
        for code, (subject, _) in EACH.items():
            listed = tasks(app)
            listed.action_to_end(-1)
            while listed.row is not listed.rows[place_of(listed, code, subject)]:
                listed.action_row(1)
            await keys(pilot, "enter")
            assert is_cure(app, code, subject), (code, app.screen)
            await back_to_now(app, pilot)
            assert tasks(app).row is not None and tasks(app).row.code == code, "back where one was"


async def test_each_line_is_cured_by_mouse(desk: Desk) -> None:
    async with showing(desk, (120, 70)) as (app, pilot):
        await unfold(pilot)
        for code, (subject, _) in EACH.items():
            at = place_of(tasks(app), code, subject)
            if tasks(app).row == tasks(app).rows[at]:
                await keys(pilot, "down")
            await pilot.click("#tasks", offset=(8, at))
            await settled(pilot)
            assert isinstance(app.screen, NowScreen), "one click points at a line and no more"
            assert tasks(app).row == tasks(app).rows[at]
            await pilot.click("#tasks", offset=(8, at))
            await settled(pilot)
            assert is_cure(app, code, subject), (code, app.screen)
            await back_to_now(app, pilot)


async def test_a_form_left_is_listed_and_opened_where_it_was(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        app.push_screen(ReelScreen("M-0107"))
        await settled(pilot)
        await keys(pilot, "a", "s", *"300ft", "escape", "escape")
        assert app.current_mode == "now"
        assert isinstance(app.screen, NowScreen)
        listed = tasks(app)
        wanted = place_of(listed, "unfinished", "M-0107")
        listed.action_to_end(-1)
        while listed.row is not listed.rows[wanted]:
            listed.action_row(1)
        await keys(pilot, "enter")
        assert isinstance(app.screen, EntryDialog)
        assert "300ft" in [field.value for field in app.screen.query(Typed)]
        await keys(pilot, "f8", "escape", "escape")
        assert isinstance(app.screen, NowScreen)
        assert not [row for row in tasks(app).rows if row.code == "unfinished"]


async def test_the_line_under_the_cursor_is_told_in_full(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        assert "M-0154" in said(app, "detail")
        assert "opens the session log" in said(app, "detail")
        await keys(pilot, "down")
        assert "M-0145" in said(app, "detail")
        assert "an erased trace can come back" in said(app, "detail")
        await keys(pilot, "up", "up")
        assert "M-0154" in said(app, "detail")


async def test_a_long_group_unfolds_where_the_cursor_is_and_folds_again(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        listed = tasks(app)
        folded = len(listed.rows)
        while listed.row is not None and not listed.row.left:
            listed.action_row(1)
        left = listed.row.left if listed.row is not None else 0
        at = listed.rows.index(listed.row) if listed.row is not None else 0
        await keys(pilot, "enter")
        assert len(listed.rows) == folded + left - 1
        assert listed.row is listed.rows[at], "the cursor stands on the first line that came"
        assert listed.row.task is not None
        await keys(pilot, "escape")
        assert len(listed.rows) == folded
        assert isinstance(app.screen, NowScreen)


async def test_what_anybody_enters_is_seen_and_the_cursor_stays(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        listed = tasks(app)
        while listed.row is None or listed.row.task is None or listed.row.task.subject != "M-0138":
            listed.action_row(1)
        held = listed.row.key
        desk.add("finding", {"reel": "M-0145", "kind": "listened", "severity": "0"})
        desk.add("copy-check", {"transfer": "SW-3", "copy": "A", "method": "read", "result": "fail"})
        assert isinstance(app.screen, NowScreen)
        app.screen.look()
        await settled(pilot)
        codes = {(row.code, row.task.subject) for row in listed.rows if row.task is not None}
        assert ("wiped-not-heard", "M-0145") not in codes
        assert ("copy-failed", "SW-3") in codes
        assert listed.row is not None and listed.row.key == held
        desk.add("move", {"reel": "M-0138", "kind": "back"})
        app.screen.look()
        await settled(pilot)
        assert listed.row is not None and listed.row.task is not None, "the line is gone: the cursor stands near it"


async def test_an_entry_made_from_a_line_ends_it(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        listed = tasks(app)
        while listed.row is None or listed.row.task is None or listed.row.task.subject != "M-0138":
            listed.action_row(1)
        await keys(pilot, "enter")
        assert isinstance(app.screen, EntryDialog)
        assert app.screen.cells["kind"] == "back"
        await keys(pilot, "f2")
        assert isinstance(app.screen, NowScreen)
        app.screen.look()
        await settled(pilot)
        assert "overdue" not in {row.code for row in listed.rows}


async def test_the_reels_keys_work_on_a_line_about_a_reel_and_do_nothing_on_others(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        await keys(pilot, "down", "w")
        assert isinstance(app.screen, WipeScreen)
        await keys(pilot, "escape", "down", "w")
        assert isinstance(app.screen, NowScreen), "a copy is no reel"


async def test_the_needs_come_when_they_are_worked_out_and_a_failure_is_said(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(self: Needs) -> None:
        raise DeskError(says="the figures are missing")

    monkeypatch.setattr(Needs, "tasks", fails)
    async with showing(desk) as (app, _):
        assert "short" not in {row.code for row in tasks(app).rows}
        assert "needs are not known: the figures are missing" in said(app, "state")


async def test_a_record_that_cannot_be_read_is_said_and_read_again(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    async with showing(desk) as (app, pilot):
        assert isinstance(app.screen, NowScreen)

        def fails() -> int:
            raise DeskError(says="the disk is gone")

        with monkeypatch.context() as patched:
            patched.setattr(desk.store, "data_version", fails)
            app.screen.look()
            await settled(pilot)
            assert "not up to date: the disk is gone" in said(app, "state")
        app.screen.look()
        await settled(pilot)
        assert "not up to date" not in said(app, "state")


async def test_a_house_with_nothing_to_do_says_so_and_when_it_looked(tmp_path: Path) -> None:
    desk = Desk.open(tmp_path / "empty.db", "Ann", now_us=lambda: NOW_US)
    async with showing(desk, SMALL) as (app, pilot):
        assert "reelward load FOLDER" in said(app, "nothing"), "without any reel it says how to begin"
        await keys(pilot, "enter", "down", "end", "pagedown", "w")
        assert isinstance(app.screen, NowScreen)
    desk.add("formulation", {"formulation": "Corvane C40", "base": "polyester"})
    desk.add("stock-item", {"stock_item": "two", "formulation": "Corvane C40", "width": "2 in", "length": "2500 ft"})
    desk.add("reel", {"reel": "R1", "stock_item": "two", "tracks": "16", "owner": "house", "arrived_as": "sealed"})
    for size in (SMALL, LARGE):
        async with showing(desk, size) as (app, pilot):
            assert "Nothing to do" in said(app, "state")
            assert "Looked at 10:00." in said(app, "nothing")
            await check_picture(pilot, f"now-nothing-{size[0]}x{size[1]}")
    desk.close()


async def test_what_somebody_typed_obeys_nothing(desk: Desk) -> None:
    for number, text in enumerate(HOSTILE):
        reel = f"M-01{number + 1:02d}"
        # the form itself refuses control characters
        with suppress(CannotEnter):
            desk.add("move", {"reel": reel, "kind": "out", "date": "2026-09-01", "to": text})
    async with showing(desk) as (app, pilot):
        await unfold(pilot)
        shown = "\n".join(text_of(row.line) for row in tasks(app).rows)
        assert "side [A] take [/]" in shown
        listed = tasks(app)
        listed.action_to_end(-1)
        for _ in range(len(listed.rows)):
            listed.action_row(1)
            if listed.row is not None and listed.row.code == "overdue":
                await pilot.pause()
                assert "out (" in said(app, "detail").replace("Out", "out")
                assert "\x1b" not in said(app, "detail")
        assert isinstance(app.screen, NowScreen)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with showing(desk, size) as (app, pilot):
        assert not app.screen.query(Input)
        await check_picture(pilot, f"now-{size[0]}x{size[1]}")
