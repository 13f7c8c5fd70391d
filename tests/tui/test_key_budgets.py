"""How many keys the daily tasks take, from the page they begin on; each task is done, and its keys are counted."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Coroutine
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.widgets import Static

from stock.core.measure import FOOT, IPS, SECOND, length_of
from stock.desk.desk import Desk
from stock.desk.names_known import names_known
from stock.desk.shelf import ShelfQuery
from tests.tui.reel_fixtures import SMALL, demo_desk, keys, page_of, settled
from tui.app import ReelwardApp
from tui.dialogs.sheet import Sheet
from tui.screens.needs import NeedsScreen
from tui.screens.proving import ProvingScreen
from tui.screens.wipe import WipeScreen
from tui.widgets.tape_map import TapeMap


class Hand:
    """Presses keys and counts them. A text typed outside the budget (a reason's words, a place) counts as told."""

    def __init__(self, pilot: Pilot[None]) -> None:
        self._pilot = pilot
        self.pressed = 0

    async def press(self, *pressed: str) -> None:
        """Press keys, each when what the one before started is done."""
        await keys(self._pilot, *pressed)
        self.pressed += len(pressed)

    async def type(self, text: str, *, counts_as: int | None = None) -> None:
        """Type a text; each of its characters is a key unless told otherwise."""
        named = {" ": "space", ":": "colon", ".": "full_stop", "-": "minus", ",": "comma"}
        await self._pilot.press(*(named.get(sign, sign) for sign in text))
        await settled(self._pilot)
        self.pressed += len(text) if counts_as is None else counts_as


def run(test: Callable[[], Coroutine[Any, Any, None]]) -> None:
    asyncio.run(test())


def newest(desk: Desk, reel: str) -> tuple[str, str, tuple[tuple[int, int], ...]]:
    """Kind, words and places of the newest entry about a reel."""
    line = max(desk.history(reel), key=lambda line: line.entry)
    return line.kind.name, line.says, line.spans


def test_a_splice_at_a_typed_place_takes_ten_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("a", "s")
                await hand.type("300ft")
                await hand.press("enter", "r", "f2")
                assert app.screen is app.page
            assert newest(desk, "M-0107") == ("splice", "15 ips, repair", ((300 * FOOT, 300 * FOOT),))
            assert hand.pressed <= 10

    run(test)


def test_a_pass_takes_six_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("a", "p", "p", "3", "f2")
                assert app.screen is app.page
            kind, says, spans = newest(desk, "M-0107")
            assert (kind, says) == ("pass", "play, 15 ips, 3 times, machine Deck 1")
            assert spans == ((0, 2500 * FOOT),)
            assert hand.pressed <= 6

    run(test)


def test_a_finding_at_a_place_takes_eight_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("g")
                await hand.type("12:40", counts_as=1)
                await hand.press("enter", "a", "f", "d", "1", "f2")
                assert app.screen is app.page
            kind, says, ((lo, hi),) = newest(desk, "M-0107")
            assert (kind, says) == ("finding", "dropout, severity 1, 15 ips")
            # two seconds each way, and what a counter may be off by so far from its zero
            assert (lo, hi) == (950 * FOOT - around, 950 * FOOT + around)
            assert hand.pressed <= 8

    around = length_of(2 * SECOND, 15 * IPS) + 950 * FOOT // 500
    run(test)


def test_a_finding_without_a_place_is_not_taken_for_one_of_the_whole_reel(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            before = desk.history("M-0107")
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "f", "i", "0", "f2")
                assert app.screen is not app.page
            assert desk.history("M-0107") == before

    run(test)


def test_a_hold_takes_ten_keys_besides_its_reason(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("a", "h")
                await hand.type("claim", counts_as=0)
                await hand.press("f2")
                assert app.screen is app.page
            kind, says, _ = newest(desk, "M-0107")
            assert (kind, says) == ("hold", "hold H-1, claim")
            assert hand.pressed <= 10

    run(test)


def test_a_critical_check_at_a_place_takes_five_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("g")
                await hand.type("12:40", counts_as=1)
                await hand.press("enter", "k")
                assert isinstance(app.screen, Sheet)
                assert app.page.query_one(TapeMap).place == 950 * FOOT
            assert hand.pressed <= 5

    run(test)


def test_a_transfer_is_put_down_for_proof_in_five_keys(tmp_path: Path) -> None:
    """The take here, or all that is recorded, under the next name; the format is chosen, never assumed."""

    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("a", "x", "9", "f2")
                assert app.screen is app.page
            kind, says, spans = newest(desk, "M-0107")
            assert kind == "transfer"
            assert says == "transfer SW-8, 15 ips, tracks 1-24, 96000 Hz, 24 bit"
            assert spans == ((50 * FOOT, 1955 * FOOT),)
            assert hand.pressed <= 5

    run(test)


def test_a_transfer_that_waits_is_taken_up_for_proof_in_five_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("p", "enter")
                assert isinstance(app.screen, ProvingScreen)
                assert hand.pressed <= 4, "F2 then reads it"

    run(test)


def test_the_newest_entry_is_taken_back_with_two_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            desk.add("hold", {"hold": "H-1", "reel": "M-0107", "reason": "a claim"})
            async with page_of(desk, "M-0107") as (app, pilot):
                hand = Hand(pilot)
                await hand.press("u", "f2")
                assert app.screen is app.page
            (line,) = (line for line in desk.history("M-0107") if line.says.startswith("hold H-1"))
            assert line.voided is not None
            assert hand.pressed <= 2

    run(test)


# tasks that begin anywhere


@asynccontextmanager
async def anywhere(desk: Desk) -> AsyncIterator[tuple[ReelwardApp, Pilot[None], Hand]]:
    """The whole program, at the place where it begins."""
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=SMALL) as pilot:
        await settled(pilot)
        yield app, pilot, Hand(pilot)
        app.shelf.close()


def test_a_pick_for_a_typed_request_takes_six_keys_besides_the_text(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with anywhere(desk) as (app, _, hand):
                await hand.press("4")
                await hand.type("9:00 x2", counts_as=0)
                await hand.press("tab", "tab", "tab")
                await hand.type("2 in", counts_as=0)
                await hand.press("tab")
                await hand.type("16", counts_as=0)
                assert str(app.screen.query_one("#plan_words", Static).content).count("take ") == 2
                assert hand.pressed <= 6

    run(test)


def test_the_reels_of_a_client_are_found_with_six_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            (client, *_) = names_known(desk).clients
            async with anywhere(desk) as (app, pilot, hand):
                await hand.press("alt+2", "slash")
                await hand.type(client[:4].casefold())
                reels = app.shelf.rows(app.shelf.find(ShelfQuery(words=client[:4])))
                assert 0 < len(reels) < sum(count for _, count in app.shelf.values("verdict"))
                assert str(app.screen.query_one("#state", Static).content).startswith(f"{len(reels)} of ")
                assert hand.pressed <= 6

    run(test)


def test_a_forecast_is_started_with_four_keys(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with anywhere(desk) as (app, _, hand):
                await hand.press("6")
                assert isinstance(app.screen, NeedsScreen)
                assert "on hand" in str(app.screen.query_one("#standing", Static).content)
                assert hand.pressed <= 4

    run(test)


def test_a_wipe_takes_no_fewer_than_three_acts_each_with_something_to_say(tmp_path: Path) -> None:
    """Three times F2, with something typed or ticked before each: see the tests of the wipe for what each refuses."""

    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            (clear, *_) = (answer.reel for answer in desk.advise() if answer.verdict == "clear")
            async with anywhere(desk) as (app, _, hand):
                app.push_screen(WipeScreen(clear))
                for _ in range(3):
                    await hand.press("f2", "enter")
                with desk.store.reading() as reader:
                    assert reader.raw("SELECT count(*) FROM wipes WHERE reel = ?", (clear,)) == [(0,)]

    run(test)
