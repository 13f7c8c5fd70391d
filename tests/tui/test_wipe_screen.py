"""The wipe screen: its steps, what it refuses, and that no key alone ever wipes a reel."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path
from random import Random

import pytest
from textual import events
from textual.pilot import Pilot
from textual.widgets import Select, Static

from stock.core.explain import EXPLAINED
from stock.desk import wiping
from stock.desk.desk import Desk
from tests.proved_house import DAY_US, REEL, TITLE, Ticking, damage, proved_house
from tests.tui.reel_fixtures import HOSTILE, LARGE, NOW_US, SMALL, check_picture, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.sheet import Sheet
from tui.keys import KEYS
from tui.scan import Scan
from tui.screens.reel import ReelScreen
from tui.screens.shelf import ShelfScreen
from tui.screens.wipe import WipeScreen
from tui.widgets.reasons import Reasons
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed

PRESSES = 10_000 if os.environ.get("REELWARD_NIGHTLY") else 250
_CHARACTERS = [*"abcdefghijklmnoprstuvwxyz0123456789", "minus", "space", "tab", "shift+tab", "enter", "f2", "down"]
_SIGNS = {"minus": "-", "space": " ", "comma": ",", "plus": "+", "slash": "/"}
TYPED = [key for each in KEYS for key in each.key.split(",") if each.id not in ("quit", "back")] + _CHARACTERS


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    desk = proved_house(tmp_path, NOW_US)
    yield desk
    desk.close()


@asynccontextmanager
async def wiping_screen(
    desk: Desk, reel: str = REEL, size: tuple[int, int] = SMALL
) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        app.push_screen(WipeScreen(reel))
        await settled(pilot)
        yield app, pilot
    app.shelf.close()


async def fill(pilot: Pilot[None], **cells: str) -> None:
    for name, text in cells.items():
        pilot.app.screen.query_one(f"#{name}", Typed).value = text
    await settled(pilot)


async def to_permit(pilot: Pilot[None], title: str = TITLE, **cells: str) -> None:
    await fill(pilot, **{"label": REEL, "heard_1": title, "heard_2": title, "heard_3": title, **cells})
    await keys(pilot, "f2")


def said(app: ReelwardApp, name: str = "error") -> str:
    return str(app.screen.query_one(f"#{name}", Static).content)


def wipes(desk: Desk) -> list[tuple[str, str]]:
    with desk.store.reading() as reader:
        return reader.raw("SELECT reel, method FROM wipes ORDER BY entry")


def findings(desk: Desk) -> list[tuple[str, int, str | None]]:
    with desk.store.reading() as reader:
        return reader.raw("SELECT kind, severity, note FROM findings ORDER BY entry DESC LIMIT 1")


async def test_it_opens_from_the_list_and_from_the_page(desk: Desk) -> None:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        await keys(pilot, "w")
        assert isinstance(app.screen, WipeScreen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, ShelfScreen)
        await keys(pilot, "enter", "w")
        assert isinstance(app.screen, WipeScreen)
        await keys(pilot, "escape")
        assert isinstance(app.screen, ReelScreen)
    app.shelf.close()


async def test_the_steps_follow_the_hand(desk: Desk) -> None:
    async with wiping_screen(desk) as (app, pilot):
        screen = app.screen
        assert "Bulk eraser" in said(app, "caution")
        await to_permit(pilot)
        assert said(app) == ""
        assert "Erase it now" in said(app, "task")
        assert wipes(desk) == []
        await keys(pilot, "f2")
        assert "say how it was erased" in said(app)
        screen.query_one("#method", Select).value = "bulk"
        await keys(pilot, "f2")
        assert "is not W-1" in said(app)
        assert wipes(desk) == []
        await fill(pilot, erased="w-1")
        await keys(pilot, "f2")
        assert wipes(desk) == [(REEL, "bulk")]
        assert "not verified silent" in said(app, "task")
        await keys(pilot, "f2")
        assert "tick each place" in said(app)
        for tick in screen.query(Tick):
            tick.value = True
        await keys(pilot, "f2")
        assert isinstance(app.screen, ShelfScreen)
    assert findings(desk) == [("listened", 0, None)]
    (answer,) = desk.advise([REEL])
    assert answer.verdict == "blank"


async def test_what_is_left_asks_for_another_wipe(desk: Desk) -> None:
    wiping.permit(desk, REEL, label=REEL, heard=[TITLE] * 3)
    wiping.done(desk, REEL, method="bulk")
    async with wiping_screen(desk) as (app, pilot):
        await fill(pilot, left="the snare, faintly")
        await keys(pilot, "f2")
        assert findings(desk) == [("listened", 1, "the snare, faintly")]
        await to_permit(pilot, "no title")
        assert "Erase it now" in said(app, "task")


async def test_a_reel_that_may_not_go_offers_nothing(desk: Desk) -> None:
    async with wiping_screen(desk, "W-2") as (app, pilot):
        assert "may not be wiped" in said(app, "task")
        await keys(pilot, "f2", "enter", "f2")
        assert app.screen.has_class("-refused")
        assert not app.screen.query_one("#do").display
        reason = app.screen.query_one(Reasons).advice.reasons[0]
        await keys(pilot, "down", "e")
        assert isinstance(app.screen, Sheet)
        told = " ".join(str(each.content) for each in app.screen.query(Static))
        assert EXPLAINED[reason.code].means in told, "why it may not be wiped, in plain words"
        await keys(pilot, "escape")
        assert app.screen.has_class("-refused")
        with desk.store.reading() as reader:
            assert not [line for line in reader.lines() if line.what.startswith("wipe")]


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ({"label": ""}, "is not W-1"),
        ({"label": "W-2"}, "the wrong tape in the box"),
        ({"heard_2": "Tide"}, "the record says other than Tide"),
        ({"heard_3": ""}, "nothing said"),
    ],
)
async def test_the_wrong_tape_is_refused(desk: Desk, cells: dict[str, str], says: str) -> None:
    async with wiping_screen(desk) as (app, pilot):
        await to_permit(pilot, **cells)
        assert says in said(app)
        assert app.screen.has_class("-permit")


async def test_a_second_person_is_asked_for(desk: Desk) -> None:
    desk.add("rule", {"rule": "second_person_always", "value": "1"})
    async with wiping_screen(desk) as (app, pilot):
        await to_permit(pilot, second="tess amblin")
        assert "a second person" in said(app)
        await to_permit(pilot, second="Pim Dacey")
        assert app.screen.has_class("-erase")


async def test_what_others_enter_is_seen_and_a_stale_key_is_refused(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(WipeScreen, "look", lambda self: None)
    async with wiping_screen(desk) as (app, pilot):
        screen = app.screen
        desk.add("pass", {"reel": REEL, "kind": "play"})
        await to_permit(pilot)
        assert "not what was shown: pass by Tess Amblin (entry" in said(app)
        await keys(pilot, "f2")
        assert screen.has_class("-erase"), "what is shown now is what is so"
        desk.add("hold", {"hold": "H", "reel": REEL, "reason": "the client rang"})
        screen.query_one("#method", Select).value = "bulk"
        await fill(pilot, erased=REEL)
        await keys(pilot, "f2")
        assert "hold by Tess Amblin" in said(app)
        assert screen.has_class("-refused")
    assert wipes(desk) == []


async def test_midnight_makes_a_permit_worthless(desk: Desk) -> None:
    async with wiping_screen(desk) as (app, pilot):
        await to_permit(pilot)
        clock = desk._now_us
        assert isinstance(clock, Ticking)
        clock.now_us += DAY_US
        app.screen.query_one("#method", Select).value = "bulk"
        await fill(pilot, erased=REEL)
        await keys(pilot, "f2")
        assert app.screen.has_class("-permit")
    assert wipes(desk) == []


async def test_a_copy_is_read_again_where_that_is_due(tmp_path: Path) -> None:
    desk = proved_house(tmp_path, NOW_US, read_days_ago=9)
    async with wiping_screen(desk) as (app, pilot):
        assert "that is done first" in said(app, "task")
        await to_permit(pilot)
        assert app.screen.has_class("-permit")
        assert "that is done first" not in said(app, "task")
        await keys(pilot, "f2")
        assert app.screen.has_class("-erase")
    desk.close()


@pytest.mark.parametrize("how", ["damaged", "away"])
async def test_a_copy_that_cannot_be_read_again_refuses(tmp_path: Path, how: str) -> None:
    desk = proved_house(tmp_path, NOW_US, read_days_ago=9)
    for copy in ("a", "b"):
        if how == "damaged":
            damage(tmp_path / copy)
        else:
            (tmp_path / copy).rename(tmp_path / f"{copy} away")
    async with wiping_screen(desk) as (app, pilot):
        await to_permit(pilot)
        assert ("FAILED" if how == "damaged" else "mount one of disk a, disk b") in said(app)
        assert not app.screen.has_class("-erase")
    desk.close()


async def press(pilot: Pilot[None], *pressed: str) -> None:
    """Press keys faster than anybody can, and wait for what comes of them."""
    for key in pressed:
        pilot.app.post_message(events.Key(key, _SIGNS.get(key, key if len(key) == 1 else None)))
    await settled(pilot)


@pytest.mark.parametrize("is_permitted", [False, True])
async def test_one_key_pressed_fifty_times_wipes_nothing(desk: Desk, is_permitted: bool) -> None:
    if is_permitted:
        wiping.permit(desk, REEL, label=REEL, heard=[TITLE] * 3)
    async with wiping_screen(desk) as (app, pilot):
        for key in ("enter", "y", "f2", "space"):
            await press(pilot, *[key] * 50)
            assert app.failure is None
            assert isinstance(app.screen, WipeScreen)
            assert wipes(desk) == []


@pytest.mark.parametrize("is_permitted", [False, True])
async def test_random_keys_and_clicks_wipe_nothing(desk: Desk, is_permitted: bool) -> None:
    if is_permitted:
        wiping.permit(desk, REEL, label=REEL, heard=[TITLE] * 3)
    rng = Random(int(is_permitted))
    async with wiping_screen(desk) as (app, pilot):
        for number in range(PRESSES // 10):
            if not isinstance(app.screen, WipeScreen):
                while len(app.screen_stack) > 1:
                    app.pop_screen()
                app.push_screen(WipeScreen(REEL))
            if number % 10 == 0:
                await pilot.click(offset=(rng.randrange(SMALL[0]), rng.randrange(SMALL[1] - 1)))
            await press(pilot, *(rng.choice(TYPED) for _ in range(10)))
            assert app.failure is None
            assert app.is_running
    assert wipes(desk) == []


async def test_a_label_scanned_fills_the_field_and_does_nothing_else(desk: Desk) -> None:
    async with wiping_screen(desk) as (app, pilot):
        screen = app.screen
        assert isinstance(screen, WipeScreen)
        app._scanned(Scan("W-2"))
        await keys(pilot, "f2")
        assert app.screen is screen
        assert "the wrong tape in the box" in said(app)
        app._scanned(Scan(REEL))
        await settled(pilot)
        assert screen.query_one("#label", Typed).value == REEL
        assert screen.has_class("-permit")
        await to_permit(pilot)
        app._scanned(Scan(REEL))
        await settled(pilot)
        assert screen.query_one("#erased", Typed).value == REEL
        assert wipes(desk) == []


async def test_the_mouse_alone_is_enough(desk: Desk) -> None:
    async with wiping_screen(desk) as (app, pilot):
        await fill(pilot, label=REEL, heard_1=TITLE, heard_2=TITLE, heard_3=TITLE)
        await pilot.click("#do")
        await settled(pilot)
        assert app.screen.has_class("-erase")
        await pilot.click("#leave")
        await settled(pilot)
        assert isinstance(app.screen, ShelfScreen)


async def test_what_is_typed_obeys_nothing(desk: Desk) -> None:
    async with wiping_screen(desk) as (app, pilot):
        for text in HOSTILE:
            await to_permit(pilot, heard_2=text)
            assert "\x1b" not in said(app)
            assert "the record says other than" in said(app)


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_it_looks(desk: Desk, size: tuple[int, int]) -> None:
    name = f"{size[0]}x{size[1]}"
    async with wiping_screen(desk, size=size) as (app, pilot):
        await fill(pilot, label=REEL, heard_1=TITLE, heard_2="Tide")
        await keys(pilot, "f2")
        await check_picture(pilot, f"wipe-permit-{name}")
        await to_permit(pilot)
        app.screen.query_one("#method", Select).value = "machine"
        await settled(pilot)
        await check_picture(pilot, f"wipe-erase-{name}")
