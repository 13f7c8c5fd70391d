"""One way of moving: number keys and clicks to places, back to where one was, numbers, scans and the palette."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from textual.command import CommandPalette
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, Static

from stock.core.label_code import label_code
from stock.desk.desk import Desk
from tests.tui.reel_fixtures import HOSTILE, SMALL, demo_desk, keys, settled
from tui import scan
from tui.app import ReelwardApp
from tui.dialogs.number import NumberDialog
from tui.keys import KEYS
from tui.palette import HouseProvider
from tui.places import PLACES
from tui.screens.reel import ReelScreen
from tui.screens.session import SessionScreen
from tui.screens.shelf import ShelfScreen
from tui.screens.wipe import WipeScreen
from tui.widgets.reel_list import ReelList
from tui.widgets.typed import Typed


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


@asynccontextmanager
async def showing(desk: Desk, place: str = "shelf") -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        app.action_go(place)
        await settled(pilot)
        yield app, pilot
        app.shelf.close()


def test_a_letter_means_one_thing_everywhere() -> None:
    meanings = defaultdict(set)
    for key in KEYS:
        for each in key.key.split(","):
            # digits are places, and severities in the dialog of an inspection
            if (len(each) == 1 and each.isalpha()) or each in ("slash", "question_mark", "escape"):
                meanings[each].add(key.words)
    assert {each: words for each, words in meanings.items() if len(words) > 1} == {}


async def test_every_place_is_one_key_or_click_and_back_is_where_one_was(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        await keys(pilot, "down", "down", "down")
        under = app.screen.query_one(ReelList).current
        for place in PLACES:
            await keys(pilot, f"alt+{place.key}")
            assert app.current_mode == place.name
            if place.name == "machine":
                continue
            await keys(pilot, "alt+2")
            shelf = app.screen
            assert isinstance(shelf, ShelfScreen)
            at = shelf.query_one("PlaceLine").render().plain.index(f"{place.key} ")
            await pilot.click("PlaceLine", offset=(at, 0))
            await settled(pilot)
            assert app.current_mode == place.name
        while app.current_mode != "shelf":
            await keys(pilot, "escape")
        assert app.screen.query_one(ReelList).current == under


async def test_back_goes_through_the_places_as_they_were_visited(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        await keys(pilot, "slash", *"0151", "enter")
        assert isinstance(app.screen, ReelScreen)
        await keys(pilot, "5", "6")
        await keys(pilot, "escape")
        assert app.current_mode == "copies"
        await keys(pilot, "escape")
        assert isinstance(app.screen, ReelScreen), "the page is still open"
        await keys(pilot, "escape")
        assert app.screen.query_one("#search", Input).value == "0151"


async def test_a_number_typed_anywhere_opens_the_reel(desk: Desk) -> None:
    async with showing(desk, "copies") as (app, pilot):
        await keys(pilot, "n")
        assert isinstance(app.screen, NumberDialog)
        await keys(pilot, *"m-0151")
        found = app.screen.query_one(OptionList)
        assert "M-0151   \u25a0 keep" in str(found.get_option_at_index(0).prompt)
        await keys(pilot, "enter")
        assert isinstance(app.screen, ReelScreen)
        assert app.screen.number == "M-0151"
        await keys(pilot, "escape")
        assert app.current_mode == "copies"
        await keys(pilot, "n", *"M-01", "enter")
        assert "Several reels" in str(app.screen.query_one("#error", Static).content)
        await keys(pilot, "down", "down", "enter")
        assert isinstance(app.screen, ReelScreen), "the one walked to"
        await keys(pilot, "escape", "n", *"none such", "enter")
        assert "There is no reel none such" in str(app.screen.query_one("#error", Static).content)
        for text in HOSTILE:
            app.screen.query_one(Typed).value = text
            await keys(pilot, "enter")
            assert "\x1b" not in str(app.screen.query_one("#error", Static).content)
        await keys(pilot, "escape")


async def test_the_number_is_a_click_on_the_top_line(desk: Desk) -> None:
    for place in ("shelf", "machine"):
        async with showing(desk, place) as (app, pilot):
            at = app.screen.query_one("PlaceLine").render().plain.index("n Number")
            await pilot.click("PlaceLine", offset=(at, 0))
            await settled(pilot)
            assert isinstance(app.screen, NumberDialog)
            assert app.screen.query_one("#do_it").label.plain == f"Enter {'Put on' if place == 'machine' else 'Open'}"


# scans


@pytest.fixture
def scanner(monkeypatch: pytest.MonkeyPatch) -> None:
    """Keys that come as fast as the test presses them are a scan."""
    monkeypatch.setattr(scan, "BURST_S", 5.0)
    monkeypatch.setattr(scan, "LATE_S", 5.0)


async def scanned(pilot: Pilot[None], code: str) -> None:
    await pilot.press(*code, "enter")
    await settled(pilot)


@pytest.mark.usefixtures("scanner")
async def test_a_scan_shows_the_verdict_with_no_key_more(desk: Desk) -> None:
    for place in ("shelf", "copies", "needs"):
        async with showing(desk, place) as (app, pilot):
            await scanned(pilot, label_code("M-0151"))
            assert isinstance(app.screen, ReelScreen)
            assert "keep" in str(app.screen.query_one("#verdict").text())
            assert app.current_mode == place, "none of its signs did anything else"


@pytest.mark.usefixtures("scanner")
async def test_a_scan_is_caught_in_a_field_too(desk: Desk) -> None:
    async with showing(desk, "pick") as (app, pilot):
        app.screen.query_one("#takes", Typed).focus()
        await scanned(pilot, label_code("M-0151"))
        assert isinstance(app.screen, ReelScreen)
        await pilot.app.run_action("back")
        await settled(pilot)
        assert app.screen.query_one("#takes", Typed).value == ""


@pytest.mark.usefixtures("scanner")
async def test_at_the_machine_a_scan_puts_the_reel_on(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        await app.log_reel("M-0173")
        await settled(pilot)
        await scanned(pilot, label_code("M-0135"))
        assert isinstance(app.screen, SessionScreen)
        assert app.screen.loaded is not None
        assert app.screen.loaded.on.reel == "M-0135"


@pytest.mark.usefixtures("scanner")
async def test_the_wipe_takes_the_label_scanned_and_no_other_field_does(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        app.push_screen(WipeScreen("M-0101"))
        await settled(pilot)
        await scanned(pilot, label_code("M-0102"))
        assert isinstance(app.screen, WipeScreen)
        assert app.screen.query_one("#label", Typed).value == "M-0102"


@pytest.mark.usefixtures("scanner")
async def test_a_label_misread_is_said(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        await scanned(pilot, label_code("M-0151").replace("5", "6"))
        assert isinstance(app.screen, ShelfScreen)
        assert any("misread" in each.message for each in app._notifications)


@pytest.mark.usefixtures("scanner")
async def test_a_scan_over_a_dialog_tells_the_verdict_and_leaves_it(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        app.open_reel("M-0151")
        await settled(pilot)
        await app.screen.run_action("enter_kind('splice')")
        await settled(pilot)
        dialog = app.screen
        assert dialog.is_modal
        await scanned(pilot, label_code("M-0101"))
        assert app.screen is dialog
        assert any("M-0101" in each.message for each in app._notifications)


# the palette


async def test_the_palette_finds_reels_projects_clients_and_acts(desk: Desk) -> None:
    async with showing(desk) as (app, pilot):
        provider = HouseProvider(app.screen)
        await provider.startup()
        for typed, words in (
            ("m0151", "M-0151"),
            ("tin regata", "Tin Regatta LP"),
        ):
            hits = [hit async for hit in provider.search(typed)]
            assert words in [str(hit.match_display) for hit in hits][:3]
        app.open_reel("M-0151")
        await settled(pilot)
        provider = HouseProvider(app.screen)
        await provider.startup()
        hits = [hit async for hit in provider.search("splice")]
        assert str(hits[0].match_display) == "Enter splice"
        hits[0].command()
        await settled(pilot)
        assert "splice" in type(app.screen).__name__.casefold() or app.screen.is_modal
        await keys(pilot, "escape")
        await keys(pilot, "ctrl+p")
        assert isinstance(app.screen, CommandPalette)
        await keys(pilot, "escape")


async def test_the_palette_opens_what_it_found(desk: Desk) -> None:
    async with showing(desk, "copies") as (app, pilot):
        provider = HouseProvider(app.screen)
        await provider.startup()
        hits = [hit async for hit in provider.search("Tin Regatta LP")]
        await hits[0].command()
        await settled(pilot)
        assert app.current_mode == "shelf"
        assert app.screen.query_one("#search", Input).value == "Tin Regatta LP"
        assert " of " in str(app.screen.query_one("#state", Static).content)
        assert app.screen.query_one(ReelList).current is not None


async def test_a_page_key_before_a_list_is_laid_out_does_nothing(tmp_path: Path) -> None:
    with demo_desk(tmp_path) as desk:
        app = ReelwardApp(lambda: desk)
        async with app.run_test(size=SMALL) as pilot:
            await settled(pilot)
            listed = OptionList("one", "two")
            listed.display = False
            await app.screen.mount(listed)
            for key in ("page_up", "page_down"):
                assert await app.run_action(key, listed)
            app.shelf.close()
