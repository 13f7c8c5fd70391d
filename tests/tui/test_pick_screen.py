"""The pick screen: takes typed, the plan that answers, reels reserved."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from stock.core.explain import EXPLAINED
from stock.desk.desk import Desk
from tests.tui.reel_fixtures import HOSTILE, LARGE, SMALL, check_picture, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.confirm import Confirm
from tui.dialogs.sheet import Sheet
from tui.present.pick import FREE, TAKEN, UNUSED, tape_bar
from tui.screens.pick import PickScreen
from tui.screens.reel import ReelScreen
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


@asynccontextmanager
async def picking(desk: Desk, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await keys(pilot, "4")
        assert isinstance(app.screen, PickScreen)
        yield app, pilot
        app.shelf.close()


async def ask(pilot: Pilot[None], **cells: str) -> None:
    for name, text in cells.items():
        pilot.app.screen.query_one(f"#{name}", Typed).value = text
    await settled(pilot)


def words(app: ReelwardApp, name: str) -> str:
    return str(app.screen.query_one(f"#{name}", Static).content)


def reservations(desk: Desk) -> list[tuple[str, str]]:
    with desk.store.reading() as reader:
        return reader.raw("SELECT reel, project FROM reservations ORDER BY entry")


async def test_the_plan_answers_as_takes_are_typed(desk: Desk) -> None:
    async with picking(desk) as (app, pilot):
        await keys(pilot, *"9", "colon", *"00")
        assert "1 reel, proved the fewest" in words(app, "plan_words")
        await ask(pilot, takes="9:00 x3", width="2 in", tracks="24")
        said = words(app, "plan_words")
        assert said.count("take ") == 3
        assert "M-0173" in said
        assert app.screen.query_one("#reels", OptionList).option_count > 5
        assert "reels may not serve" in words(app, "rejected")


async def test_where_nothing_fits_it_says_what_would(desk: Desk) -> None:
    async with picking(desk) as (app, pilot):
        await ask(pilot, takes="59:00", speed="30 ips")
        assert "Nothing fits." in words(app, "plan_words")
        assert "the take of 59:00" in words(app, "plan_words")


async def test_what_cannot_be_read_is_said_and_what_was_typed_stays(desk: Desk) -> None:
    async with picking(desk) as (app, pilot):
        await ask(pilot, takes="9 kg", speed="15 ft", grade="best")
        error = words(app, "error")
        assert "a playing time was expected" in error
        assert "a speed was expected" in error
        assert "is no grade" in error
        assert app.screen.query_one("#takes", Typed).value == "9 kg"
        await ask(pilot, takes="9:00", speed="15 ips", grade="critical")
        assert words(app, "error") == ""


async def test_reels_are_reserved_only_once_confirmed(desk: Desk) -> None:
    before = reservations(desk)
    async with picking(desk) as (app, pilot):
        await ask(pilot, takes="9:00 x3", width="2 in", tracks="24")
        await keys(pilot, "f2")
        assert isinstance(app.screen, PickScreen), "without a project there is nothing to reserve for"
        await ask(pilot, project="Slack Water II")
        await keys(pilot, "f2")
        assert isinstance(app.screen, Confirm)
        await keys(pilot, "enter")
        assert isinstance(app.screen, PickScreen)
        assert reservations(desk) == before, "the cursor stands on the way out"
        plan = words(app, "plan_words")
        await keys(pilot, "f2", "tab", "enter")
        added = reservations(desk)[len(before) :]
        assert added
        assert all(project == "Slack Water II" and reel in plan for reel, project in added)
        await keys(pilot, "f2", "tab", "enter")
        assert reservations(desk)[len(before) :] == added, "a reel is reserved once"


async def test_a_reel_is_opened_and_left_again(desk: Desk) -> None:
    async with picking(desk) as (app, pilot):
        await ask(pilot, takes="9:00")
        app.screen.query_one("#reels", OptionList).focus()
        await keys(pilot, "down", "enter")
        assert isinstance(app.screen, ReelScreen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, PickScreen)
        assert app.screen.query_one("#takes", Typed).value == "9:00"


async def test_choices_are_told_by_a_sign(desk: Desk) -> None:
    async with picking(desk) as (app, pilot):
        tick = app.screen.query_one("#any_order", Tick)
        assert "\u2713" not in str(tick.render())
        await pilot.click(tick)
        await settled(pilot)
        assert "\u2713" in str(tick.render())


@pytest.mark.parametrize("text", HOSTILE)
async def test_what_is_typed_obeys_nothing(desk: Desk, text: str) -> None:
    async with picking(desk) as (app, pilot):
        await ask(pilot, **dict.fromkeys(("takes", "speed", "grade", "width", "tracks", "project"), text))
        await ask(pilot, takes="9:00", speed="15 ips", grade="", width="", tracks="", project=text)
        assert "\x1b" not in words(app, "plan_words") + words(app, "error") + words(app, "rejected")
        assert isinstance(app.screen, PickScreen)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    async with picking(desk, size) as (_, pilot):
        await ask(pilot, takes="9:00 x3, 4:30", width="2 in", tracks="24", grade="standard")
        await check_picture(pilot, f"pick-{size[0]}x{size[1]}")


def test_a_bar_shows_free_tape_and_takes_in_their_places() -> None:
    assert tape_bar(100, [(10, 60)], [(20, 40)], 10) == UNUSED + FREE + 2 * TAKEN + 2 * FREE + 4 * UNUSED
    assert tape_bar(100, [(0, 100)], [], 4) == 4 * FREE
    assert tape_bar(1000, [], [(999, 1000)], 5) == 4 * UNUSED + TAKEN
    assert tape_bar(0, [], [], 5) == ""


def sheet_words(app: ReelwardApp) -> str:
    assert isinstance(app.screen, Sheet)
    return "\n".join(str(each.content) for each in app.screen.query(Static))


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_why_the_other_reels_may_not_serve_is_told_in_plain_words(desk: Desk, size: tuple[int, int]) -> None:
    async with picking(desk, size) as (app, pilot):
        await keys(pilot, "f3")
        assert isinstance(app.screen, PickScreen), "nothing was asked yet"
        await ask(pilot, takes="9:00 x3", width="2 in", tracks="24")
        counted = words(app, "rejected")
        await keys(pilot, "f3")
        said = sheet_words(app)
        codes = [part.split()[0] for part in counted.partition(": ")[2].split(", ")]
        assert len(codes) > 5
        for code in codes:
            assert f"{code}: " in said
            assert EXPLAINED[code].means in said
        await check_picture(pilot, f"why-not-{size[0]}x{size[1]}")
        await keys(pilot, "escape")
        assert isinstance(app.screen, PickScreen)
        assert str(app.screen.query_one("#takes", Typed).value) == "9:00 x3", "what was typed is there still"


async def test_why_not_is_a_click_and_follows_what_is_entered(desk: Desk) -> None:
    async with picking(desk) as (app, pilot):
        await ask(pilot, takes="9:00", width="2 in", project="Harbour")
        await pilot.click("#rejected")
        await settled(pilot)

        def reserved() -> str:
            (line,) = (line for line in sheet_words(app).splitlines() if "reserved: " in line)
            return line

        assert "M-0173" not in reserved()
        desk.add("reservation", {"reel": "M-0173", "project": HOSTILE[1]})
        sheet = app.screen
        assert isinstance(sheet, Sheet)
        sheet.look()
        await settled(pilot)
        assert "M-0173" in reserved()


async def test_why_of_a_reel_that_may_serve_is_one_key(desk: Desk) -> None:
    async with picking(desk) as (app, pilot):
        await ask(pilot, takes="9:00", width="2 in", tracks="24")
        reels = app.screen.query_one("#reels", OptionList)
        reels.focus()
        reels.highlighted = 0
        await keys(pilot, "e")
        assert "may it be wiped?" in sheet_words(app)
