"""What is typed and not entered is kept, taken up again, and gone once it is entered or thrown away."""

from __future__ import annotations

import asyncio
import stat
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.screen import Screen
from textual.widgets import Static

from stock.desk.desk import Desk
from tests.tui.reel_fixtures import LARGE, NOW_US, SMALL, PageApp, check_picture, demo_desk, keys, page_of, settled
from tests.tui.terminal import Terminal
from tui.app import ReelwardApp
from tui.dialogs.cut import CutDialog
from tui.dialogs.entry import EntryDialog
from tui.dialogs.inspect import InspectDialog, PointLine
from tui.drafting import DraftModal
from tui.drafts import Draft, Drafts
from tui.screens.orders import OrdersScreen
from tui.screens.reel import ReelScreen
from tui.screens.wear import WearScreen
from tui.unfinished import go_where_left, left_unfinished
from tui.widgets.tape_map import TapeMap
from tui.widgets.typed import Typed
from tui.work import WorkingScreen

SPLICE = Draft("splice", "M-0107", {"at": "300 ft", "note": "by the [door]"}, 1_000)


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "state"


def run(test: Callable[[], Coroutine[Any, Any, None]]) -> None:
    asyncio.run(test())


def files(state: Path) -> list[Path]:
    return sorted(path for path in state.rglob("*") if path.is_file())


def kept(desk: Desk) -> list[Draft]:
    """What another start of the program would find."""
    return Drafts.of(desk.store.path, desk.who).left()


def told(form: DraftModal[Any]) -> str:
    line = form.query_one("#draft", Static)
    return str(line.render()) if line.has_class("-shown") else ""


def form_of(app: PageApp) -> EntryDialog:
    assert isinstance(app.screen, EntryDialog)
    return app.screen


# what keeps them


def test_a_draft_is_written_whole_for_its_owner_alone_and_forgotten(tmp_path: Path, state: Path) -> None:
    drafts = Drafts.of(tmp_path / "house.db", "Tess Amblin")
    assert drafts.left() == []
    assert not state.exists(), "nothing is made before there is something to keep"
    drafts.hold(SPLICE)
    drafts.write("splice", "M-0107")
    (path,) = files(state)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert b"Tess" not in b"".join(str(each).encode() for each in files(state))
    again = Drafts.of(tmp_path / "house.db", "Tess Amblin")
    assert again.left() == [SPLICE]
    assert again.find("splice", "M-0107") == SPLICE
    assert again.find("splice", "M-0108") is None
    again.forget("splice", "M-0107")
    again.write("splice", "M-0107")
    assert files(state) == []
    assert again.left() == []


def test_each_person_and_each_database_has_its_own(tmp_path: Path) -> None:
    drafts = Drafts.of(tmp_path / "house.db", "Tess Amblin")
    drafts.hold(SPLICE)
    drafts.write("splice", "M-0107")
    assert Drafts.of(tmp_path / "house.db", "Una Thorp").left() == []
    assert Drafts.of(tmp_path / "other.db", "Tess Amblin").left() == []


def test_a_late_write_does_not_bring_back_what_was_forgotten(tmp_path: Path, state: Path) -> None:
    drafts = Drafts.of(tmp_path / "house.db", "Tess Amblin")
    drafts.hold(SPLICE)
    drafts.forget("splice", "M-0107")
    drafts.write("splice", "M-0107")
    drafts.write("splice", "M-0107")
    assert files(state) == []


@settings(max_examples=60, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=60),
        st.recursive(
            st.none() | st.integers() | st.text(max_size=5),
            lambda each: (
                st.lists(each, max_size=3)
                | st.dictionaries(st.sampled_from(["form", "about", "cells", "at_us", "sent", "x"]), each, max_size=6)
            ),
            max_leaves=8,
        ).map(lambda found: __import__("json").dumps(found).encode()),
    )
)
def test_what_is_no_draft_is_set_aside(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    folder = tmp_path_factory.mktemp("drafts")
    drafts = Drafts(folder / "one")
    drafts.hold(SPLICE)
    drafts.write("splice", "M-0107")
    (path,) = (folder / "one").iterdir()
    path.write_bytes(content)
    again = Drafts(folder / "one")
    for found in again.left():
        assert all(isinstance(text, str) for text in (found.form, found.about, *found.cells, *found.cells.values()))
    if not again.left():
        assert [each.suffix for each in (folder / "one").iterdir()] == [".unreadable"]
        assert again.find("splice", "M-0107") is None


# on the screens


def test_what_was_typed_is_taken_up_again_and_what_was_filled_in_is_not(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                app.page.query_one(TapeMap).go(3048 * 475)
                await keys(pilot, "a", "s", "tab", "r", "s", "escape")
                assert app.screen is app.page
                (draft,) = kept(desk)
                assert (draft.form, draft.about) == ("splice", "M-0107")
                assert draft.cells == {"kind": "repair", "state": "sound"}, "the cursor's place is no part of it"
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "s")
                form = form_of(app)
                assert "Left unfinished at 10:00, taken up again" in told(form)
                assert (form.cells["kind"], form.cells["state"], form.cells["at"]) == ("repair", "sound", "0 ft")
                before = len(desk.history("M-0107"))
                await keys(pilot, "f2")
                assert app.screen is app.page
                assert len(desk.history("M-0107")) == before + 1
                assert kept(desk) == []
                await keys(pilot, "a", "s")
                assert told(form_of(app)) == ""

    run(test)


def test_it_is_thrown_away_on_purpose_and_the_form_begins_anew(tmp_path: Path, state: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "h", *"claim", "escape", "a", "h")
                assert form_of(app).cells["reason"] == "claim"
                await keys(pilot, "f8")
                assert told(form_of(app)) == ""
                assert (form_of(app).cells["reason"], form_of(app).cells["hold"]) == ("", "H-1")
                await keys(pilot, "escape", "a", "h")
                assert (told(form_of(app)), form_of(app).cells["reason"]) == ("", "")
            assert files(state) == []

    run(test)


def test_a_click_throws_it_away_and_what_is_typed_replaces_what_was(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            drafts = Drafts.of(desk.store.path, desk.who)
            drafts.hold(SPLICE)
            drafts.write("splice", "M-0107")
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "s", *"40ft")
                assert form_of(app).cells["at"] == "40ft"
                await pilot.click(form_of(app).query_one("#draft"))
                await settled(pilot)
                assert (form_of(app).cells["at"], told(form_of(app))) == ("0 ft", "")

    run(test)


def test_nothing_typed_leaves_nothing(tmp_path: Path, state: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (_, pilot):
                await keys(pilot, "a", "x", "escape", "i", "escape", "b", "escape")
            assert files(state) == []

    run(test)


def test_a_refusal_keeps_it_and_a_date_stays_as_typed(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "s")
                form = form_of(app)
                form.put({"at": "9 kg", "date": "yesterday"})
                await keys(pilot, "f2")
                assert app.screen is form
                (draft,) = kept(desk)
                assert draft.cells == {"at": "9 kg", "date": "yesterday"}
                assert not draft.sent

    run(test)


def test_one_on_its_way_into_the_record_says_so(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            drafts = Drafts.of(desk.store.path, desk.who)
            drafts.hold(SPLICE._replace(sent=True))
            drafts.write("splice", "M-0107")
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "s")
                assert "on its way into the record: see in the history" in told(form_of(app))
                assert form_of(app).cells["note"] == "by the [door]"

    run(test)


def test_an_inspection_and_a_cut_are_kept_too(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "i", "1", *"30ft", "escape")
                await keys(pilot, "i")
                form = app.screen
                assert isinstance(form, InspectDialog)
                first = form.query(PointLine).first()
                assert first.severity == 1
                assert "30ft" in {typed.value for typed in form.query(Typed)}
                assert told(form)
                await keys(pilot, "escape")
                await keys(pilot, "b", *"40ft", "escape", "b")
                cut = app.screen
                assert isinstance(cut, CutDialog)
                assert cut.query_one("#end", Typed).value == "40ft"
            assert {draft.form for draft in kept(desk)} == {"inspection", "cut"}

    run(test)


@pytest.mark.parametrize(("size", "name"), [(SMALL, "80x24"), (LARGE, "120x40")])
def test_a_form_taken_up_looks_as_it_did(tmp_path: Path, size: tuple[int, int], name: str) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            drafts = Drafts.of(desk.store.path, desk.who)
            drafts.hold(SPLICE._replace(at_us=desk.now_us() - 3_600_000_000))
            drafts.write("splice", "M-0107")
            async with page_of(desk, "M-0107", size) as (_, pilot):
                await keys(pilot, "a", "s")
                await check_picture(pilot, f"entry-draft-{name}")

    run(test)


def test_the_program_ending_with_a_form_open_keeps_what_was_typed_last(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "h")
                await pilot.press(*"claim")
                app.exit()
            (draft,) = kept(desk)
            assert draft.cells == {"reason": "claim"}

    run(test)


EACH_FORM: list[tuple[Draft, type[Screen[Any]], type[Screen[Any]]]] = [
    (SPLICE, ReelScreen, EntryDialog),
    (Draft("cut", "M-0107", {"end": "40 ft"}, 5), ReelScreen, CutDialog),
    (Draft("inspection", "M-0107", {"edges": "1"}, 4), ReelScreen, InspectDialog),
    (Draft("levels", "M-0107", {"level-0-100": "1"}, 3), WearScreen, WearScreen),
    (Draft("receipt", "PO-012", {"batch": "40-1"}, 2), OrdersScreen, OrdersScreen),
]


@pytest.mark.parametrize(("draft", "screen", "shown"), EACH_FORM, ids=[each[0].form for each in EACH_FORM])
def test_what_was_left_is_listed_and_opened_where_it_was(
    tmp_path: Path, draft: Draft, screen: type[Screen[Any]], shown: type[Screen[Any]]
) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            drafts = Drafts.of(desk.store.path, desk.who)
            drafts.hold(draft._replace(at_us=NOW_US))
            drafts.write(draft.form, draft.about)
            app = ReelwardApp(lambda: desk)
            async with app.run_test(size=SMALL) as pilot:
                await settled(pilot)
                assert isinstance(app.screen, WorkingScreen)
                ((found, words),) = left_unfinished(app.screen)
                assert words == f"Left unfinished at 10:00: {draft.form} on {draft.about}"
                await go_where_left(app, found)
                await settled(pilot)
                assert any(isinstance(each, screen) for each in app.screen_stack)
                assert isinstance(app.screen, shown)
                if isinstance(app.screen, DraftModal):
                    assert app.screen.typed == dict(draft.cells)
                app.shelf.close()

    run(test)


def test_a_form_that_is_none_any_more_opens_nothing(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            app = ReelwardApp(lambda: desk)
            async with app.run_test(size=SMALL) as pilot:
                await settled(pilot)
                before = app.screen
                await go_where_left(app, Draft("fairy tale", "", {"x": "y"}, 1))
                assert app.screen is before
                app.shelf.close()

    run(test)


# a real process, killed while somebody types

SCREENS = """
import sys
from tui.app import run
def opening():
    from stock.desk.desk import Desk
    return Desk.open(sys.argv[1], "Tess Amblin")
sys.exit(run(opening))
"""


def test_a_kill_in_the_middle_of_typing_loses_nothing_that_is_half_a_second_old(tmp_path: Path, state: Path) -> None:
    with demo_desk(tmp_path) as desk:
        for turn in range(2):
            terminal = Terminal(SCREENS, str(desk.store.path), env={"XDG_STATE_HOME": str(state)})
            try:
                terminal.read_until(rb"M-0154")
                terminal.send(b"2")
                terminal.read_until(rb"E-0202")
                terminal.send(b"\r")
                terminal.read_until(rb"May the")
                terminal.send(b"a")
                terminal.read_until(rb"Enter what")
                terminal.send(b"h")
                terminal.read_until(rb"Left unfinished" if turn else rb"Enter hold")
                if not turn:
                    terminal.send(b"a claim by the publisher")
                    wait_for_file(terminal, state, b"a claim by the publisher")
                    terminal.process.kill()
                    terminal.process.wait()
                else:
                    terminal.read_rest()
                    assert b"publisher" in terminal.output
            finally:
                terminal.close()
        (draft,) = kept(desk)
        assert draft.cells == {"reason": "a claim by the publisher"}
        assert not [line for line in desk.history(draft.about) if "publisher" in line.says], "a draft enters nothing"


def wait_for_file(terminal: Terminal, state: Path, content: bytes) -> None:
    """Read what the program shows until a file holds something."""
    for _ in range(2_000):
        terminal.read_rest(0.01)
        if any(path.suffix == ".json" and content in path.read_bytes() for path in files(state)):
            return
    raise TimeoutError(content)
