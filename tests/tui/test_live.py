"""What somebody else enters is seen on every screen and dialog that shows an answer, and what is old says so."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Button, OptionList, Select, Static

from stock.core.moments import datetime_of
from stock.desk import wiping
from stock.desk.desk import Desk
from tests.tui.reel_fixtures import NOW_US, SMALL, demo_desk, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.cut import CutDialog
from tui.dialogs.entry import EntryDialog
from tui.dialogs.proof import ProofDialog
from tui.dialogs.sheet import Sheet
from tui.dialogs.take_back import TakeBack
from tui.screens.buying import BuyingScreen
from tui.screens.copies import CopiesScreen
from tui.screens.needs import NeedsScreen
from tui.screens.orders import OrdersScreen
from tui.screens.pick import PickScreen
from tui.screens.proving import CopyAsked, ProvingScreen
from tui.screens.reel import ReelScreen
from tui.screens.session import SessionScreen
from tui.screens.shelf import ShelfScreen
from tui.screens.wear import WearScreen
from tui.screens.wipe import WipeScreen
from tui.widgets.heading import Lines
from tui.widgets.typed import Typed
from tui.work import LOOK_S, Stale, WorkingScreen

HOLD = {"hold": "Lawyer", "reel": "M-0131", "reason": "a claim by the publisher"}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


@pytest.fixture
def other(desk: Desk) -> Iterator[Desk]:
    """Somebody else, in another room, on the same database."""
    other = Desk.open(desk.store.path, "Una Thorp", now_us=lambda: NOW_US)
    yield other
    other.close()


@asynccontextmanager
async def app_on(desk: Desk) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        yield app, pilot
        await settled(pilot)
        app.shelf.close()


async def look(pilot: Pilot[None]) -> None:
    """What the clock does by itself, on every screen that is open."""
    for screen in pilot.app.screen_stack:
        assert isinstance(screen, WorkingScreen)
        screen.look()
    await settled(pilot)


def words(screen: WorkingScreen[Any]) -> str:
    """What the lines and lists of a screen say."""
    said = [str(each.render()) for each in screen.query(Static)]
    said += [lines.text() for lines in screen.query(Lines)]
    for options in screen.query(OptionList):
        said += [str(options.get_option_at_index(at).prompt) for at in range(options.option_count)]
    return "\n".join(said)


def test_it_is_looked_within_two_seconds() -> None:
    assert LOOK_S <= 1


async def test_the_list_of_reels(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        shelf = app.screen
        assert isinstance(shelf, ShelfScreen)
        before = dict(app.shelf.values("verdict"))
        other.add("hold", HOLD)
        await look(pilot)
        after = dict(app.shelf.values("verdict"))
        assert (after["clear"], after["keep"]) == (before["clear"] - 1, before["keep"] + 1)


async def test_a_reels_page_and_what_stands_on_it(desk: Desk, other: Desk) -> None:
    """The page below keeps up, and so do the proof and the check above it."""
    async with app_on(desk) as (app, pilot):
        await app.push_screen(ReelScreen("M-0131"))
        await settled(pilot)
        page = app.screen
        assert isinstance(page, ReelScreen)
        await keys(pilot, "k")
        sheet = app.screen
        assert isinstance(sheet, Sheet)
        assert "doubtful" not in words(sheet)
        other.add("splice", {"reel": "M-0131", "at": "20 ft", "state": "doubtful"})
        other.add("hold", HOLD)
        await look(pilot)
        assert "keep" in page.query_one("#verdict", Lines).text()
        assert "doubtful" in words(sheet)


async def test_the_proof_of_a_reel(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(ReelScreen("M-0107"))
        await settled(pilot)
        await keys(pilot, "p")
        proof = app.screen
        assert isinstance(proof, ProofDialog)
        assert "given up" not in words(proof).casefold()
        before = words(proof)
        decision = {"reel": "M-0107", "project": "Slack Water", "title": "Breakwater", "take": "1", "keep": "discard"}
        other.add("decision", decision)
        await look(pilot)
        assert app.screen is proof
        assert words(proof) != before


async def test_the_wipe_refuses_what_somebody_holds_and_keeps_what_is_typed(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(WipeScreen("M-0131"))
        await settled(pilot)
        screen = app.screen
        assert isinstance(screen, WipeScreen)
        screen.query_one("#label", Typed).value = "M-0131"
        other.add("hold", HOLD)
        await look(pilot)
        assert screen.has_class("-refused")
        assert screen.query_one("#label", Typed).value == "M-0131"


async def test_the_copies(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(CopiesScreen())
        await settled(pilot)
        assert "XY-1" not in words(copies := app.screen)
        transfer = {
            "transfer": "XY-1", "reel": "M-0151", "start": "2:10", "end": "2:42", "speed": "15 ips", "tracks": "14",
            "sample_rate_hz": "96 kHz", "bit_depth": "24",
        }  # fmt: skip
        other.add("transfer", transfer)
        await look(pilot)
        assert "XY-1" in words(copies)


async def test_proving_says_that_its_transfer_was_taken_back(desk: Desk, other: Desk) -> None:
    transfer = {
        "transfer": "XY-1", "reel": "M-0151", "start": "2:10", "end": "2:42", "speed": "15 ips", "tracks": "14",
        "sample_rate_hz": "96 kHz", "bit_depth": "24",
    }  # fmt: skip
    entry = other.add("transfer", transfer).entries[0]
    async with app_on(desk) as (app, pilot):
        await app.push_screen(ProvingScreen(CopyAsked("XY-1")))
        await settled(pilot)
        proving = app.screen
        assert isinstance(proving, ProvingScreen)
        proving.query_one("#folder", Typed).value = "/media/disk"
        assert "XY-1" not in str(proving.query_one("#error", Static).render())
        other.void(entry, "slip")
        await look(pilot)
        assert "XY-1" in str(proving.query_one("#error", Static).render())
        assert proving.query_one("#folder", Typed).value == "/media/disk"


async def test_needs_keep_their_what_if(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(NeedsScreen())
        await settled(pilot)
        needs = app.screen
        assert isinstance(needs, NeedsScreen)
        drop = needs.query_one("#drop", Select)
        first = next(project.project for project in needs._told.ahead) if needs._told else ""
        drop.value = first
        await settled(pilot)
        today = datetime_of(NOW_US).date()
        other.add(
            "project",
            {
                "project": "Night Ferry", "client": "Dee Client", "stock_item": "C40-2-2500", "tracks": "24",
                "speed": "15 ips", "titles": "9", "length_low": "3:00", "length_likely": "4:00", "length_high": "5:00",
                "takes_low": "2", "takes_likely": "3", "takes_high": "4", "chance": "1", "mode": "keep-all",
                "from": str(today + timedelta(20)), "to": str(today + timedelta(40)),
            },
        )  # fmt: skip
        await look(pilot)
        assert needs._told is not None
        assert "Night Ferry" in {project.project for project in needs._told.ahead}
        assert drop.value == first
        drop.value = "Night Ferry"
        await settled(pilot)


async def test_orders_and_the_plan_below_them(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(BuyingScreen())
        await settled(pilot)
        buying = app.screen
        assert isinstance(buying, BuyingScreen)
        await app.push_screen(OrdersScreen())
        await settled(pilot)
        mark = buying.mark
        assert "PO-777" not in words(orders := app.screen)
        other.add(
            "order",
            {
                "order": "PO-777", "supplier": "Portside Magnetics", "stock_item": "C40-2-2500", "quantity": "12",
                "unit_price": "204.00", "currency": "EUR",
            },
        )  # fmt: skip
        await look(pilot)
        assert "PO-777" in words(orders)
        assert buying.mark is not None
        assert buying.mark != mark, "the plan was made anew as well"


async def test_picking_keeps_what_is_typed(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(PickScreen())
        await settled(pilot)
        pick = app.screen
        assert isinstance(pick, PickScreen)
        pick.query_one("#takes", Typed).value = "9:00"
        await settled(pilot)
        assert pick._picked is not None
        assert pick._picked.plan is not None
        (reel,) = pick._picked.plan.reels
        other.add("hold", HOLD | {"reel": reel})
        other.add("move", {"reel": reel, "kind": "out"})
        await look(pilot)
        assert pick._picked.plan is not None
        assert reel not in pick._picked.plan.reels
        assert pick.query_one("#takes", Typed).value == "9:00"


async def test_the_session_log(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.log_reel("M-0155")
        await settled(pilot)
        session = app.screen
        assert isinstance(session, SessionScreen)
        assert session.loaded is not None
        assert not session.loaded.takes
        take = {"reel": "M-0155", "title": "Ferry", "take": "1", "start": "60 ft", "end": "90 ft", "speed": "15 ips"}
        other.add("take", take)
        await look(pilot)
        assert [each.label for each in session.loaded.takes] == ["Ferry/1"]


async def test_measured_wear(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(WearScreen("M-0106"))
        await settled(pilot)
        wear = app.screen
        assert isinstance(wear, WearScreen)
        before = wear.measured
        other.add("pass", {"reel": "M-0106", "kind": "play", "count": "40"})
        await look(pilot)
        assert wear.measured is not before
        assert before is not None
        assert wear.measured is not None
        assert wear.measured.advice.fitness.wear_most == before.advice.fitness.wear_most + 400


async def test_what_one_may_take_back(desk: Desk, other: Desk) -> None:
    desk.add("hold", HOLD)
    async with app_on(desk) as (app, pilot):
        await keys(pilot, "u")
        dialog = app.screen
        assert isinstance(dialog, TakeBack)
        dialog.query_one("#why", Typed).value = "the wrong reel"
        assert "keep to clear" in dialog.query_one("#change", Lines).text()
        other.add("hold", HOLD | {"hold": "Second"})
        await look(pilot)
        assert "no answer would change" in dialog.query_one("#change", Lines).text()
        assert dialog.query_one("#why", Typed).value == "the wrong reel"


async def test_what_another_took_back_is_not_mistaken_for_the_next(desk: Desk, other: Desk) -> None:
    kept = desk.add("splice", {"reel": "M-0131", "at": "300 ft"}).entries[0]
    gone = desk.add("hold", HOLD).entries[0]
    async with app_on(desk) as (app, pilot):
        await keys(pilot, "u")
        dialog = app.screen
        assert isinstance(dialog, TakeBack)
        other.void(gone, "settled")
        dialog.look()
        await settled(pilot)
        assert f"#{kept}" in dialog.query_one("#change", Lines).text()
        assert app.screen is dialog


async def test_a_form_says_that_the_record_changed_and_loses_nothing(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(ReelScreen("M-0131"))
        await settled(pilot)
        await keys(pilot, "a", "h", *"claim")
        form = app.screen
        assert isinstance(form, EntryDialog)
        assert not form.query(Stale)
        other.add("hold", HOLD)
        await look(pilot)
        assert "somebody entered something" in str(form.query_one(Stale).render())
        assert form.cells["reason"] == "claim"


async def test_a_cut_seen_before_a_change_is_seen_again_before_it_is_made(desk: Desk, other: Desk) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(ReelScreen("M-0155"))
        await settled(pilot)
        await keys(pilot, "b", *"40ft", "enter")
        cut = app.screen
        assert isinstance(cut, CutDialog)
        assert str(cut.query_one("#enter", Button).label) == "F2 Throw it away"
        other.add("pass", {"reel": "M-0155", "kind": "play"})
        await look(pilot)
        assert str(cut.query_one("#enter", Button).label) == "F2 See it"
        await keys(pilot, "f2")
        assert app.screen is cut, "the first F2 shows it again"
        assert str(cut.query_one("#enter", Button).label) == "F2 Throw it away"
        assert not cut.query(Stale)
        other.add("pass", {"reel": "M-0155", "kind": "play"})
        await look(pilot)
        assert str(cut.query_one("#enter", Button).label) == "F2 See it"


@pytest.mark.parametrize("screen", [lambda: ReelScreen("M-0131"), CopiesScreen, lambda: WipeScreen("M-0131")])
async def test_what_is_old_says_so_at_once(
    desk: Desk, other: Desk, screen: Callable[[], WorkingScreen[Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    async with app_on(desk) as (app, pilot):
        await app.push_screen(screen())
        await settled(pilot)
        shown = app.screen
        assert isinstance(shown, WorkingScreen)
        assert "anew" not in words(shown)
        other.add("hold", HOLD)
        go_on = threading.Event()

        def late(name: str, place: Any) -> None:
            real = getattr(place, name)

            def waits(*args: Any, **kwargs: Any) -> Any:
                go_on.wait(30)
                return real(*args, **kwargs)

            monkeypatch.setattr(place, name, waits)

        late("advise", desk)
        late("standing", wiping)
        monkeypatch.setattr("tui.screens.copies.waiting", _after(go_on, "tui.screens.copies.waiting"))
        shown.look()
        for _ in range(500):
            await pilot.pause(0.01)
            if "being worked out anew" in words(shown):
                break
        assert "being worked out anew" in words(shown)
        go_on.set()
        await settled(pilot)
        assert "being worked out anew" not in words(shown)


def _after(go_on: threading.Event, name: str) -> Callable[..., Any]:
    from importlib import import_module

    module, _, function = name.rpartition(".")
    real = getattr(import_module(module), function)

    def waits(*args: Any) -> Any:
        go_on.wait(30)
        return real(*args)

    return waits
