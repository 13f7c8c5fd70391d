"""The reel page: what it tells, how its cursor walks, and that it keeps up with what others enter."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Coroutine
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.widgets import Input, Static

from stock.core.explain import EXPLAINED, VERDICTS_EXPLAINED
from stock.core.measure import FOOT, IPS, SECOND, length_of
from stock.desk.desk import Desk
from stock.edge.visible import safe
from tests.tui.reel_fixtures import HOSTILE, LARGE, NOW_US, SMALL, check_picture, demo_desk, keys, page_of, settled
from tui.dialogs.sheet import Sheet
from tui.present.line import text_of
from tui.present.reasons import answer_blocks, reasons_by_block
from tui.present.rows import GUTTER, LANES, draw, height_of
from tui.present.tape import tape_of
from tui.present.window import whole
from tui.screens.reel import ReelScreen
from tui.widgets.history import History
from tui.widgets.reasons import Reasons
from tui.widgets.tape_map import TapeMap


def run(test: Callable[[], Coroutine[Any, Any, None]]) -> None:
    asyncio.run(test())


def words_of(blocks: Any) -> str:
    return "\n".join(text_of(line) for block in blocks.blocks for line in block.lines)


def test_the_page_tells_verdict_and_reasons(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0151") as (app, _):
                assert "M-0151" in app.said("verdict")
                assert "keep" in app.said("verdict")
                assert "24 tracks" in app.said("about")
                reasons = words_of(app.page.query_one(Reasons))
                assert "May the recording go?  no" in reasons
                assert "transfer that stretch" in reasons
                assert "Is the tape fit?" in reasons

    run(test)


def test_what_is_at_12_40(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "g", "1", "2", "colon", "4", "0", "enter")
                said = app.said()
                assert "12:40 from the head at 15 ips" in said
                assert "950.0 ft" in said
                assert "Breakwater/1 for Slack Water" in said
                assert "passes, critical bears" in said

    run(test)


def test_a_counter_time_counts_from_the_zero_mark(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0135") as (app, pilot):
                await keys(pilot, "g", "1", "2", "colon", "4", "0", "enter")
                assert "12:40 from zero · 13:28 from the head" in app.said()

    run(test)


def test_a_place_off_the_tape_is_refused_and_stays_typed(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "g", "9", "9", "9", "9", "space", "f", "t", "enter")
                assert app.screen is not app.page
                assert app.screen.query_one(Input).value == "9999 ft"
                await keys(pilot, "escape")
                assert app.screen is app.page
                assert app.page.query_one(TapeMap).place == 0

    run(test)


def test_the_cursor_walks_in_whole_seconds_and_from_event_to_event(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                tape_map = app.page.query_one(TapeMap)
                assert tape_map.tape is not None
                await keys(pilot, "right")
                first = tape_map.place
                assert first > 0
                assert first % length_of(SECOND, tape_map.speed) == 0
                await keys(pilot, "left", "shift+right")
                assert tape_map.place == 30 * first
                await keys(pilot, "end")
                assert tape_map.place == tape_map.tape.length
                assert "end of the tape" in app.said()
                await keys(pilot, "home", "full_stop", "full_stop")
                assert tape_map.place in tape_map.tape.events
                stop = tape_map.place
                await keys(pilot, "full_stop", "comma")
                assert tape_map.place == stop

    run(test)


def test_zoom_keeps_the_place_under_the_cursor_in_its_column(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                tape_map = app.page.query_one(TapeMap)
                tape_map.go(1000 * FOOT)
                assert tape_map.window is not None
                column = tape_map.window.column(tape_map.place)
                await keys(pilot, "plus", "plus")
                assert abs(tape_map.window.column(tape_map.place) - column) <= 1
                assert tape_map.window.hi - tape_map.window.lo < 700 * FOOT
                await keys(pilot, "minus", "minus", "minus")
                assert (tape_map.window.lo, tape_map.window.hi) == (0, 2500 * FOOT)

    run(test)


def test_the_mouse_puts_the_cursor_and_zooms(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                tape_map = app.page.query_one(TapeMap)
                await pilot.click(TapeMap, offset=(1 + GUTTER + 20, 3))
                await settled(pilot)
                assert tape_map.window is not None
                assert tape_map.window.column(tape_map.place) == 20
                for wheel, size in ((events.MouseScrollUp, 1250), (events.MouseScrollDown, 2500)):
                    tape_map.post_message(wheel(tape_map, 30, 5, 0, 0, 0, False, False, False))
                    await settled(pilot)
                    assert tape_map.window.hi - tape_map.window.lo == size * FOOT
                await pilot.click("BackLink")
                await settled(pilot)
                assert len(app.screen_stack) == 1

    run(test)


def test_tab_goes_from_map_to_answers_to_history_and_enter_shows_on_the_map(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0151") as (app, pilot):
                tape_map = app.page.query_one(TapeMap)
                assert app.focused is tape_map
                await keys(pilot, "tab", "down", "enter")
                assert isinstance(app.focused, Reasons)
                assert tape_map.place == length_of(130 * SECOND, 15 * IPS)
                await keys(pilot, "tab", "end")
                history = app.page.query_one(History)
                assert app.focused is history
                assert history.line is not None
                assert history.line.kind.name == "reel"
                await keys(pilot, "shift+tab", "shift+tab")
                assert app.focused is tape_map

    run(test)


def test_the_next_speed_gives_times_and_the_answer_at_it(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0131") as (app, pilot):
                assert "32:30 at 15 ips" in app.said("verdict")
                await keys(pilot, "s")
                assert "at 30 ips" in app.said("verdict")
                assert app.page.query_one(TapeMap).speed == 30 * IPS
                await keys(pilot, "s")
                assert "at 7.5 ips" in app.said("verdict")

    run(test)


def test_void_asks_first_and_strikes_the_entry(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            before = desk.history("M-0107")
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "tab", "tab", "down", "u")
                history = app.page.query_one(History)
                assert history.line is not None
                entry = history.line.entry
                await keys(pilot, "escape")
                assert desk.history("M-0107") == before
                await keys(pilot, "u", "tab", "delete", "f2")
                assert app.screen is not app.page, "a reason is needed"
                assert desk.history("M-0107") == before
                await keys(pilot, *"wrong", "space", *"reel", "enter")
                assert app.screen is app.page
                (line,) = (line for line in desk.history("M-0107") if line.entry == entry)
                assert line.voided is not None
                assert line.voided[1:] == ("wrong reel", "Tess Amblin")
                assert "(voided: wrong reel; by Tess Amblin" in words_of(history)

    run(test)


def test_what_another_enters_is_seen_and_until_then_said_to_be_old(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            other = Desk.open(desk.store.path, "Una Thorp", now_us=lambda: NOW_US)
            async with page_of(desk, "M-0131") as (app, pilot):
                assert "clear" in app.said("verdict")
                other.add("hold", {"hold": "Lawyer", "reel": "M-0131", "reason": "a claim"})
                app.page.look()
                await settled(pilot)
                assert "keep" in app.said("verdict")
                assert "a claim" in words_of(app.page.query_one(Reasons))
                app.page.work_out()
                assert "being worked out anew" in app.said("stale")
                await settled(pilot)
                assert app.said("stale") == ""
            other.close()

    run(test)


def test_no_question_is_asked_on_the_event_loop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async def test() -> None:
        loop = threading.get_ident()
        asked: list[int] = []
        with demo_desk(tmp_path) as desk:
            reading, data_version = desk.store.reading, desk.store.data_version

            def noted_reading() -> Any:
                asked.append(threading.get_ident())
                return reading()

            def noted_version() -> int:
                asked.append(threading.get_ident())
                return data_version()

            monkeypatch.setattr(desk.store, "reading", noted_reading)
            monkeypatch.setattr(desk.store, "data_version", noted_version)
            async with page_of(desk, "M-0131") as (app, pilot):
                await keys(pilot, "s", "full_stop", "g", "escape", "a", "escape")
                app.page.look()
                await settled(pilot)
        assert asked
        assert loop not in asked

    run(test)


@pytest.mark.parametrize(("size", "name"), [(SMALL, "80x24"), (LARGE, "120x40")])
@pytest.mark.parametrize("reel", ["M-0135", "M-0151", "Q-0406", "H-0302"])
def test_it_looks_as_it_did(tmp_path: Path, reel: str, size: tuple[int, int], name: str) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, reel, size) as (_, pilot):
                await keys(pilot, "full_stop", "full_stop")
                await check_picture(pilot, f"reel-{reel}-{name}")

    run(test)


def test_everything_is_reached_by_scrolling_with_the_map_in_sight(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0143", SMALL) as (app, pilot):
                await keys(pilot, "tab", "tab", "end")
                history, below = app.page.query_one(History), app.page.query_one("#below")
                assert below.scroll_offset.y == below.max_scroll_y
                assert app.page.query_one(TapeMap).region.y == 2
                assert history.region.bottom == below.region.bottom

    run(test)


def test_hostile_texts_are_shown_as_text(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            entered = [text for text in HOSTILE if not any(ord(sign) < 32 or sign == "\u202e" for sign in text)]
            for number, text in enumerate(entered):
                cells = {"reel": "M-0155", "title": text, "take": text[:20], "project": text, "note": text}
                cells |= {"start": f"{100 + number * 60} ft", "end": f"{150 + number * 60} ft", "speed": "15 ips"}
                desk.add("take", {**cells, "tracks": f"1 {text}".replace(";", ",")})
            async with page_of(desk, "M-0155", LARGE) as (app, pilot):
                history = words_of(app.page.query_one(History))
                for text in entered:
                    assert text.split(" ")[0] in history
                for _ in range(2 * len(entered) + 4):
                    await keys(pilot, "full_stop")
                await keys(pilot, "plus", "plus", "plus", "enter", "escape", "tab", "tab", "down", "v", "escape")
                picture = app.export_screenshot()
                assert "\x1b" not in picture
                assert app.is_running

    run(test)


def test_lanes_are_left_out_and_stay_out_on_the_next_page(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                drawn = app.page.query_one(TapeMap)
                tall = drawn.size.height
                await keys(pilot, "d", "space", "tab", "tab", "space", "f2")
                shown = "\n".join(drawn.render_line(y).text for y in range(drawn.size.height))
                assert drawn.hidden == {"feet", "proof"}
                assert drawn.size.height == tall - 2
                assert "feet" not in shown
                assert "not proved" not in shown
                assert "takes" in shown
                await keys(pilot, "d", "space", "escape")
                assert drawn.hidden == {"feet", "proof"}, "left without a change"
                app.push_screen(ReelScreen("M-0151"))
                await settled(pilot)
                assert app.screen.query_one(TapeMap).hidden == {"feet", "proof"}
                await keys(pilot, "d")
                await pilot.click("#lane-feet")
                await pilot.click("#lane-proof")
                await pilot.click("#show")
                await settled(pilot)
                assert app.screen.query_one(TapeMap).hidden == frozenset()

    run(test)


def test_any_lanes_may_be_left_out_and_the_lines_are_as_many_as_said(tmp_path: Path) -> None:
    with demo_desk(tmp_path) as desk:
        (advice,) = desk.advise(["M-0151"])
        tape = tape_of(advice)
        for some in range(len(LANES) + 1):
            for hidden in map(frozenset, combinations(LANES, some)):
                lines = draw(tape, whole(tape.length, 70), 0, 381_000, hidden)
                assert len(lines) == height_of(tape, hidden)


@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_why_it_is_not_clear_is_told_in_plain_words(tmp_path: Path, size: tuple[int, int]) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0151", size) as (app, pilot):
                await keys(pilot, "e")
                sheet = app.screen
                assert isinstance(sheet, Sheet)
                said = "\n".join(str(each.content) for each in sheet.query(Static))
                assert "why is it not clear?" in said
                assert said.index("1. transfer what is missing of take Lamplighter/2") < said.index(
                    "Lamplighter/2: 2:10 to 2:42"
                )
                assert EXPLAINED["partly-transferred"].means in said
                await check_picture(pilot, f"why-{size[0]}x{size[1]}")
                desk.add("hold", {"hold": "H-9", "reel": "M-0151", "reason": "a claim"})
                sheet.look()
                await settled(pilot)
                said = "\n".join(str(each.content) for each in sheet.query(Static))
                assert EXPLAINED["on-hold"].means in said, "what anybody enters shows"
                await keys(pilot, "escape")
                assert app.screen is app.page

    run(test)


def test_the_reason_under_the_cursor_is_explained_first(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            desk.add("hold", {"hold": "H-9", "reel": "M-0151", "reason": HOSTILE[1]})
            async with page_of(desk, "M-0151") as (app, pilot):

                def first() -> str:
                    assert isinstance(app.screen, Sheet)
                    return str(app.screen.query_one(".says", Static).content)

                reasons = app.page.query_one(Reasons)
                reasons.focus()
                await keys(pilot, "home", "e")
                assert VERDICTS_EXPLAINED["keep"] in first(), "a heading is no reason"
                await keys(pilot, "escape", "down", "e")
                assert safe(HOSTILE[1]) in first()
                await keys(pilot, "escape", "down", "e")
                assert "Lamplighter/2: 2:10 to 2:42" in first()
                (advice,) = desk.advise(["M-0151"])
                entry = next(reason.facts[0] for reason in advice.reasons if reason.code == "on-hold")
                desk.void(entry, "by mistake")
                sheet = app.screen
                assert isinstance(sheet, Sheet)
                sheet.look()
                await settled(pilot)
                assert "Lamplighter/2: 2:10 to 2:42" in first(), "it stays where it is told"

    run(test)


def test_the_reason_that_is_clicked_is_explained_first(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0151", LARGE) as (app, pilot):
                await pilot.click(Reasons, offset=(6, 1))
                await settled(pilot)
                assert app.page.query_one(Reasons).reason is not None
                await keys(pilot, "e")
                assert "Lamplighter/2: 2:10 to 2:42" in str(app.screen.query_one(".says", Static).content)
                await pilot.click("Sheet Button")
                await settled(pilot)
                assert app.screen is app.page

    run(test)


def test_each_block_of_the_answers_is_its_reason(tmp_path: Path) -> None:
    with demo_desk(tmp_path) as desk:
        for advice in desk.advise():
            blocks, reasons = answer_blocks(advice, 80, 381_000), reasons_by_block(advice)
            assert len(blocks) == len(reasons)
            for block, reason in zip(blocks, reasons, strict=True):
                if reason is not None:
                    assert safe(reason.says)[:12] in " ".join(text_of(line).strip() for line in block.lines)
