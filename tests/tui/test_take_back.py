"""Taking entries back on the screen: what it would change is seen first, and what loosens is not done in passing."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Button, OptionList

from stock.desk import undoing
from stock.desk.desk import Desk
from stock.desk.history import HistoryLine
from stock.edge.visible import safe
from tests.tui.reel_fixtures import HOSTILE, LARGE, NOW_US, SMALL, check_picture, demo_desk, keys, page_of, settled
from tui.dialogs.take_back import TakeBack
from tui.widgets.heading import Lines

HOLD = {"hold": "H-1", "reel": "M-0131", "reason": "a claim"}


def run(test: Callable[[], Coroutine[Any, Any, None]]) -> None:
    asyncio.run(test())


def line_of(desk: Desk, reel: str, entry: int) -> HistoryLine:
    (line,) = (line for line in desk.history(reel) if line.entry == entry)
    return line


def wait_for_preview(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """What taking back would change is worked out only when the event is set."""
    worked_out = threading.Event()

    def late(desk: Desk, entries: tuple[int, ...]) -> undoing.UndoSeen:
        worked_out.wait(30)
        return see_undo(desk, entries)

    see_undo = undoing.see_undo
    monkeypatch.setattr(undoing, "see_undo", late)
    return worked_out


def said(pilot: Pilot[None]) -> str:
    dialog = pilot.app.screen
    assert isinstance(dialog, TakeBack)
    return dialog.query_one("#change", Lines).text()


def test_what_would_be_looser_is_said_loudly_and_not_done_in_passing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            entry = desk.add("hold", HOLD).entries[0]
            async with page_of(desk, "M-0131") as (app, pilot):
                assert "keep" in app.said("verdict")
                await pilot.press("u")
                await pilot.press("f2")
                assert "being worked out" in said(pilot)
                worked_out.set()
                await settled(pilot)
                assert "LOOSER: M-0131 would go from keep to clear" in said(pilot)
                assert line_of(desk, "M-0131", entry).voided is None
                await keys(pilot, "enter")
                assert line_of(desk, "M-0131", entry).voided is None, "Enter in the list takes nothing back"
                await keys(pilot, "f2")
                assert app.screen is app.page
                assert "clear" in app.said("verdict")
            assert line_of(desk, "M-0131", entry).voided is not None

    worked_out = wait_for_preview(monkeypatch)
    run(test)


def test_both_keys_at_once_take_back_what_loosens_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            entry = desk.add("splice", {"reel": "M-0107", "at": "300 ft"}).entries[0]
            async with page_of(desk, "M-0107") as (app, pilot):
                await pilot.press("u", "f2")
                assert isinstance(app.screen, TakeBack)
                worked_out.set()
                await settled(pilot)
                assert app.screen is app.page
            assert line_of(desk, "M-0107", entry).voided is not None

    worked_out = wait_for_preview(monkeypatch)
    run(test)


def test_an_older_one_is_chosen_and_a_reason_typed(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            first = desk.add("splice", {"reel": "M-0107", "at": "300 ft"}).entries[0]
            second = desk.add("move", {"reel": "M-0107", "kind": "shelf"}).entries[0]
            async with page_of(desk, "M-0107") as (_, pilot):
                await keys(pilot, "u", "down")
                assert "splice on M-0107, 300 ft" in said(pilot)
                await keys(pilot, "tab", *"twice", "enter")
            voided = line_of(desk, "M-0107", first).voided
            assert voided is not None
            assert voided[1] == "twice"
            assert line_of(desk, "M-0107", second).voided is None

    run(test)


def test_why_not_is_said_and_nothing_is_taken_back(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            cut = {"reel": "M-0155", "start": "0 ft", "end": "40 ft", "to_reel": "M-0156", "date": "2026-11-24"}
            edit = desk.add("edit", cut).entries[0]
            other = Desk.open(desk.store.path, "Una Thorp", now_us=lambda: NOW_US)
            other.add("pass", {"reel": "M-0156", "kind": "play"})
            async with page_of(desk, "M-0155") as (app, pilot):
                await keys(pilot, "u")
                assert "(pass) was made later on that tape" in said(pilot)
                assert app.screen.query_one("#do_it", Button).disabled
                await keys(pilot, "f2", "enter")
                assert isinstance(app.screen, TakeBack)
            assert line_of(desk, "M-0155", edit).voided is None
            other.close()

    run(test)


def test_who_entered_nothing_is_told_so(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await pilot.press("u", "f2")
                await settled(pilot)
                assert "There is nothing that Tess Amblin entered" in said(pilot)
                assert app.screen.query_one(OptionList).option_count == 0

    run(test)


def test_hostile_reasons_are_shown_as_text(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            for number, text in enumerate(HOSTILE[:12]):
                desk.add("hold", HOLD | {"hold": f"H-{number}", "reason": safe(text)})
            async with page_of(desk, "M-0131", LARGE) as (app, pilot):
                await keys(pilot, "u")
                for _ in HOSTILE[:12]:
                    await keys(pilot, "down")
                    assert "hold on M-0131: hold H-" in said(pilot)
                assert app.is_running
                assert "\x1b" not in app.export_screenshot()

    run(test)


@pytest.mark.parametrize(("size", "name"), [(SMALL, "80x24"), (LARGE, "120x40")])
def test_it_looks_as_it_did(tmp_path: Path, size: tuple[int, int], name: str) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            desk.add("splice", {"reel": "M-0131", "at": "300 ft", "kind": "repair"})
            desk.add("move", {"reel": "M-0107", "kind": "out", "to": "the cutting room"})
            desk.add("hold", HOLD)
            async with page_of(desk, "M-0131", size) as (_, pilot):
                await keys(pilot, "u")
                await check_picture(pilot, f"take-back-{name}")

    run(test)
