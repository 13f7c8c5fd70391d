"""The session log on the screen: each key does its one thing, by a clock that stands until the test moves it on."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from random import Random

import pytest
from textual.pilot import Pilot
from textual.widgets import Button, Digits, Static

from stock.core.explain_answers import PLACES_EXPLAINED
from stock.core.measure import SECOND
from stock.desk.desk import Desk
from stock.desk.session import log
from stock.desk.session.ending import running_takes
from stock.store.check import check
from tests.tui.reel_fixtures import HOSTILE, LARGE, NOW_US, SMALL, check_picture, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.ask_first import AskFirst
from tui.dialogs.ask_line import AskLine
from tui.dialogs.number import NumberDialog
from tui.dialogs.set_up import SetUp
from tui.dialogs.sheet import Sheet
from tui.screens.pick import PickScreen
from tui.screens.reel import ReelScreen
from tui.screens.session import SessionScreen
from tui.widgets.lines import KeyLine
from tui.widgets.machine_face import MachineFace
from tui.widgets.typed import Typed

REEL = "M-0151"
"""Recorded up to 9:40 of 33:20; a session goes on at 10:01, behind a guard."""


class Standing:
    """A clock that stands until it is moved on."""

    def __init__(self) -> None:
        self.now_us = NOW_US

    def __call__(self) -> int:
        return self.now_us

    def on(self, seconds: float) -> None:
        self.now_us += int(seconds * SECOND)


@pytest.fixture
def clock() -> Standing:
    return Standing()


@pytest.fixture
def desk(tmp_path: Path, clock: Standing) -> Iterator[Desk]:
    with demo_desk(tmp_path, clock) as desk:
        yield desk


@asynccontextmanager
async def session(
    desk: Desk, reel: str | None = REEL, size: tuple[int, int] = SMALL
) -> AsyncIterator[tuple[SessionScreen, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        if reel is None:
            app.action_go("machine")
        else:
            await app.log_reel(reel)
        await settled(pilot)
        screen = next(each for each in app.screen_stack if isinstance(each, SessionScreen))
        yield screen, pilot
        app.shelf.close()


async def moved(pilot: Pilot[None], screen: SessionScreen, clock: Standing, seconds: float) -> None:
    clock.on(seconds)
    screen.tick()
    await settled(pilot)


def words(screen: SessionScreen, name: str) -> str:
    return str(screen.query_one(f"#{name}", Static).content)


def big(screen: SessionScreen) -> str:
    return screen.query_one("#left", Digits).value


def rows(desk: Desk, sql: str) -> list[tuple[object, ...]]:
    with desk.store.reading() as reader:
        return [tuple(row) for row in reader.raw(sql)]


def count(desk: Desk) -> int:
    return int(str(rows(desk, "SELECT max(line) FROM journal")[0][0]))


async def test_a_take_is_one_key_to_start_and_one_to_stop(desk: Desk, clock: Standing) -> None:
    async with session(desk) as (screen, pilot):
        assert big(screen) == "22:48"
        assert "stopped" in words(screen, "state")
        await keys(pilot, "space")
        assert [each.reel for each in running_takes(desk)] == [REEL, "M-0154"]
        await moved(pilot, screen, clock, 252)
        assert big(screen) == "18:36"
        assert screen.query_one("#counter", Digits).value == "14:13"
        assert "4:12 so far" in words(screen, "state")
        await keys(pilot, "enter")
        assert [each.reel for each in running_takes(desk)] == ["M-0154"]
        assert words(screen, "said").startswith("untitled/1 ended, 10:01 to 14:13")
        assert "next is untitled/2" in words(screen, "state")


async def test_the_clock_counts_down_to_the_next_live_recording_and_stays_at_nothing(
    desk: Desk, clock: Standing
) -> None:
    log.start(desk, "M-0173", at="12:00", title="Later", tracks="1-8")
    log.stop(desk, "M-0173", at="15:00")
    async with session(desk, "M-0173") as (screen, pilot):
        await keys(pilot, "f4")
        assert isinstance(pilot.app.screen, SetUp)
        pilot.app.screen.query_one("#tracks", Typed).value = "8,9"
        await keys(pilot, "f2", "g", *"5", "colon", *"00", "enter")
        assert big(screen) == "7:00"
        assert words(screen, "left_words") == "left to Later/1 on track 8"
        await keys(pilot, "space")
        assert isinstance(pilot.app.screen, AskFirst), "nobody said how long it is to be"
        await keys(pilot, "tab", "enter")
        await moved(pilot, screen, clock, 6.5 * 60)
        assert big(screen) == "0:30"
        assert screen.query_one("#left").has_class("-low")
        await moved(pilot, screen, clock, 60)
        assert big(screen) == "0:00"
        assert "over Later/1 on track 8" in words(screen, "state")
        await moved(pilot, screen, clock, 3600)
        assert "its tape has run out" in words(screen, "state")


async def test_marks_names_false_starts_and_next_are_single_keys(desk: Desk, clock: Standing) -> None:
    async with session(desk) as (screen, pilot):
        await keys(pilot, "space")
        await moved(pilot, screen, clock, 60)
        await keys(pilot, "m")
        assert words(screen, "said") == "Marked 11:01."
        await keys(pilot, "t", *"Ledger", "enter")
        assert "recording Ledger/1" in words(screen, "state")
        await moved(pilot, screen, clock, 60)
        await keys(pilot, "x")
        assert "recording Ledger/2" in words(screen, "state")
        await moved(pilot, screen, clock, 5)
        await keys(pilot, "f")
        assert rows(desk, "SELECT take, state FROM takes WHERE title = 'Ledger' AND entry NOT IN"
                    " (SELECT target FROM voids) ORDER BY entry") == [("1", "whole"), ("2", "false-start")]  # fmt: skip
        await keys(pilot, "t", *"Mill", "slash", "7", "enter")
        assert rows(desk, "SELECT title, take, state FROM takes ORDER BY entry DESC LIMIT 1") == [
            ("Mill", "7", "false-start")
        ]
        await keys(pilot, "f6")
        assert words(screen, "said") == "Mill/7 was played."
        before = count(desk)
        await keys(pilot, "f")
        assert words(screen, "said") == "No take runs."
        assert count(desk) == before


async def test_a_name_said_before_the_first_take_is_the_next_ones(desk: Desk) -> None:
    async with session(desk) as (screen, pilot):
        await keys(pilot, "t", *"Ledger", "enter")
        assert "next is Ledger" in words(screen, "state")
        await keys(pilot, "space")
        assert "recording Ledger/1" in words(screen, "state")


async def test_a_take_that_runs_is_taken_up_again(desk: Desk, clock: Standing) -> None:
    clock.on(-3600)
    log.stop(desk, "M-0154", at="9:00")
    log.start(desk, REEL, at="12:10", title="Ledger")
    clock.on(60)
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        await keys(pilot, "3")
        assert isinstance(app.screen, SessionScreen)
        assert "recording Ledger/1" in words(app.screen, "state")
        assert words(app.screen, "said") == "Ledger/1 still runs on reel M-0151."
        await keys(pilot, "g", *"14", "colon", *"00", "enter")
        assert words(app.screen, "said").startswith("Ledger/1 ended, 12:10 to 14:00")
        await keys(pilot, "escape")
        assert not isinstance(app.screen, SessionScreen)
        app.shelf.close()


async def test_recording_over_something_asks_and_the_way_out_is_under_the_finger(desk: Desk) -> None:
    async with session(desk) as (screen, pilot):
        before = count(desk)
        await keys(pilot, "g", "2", "colon", *"20", "enter")
        assert big(screen) == "0:00"
        for answer in (("enter",), ("space", "escape"), ("escape",)):
            await keys(pilot, "space")
            dialog = pilot.app.screen
            assert isinstance(dialog, AskFirst)
            assert any("Lamplighter/2 lies at 2:10" in str(each.content) for each in dialog.query(Static))
            await keys(pilot, *answer)
            assert pilot.app.screen is screen
            assert count(desk) == before
        await keys(pilot, "space")
        await pilot.click("#record")
        await settled(pilot)
        assert count(desk) == before + 1
        assert "Lamplighter/2" in words(screen, "said")


async def test_planned_takes_say_whether_they_fit_and_where_to_go(desk: Desk, clock: Standing) -> None:
    async with session(desk) as (screen, pilot):
        await keys(pilot, "f3", *"9 kg", "enter")
        assert isinstance(pilot.app.screen, AskLine), "what cannot be read is said, and stays"
        pilot.app.screen.query_one(Typed).value = "9:00 x3"
        await keys(pilot, "enter")
        assert "9:00, 9:00 still fit" in words(screen, "plan")
        assert "another 9:00 does not fit: 2:35 left" in words(screen, "plan")
        assert "go to M-" in words(screen, "go_to")
        assert REEL not in words(screen, "go_to")
        await keys(pilot, "space")
        assert "this one 9:00" in words(screen, "plan")
        await moved(pilot, screen, clock, 600)
        await keys(pilot, "space")
        assert words(screen, "plan").startswith("9:00 still fits"), "the take that ended is not to come any more"
        await keys(pilot, "g", *"24", "colon", *"00", "enter", "space")
        assert isinstance(pilot.app.screen, AskFirst)
        assert any("does not fit: 8:50 left" in str(each.content) for each in pilot.app.screen.query(Static))


async def test_another_reel_is_one_key_and_its_number_or_just_the_scan(desk: Desk) -> None:
    async with session(desk) as (screen, pilot):
        before = count(desk)
        await keys(pilot, "n", *"M-0173", "enter")
        assert screen.loaded is not None
        assert screen.loaded.on.reel == "M-0173"
        assert screen.loaded.carried.project == "Tin Regatta LP", "the session goes on for whom it was"
        screen.take_scan("M-0135")
        await settled(pilot)
        assert screen.loaded.on.reel == "M-0135"
        await keys(pilot, "n")
        assert isinstance(pilot.app.screen, NumberDialog)
        pilot.app.screen.take_scan("M-0173")
        await settled(pilot)
        assert screen.loaded.on.reel == "M-0173"
        assert count(desk) == before
    log.stop(desk, "M-0154", at="9:00")
    async with session(desk, None) as (screen, pilot):
        assert isinstance(pilot.app.screen, NumberDialog)
        await keys(pilot, "escape")
        assert "type its number" in words(screen, "said")
        await keys(pilot, "escape")
        assert not isinstance(pilot.app.screen, SessionScreen)


async def test_a_day_of_overdubs_and_what_is_left_to_do(desk: Desk) -> None:
    async with session(desk) as (screen, pilot):
        await keys(pilot, "f5")
        pilot.app.screen.query_one(Typed).value = "tracks 9,12, about 60 passes, 1:10 to 5:10"
        await keys(pilot, "enter")
        assert "it made new: Lamplighter/2" in words(screen, "said")
        await keys(pilot, "f7")
        assert isinstance(pilot.app.screen, Sheet)
        said = [str(each.content) for each in pilot.app.screen.query(".says").results(Static)]
        assert "take it to its shelf, R4-4" in said
        assert any(each.startswith("wind it tails out") for each in said)
        await keys(pilot, "escape")
        assert pilot.app.screen is screen


async def test_what_another_enters_shows(desk: Desk, clock: Standing) -> None:
    async with session(desk) as (screen, pilot):
        await keys(pilot, "space")
        other = Desk.open(desk.store.path, "Bo Tarn", now_us=clock)
        try:
            log.stop(other, REEL, at="12:00")
        finally:
            other.close()
        screen.look()
        await settled(pilot)
        assert "stopped" in words(screen, "state")
        await keys(pilot, "space")
        assert "recording untitled/2" in words(screen, "state")


async def test_the_mouse_alone_does_it_too(desk: Desk) -> None:
    async with session(desk) as (screen, pilot):
        await pilot.click("#keys", offset=(3, 0))
        await settled(pilot)
        assert "recording" in words(screen, "state")
        await pilot.click("#keys", offset=(3, 0))
        await settled(pilot)
        assert "stopped" in words(screen, "state")
        await pilot.click("PlaceLine", offset=(3, 0))
        await settled(pilot)
        assert not isinstance(pilot.app.screen, SessionScreen)


async def test_what_is_typed_obeys_nothing(desk: Desk) -> None:
    async with session(desk) as (screen, pilot):
        for text in HOSTILE[::2]:
            await keys(pilot, "t")
            pilot.app.screen.query_one(Typed).value = text
            await keys(pilot, "enter", "space", "space")
            shown = "".join(words(screen, name) for name in ("head", "state", "said", "takes_head"))
            assert "\x1b" not in shown
            assert pilot.app.is_running
        await keys(pilot, "f4")
        pilot.app.screen.query_one("#project", Typed).value = HOSTILE[1]
        await keys(pilot, "f2", "f7")
        assert isinstance(pilot.app.screen, Sheet)
        await keys(pilot, "escape")
        await keys(pilot, "n")
        pilot.app.screen.query_one(Typed).value = HOSTILE[0]
        await keys(pilot, "enter", "escape")
        assert screen.loaded is not None
        assert screen.loaded.on.reel == REEL


@pytest.mark.parametrize("seed", [1])
async def test_random_keys_leave_a_sound_record_with_one_take_at_most_running(
    desk: Desk, clock: Standing, seed: int
) -> None:
    rng = Random(seed)
    pressed = [*"mtxfgn2A", "f2", "f3", "f4", "f5", "f6", "f7"]
    pressed += ["space", "enter", "escape", "tab", "up", "down", "colon", "backspace"]
    async with session(desk) as (_, pilot):
        for _ in range(60):
            if not isinstance(pilot.app.screen, SessionScreen) and rng.random() < 0.2:
                await pilot.press("escape")
            await pilot.press(rng.choice(pressed))
            clock.on(rng.random() * 20)
            if pilot.app.current_mode != "machine":
                pilot.app.action_go("machine")
            await settled(pilot)
            runs = [each.reel for each in running_takes(desk)]
            assert len(runs) == len(set(runs))
    assert check(desk.store.path) == []


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, clock: Standing, size: tuple[int, int]) -> None:
    async with session(desk, REEL, size) as (screen, pilot):
        screen.set_up = {"tracks": "1 kick; 2 snare; 3 hat; 4 toms; 5-8; 9 bass; 10-24"}
        screen.planned = [9 * 60 * SECOND] * 3
        await keys(pilot, "t", *"Salt", "enter", "space")
        await moved(pilot, screen, clock, 252)
        await keys(pilot, "m")
        screen.look()
        await settled(pilot)
        await check_picture(pilot, f"session-{size[0]}x{size[1]}")
        await keys(pilot, "space")
        await check_picture(pilot, f"session-stopped-{size[0]}x{size[1]}")
        await keys(pilot, "g", "2", "colon", *"20", "enter", "space")
        await check_picture(pilot, f"session-asks-{size[0]}x{size[1]}")
        await keys(pilot, "escape", "f7")
        await check_picture(pilot, f"session-to-do-{size[0]}x{size[1]}")


# the critical check on a reel's page


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_the_check_of_a_place_is_two_keys_from_the_list(desk: Desk, size: tuple[int, int]) -> None:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        app.push_screen(ReelScreen("M-0151"))
        await settled(pilot)
        await keys(pilot, "g", *"2", "colon", *"20", "enter", "k")
        assert isinstance(app.screen, Sheet)
        said = " ".join(str(each.content) for each in app.screen.query(Static))
        assert "M-0151 at 2:20 (175 ft), 15 ips: can it be trusted here?" in said
        assert "yes, for critical: fit from 0:20 to 32:50" in said
        assert "12 passes here; critical bears" in said
        assert "Lamplighter/2 here" in said
        assert app.screen.query_one("#close", Button).region.bottom <= size[1]
        await check_picture(pilot, f"check-{size[0]}x{size[1]}")
        await keys(pilot, "e")
        told = " ".join(str(each.content) for each in app.screen.query(Static))
        assert PLACES_EXPLAINED["yes"].means in told, "why the answer is as it is"
        await keys(pilot, "escape")
        assert "can it be trusted here?" in str(app.screen.query_one("#title", Static).content)
        await keys(pilot, "escape", "l")
        assert isinstance(app.screen, SessionScreen)
        assert app.screen.loaded is not None
        assert app.screen.loaded.on.reel == "M-0151"
        assert app.screen.query_one(MachineFace).size.width == size[0] - 2
        app.shelf.close()


async def test_a_click_on_the_way_back_goes_back(desk: Desk) -> None:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        first = app.screen
        app.push_screen(ReelScreen("M-0151"))
        await settled(pilot)
        await pilot.click("BackLink")
        await settled(pilot)
        assert app.screen is first
        app.push_screen(PickScreen())
        await settled(pilot)
        line = app.screen.query_one(KeyLine)
        await pilot.click(line, offset=(str(line.render()).index("Esc") + 1, 0))
        await settled(pilot)
        assert app.screen is first
        app.shelf.close()
