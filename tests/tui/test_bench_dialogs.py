"""An inspection point by point, and a cut seen before it is entered."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot
from textual.widgets import Button

from stock.desk.desk import Desk
from tests.tui.reel_fixtures import (
    HOSTILE,
    LARGE,
    SMALL,
    check_picture,
    demo_desk,
    keys,
    page_of,
    settled,
    where_it_says,
)
from tui.dialogs.cut import CutDialog
from tui.dialogs.inspect import InspectDialog, PointLine
from tui.dialogs.read import ReadPlace
from tui.present.inspection import POINTS, Rated, findings_of, missing, sick
from tui.screens.reel import ReelScreen
from tui.widgets.heading import Lines
from tui.widgets.typed import Typed

NONE = {point.name: Rated(0) for point in POINTS}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


def newest(desk: Desk, file: str, columns: str, count: int) -> list[tuple[object, ...]]:
    with desk.store.reading() as reader:
        return reader.raw(f"SELECT {columns} FROM {file} ORDER BY entry DESC LIMIT ?", (count,))


def test_an_inspection_becomes_itself_and_its_faults() -> None:
    (only,) = findings_of("R1", NONE, ())
    assert (only["kind"], only["severity"]) == ("inspection", "0")
    assert "smell 0" in only["note"]
    rated = {**NONE, "edges": Rated(2, "0 ft", "40 ft"), "leader": Rated(1, "0 ft", "25 ft"), "shed": Rated(1)}
    _, edge, leader, shed = findings_of("R1", rated, ())
    assert edge == {"reel": "R1", "kind": "edge", "severity": "2", "start": "0 ft", "end": "40 ft"}
    assert (leader["kind"], leader["note"]) == ("other", "leader")
    assert shed == {"reel": "R1", "kind": "shedding", "severity": "1"}
    assert [point.name for point in sick(rated)] == ["shed"]


def test_a_bad_pack_that_is_gone_is_ended_and_nothing_else_is() -> None:
    standing = {"pack", "edge", "shedding", "crease", "other"}
    assert [cells["kind"] for cells in findings_of("R1", NONE, standing)] == ["inspection", "pack"]


def test_what_was_not_looked_at_is_named() -> None:
    assert missing({}) == [point.name for point in POINTS]
    assert missing({name: rated for name, rated in NONE.items() if name != "smell"}) == ["smell"]


async def test_an_inspection_by_single_keys(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "i", *["0"] * 4, "2", "enter", "enter")
        dialog = app.screen
        assert isinstance(dialog, InspectDialog)
        await keys(pilot, "f2")
        assert app.screen is dialog
        assert "not looked at yet: stretch, shed, smell, mould" in str(dialog.query_one("#error").render())
        await keys(pilot, *["0"] * 4, "f2")
        assert isinstance(app.screen, ReelScreen)
        assert newest(desk, "findings", "kind, severity, lo, hi", 2) == [
            ("crease", 2, 0, 40 * 3048),
            ("inspection", 0, 0, 2500 * 3048),
        ]


async def test_a_sick_reel_is_set_apart_and_its_batch_named(desk: Desk) -> None:
    async with page_of(desk, "M-0122", LARGE) as (app, pilot):
        await keys(pilot, "i", *["0"] * 6, "1", *["0"] * 2)
        assert "Do not play it" in str(app.screen.query_one("#caution").render())
        await keys(pilot, "f2")
        assert isinstance(app.screen, ReadPlace)
        told = app.screen.query_one("#said", Lines).text()
        assert "Keep M-0122 apart" in told
        assert "M-0121" in told and "M-0123" in told
        await keys(pilot, "escape")
        (advice,) = desk.advise(["M-0122"])
        assert {advice.fit(grade).answer for grade in ("critical", "standard", "scratch")} == {"no"}


async def test_points_are_answered_by_mouse(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "i")
        for line in app.screen.query(PointLine):
            await pilot.click(line, offset=where_it_says(line, "0 none"))
        await settled(pilot)
        dialog = app.screen
        assert isinstance(dialog, InspectDialog)
        assert {rated.severity for rated in dialog.rated.values()} == {0}
        await pilot.click("#enter")
        await settled(pilot)
        assert newest(desk, "findings", "kind, severity", 1) == [("inspection", 0)]


def cut_reels(desk: Desk) -> list[object]:
    return [reel for (reel,) in newest(desk, "edits", "reel", 99)]


async def _see(pilot: Pilot[None], **cells: str) -> str:
    for name, text in cells.items():
        pilot.app.screen.query_one(f"#{name}", Typed).value = text
    await settled(pilot)
    await keys(pilot, "f2")
    return pilot.app.screen.query_one("#drawn", Lines).text()


async def test_a_cut_is_seen_first_and_entered_then(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "b")
        seen = await _see(pilot, start="0 ft", end="300 ft")
        assert isinstance(app.screen, CutDialog)
        assert "before, 2500 ft" in seen and "after, 2200 ft" in seen
        assert "thrown away" in seen and "edge of severity 3" in seen
        (advice,) = desk.advise(["M-0106"])
        assert advice.view.length == 2500 * 3048
        assert str(app.screen.query_one("#enter", Button).label) == "F2 Throw it away"
        app.screen.query_one("#label", Typed).value = "m-0106"
        await keys(pilot, "f2")
        assert isinstance(app.screen, ReelScreen)
        (advice,) = desk.advise(["M-0106"])
        assert advice.view.length == 2200 * 3048


@pytest.mark.parametrize("label", ["", "M-0107", "yes"])
async def test_tape_is_not_thrown_away_without_its_label(desk: Desk, label: str) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "b")
        await _see(pilot, start="0 ft", end="300 ft")
        app.screen.query_one("#label", Typed).value = label
        for key in ("f2", "enter", "y", "space"):
            for _ in range(50):
                app.post_message(events.Key(key, key if len(key) == 1 else None))
            await settled(pilot)
            assert isinstance(app.screen, CutDialog)
            if key == "f2":
                assert "the wrong tape in the box" in str(app.screen.query_one("#error").render())
        assert "M-0106" not in cut_reels(desk)


async def test_a_label_scanned_is_the_one_asked_for(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "b")
        dialog = app.screen
        assert isinstance(dialog, CutDialog)
        dialog.take_scan("M-0107")
        assert dialog.query_one("#to_reel", Typed).value == "M-0107"
        await _see(pilot, start="0 ft", end="300 ft", to_reel="")
        dialog.take_scan("M-0106")
        assert dialog.query_one("#label", Typed).value == "M-0106"
        assert "M-0106" not in cut_reels(desk)
        await keys(pilot, "f2")
        assert "M-0106" in cut_reels(desk)


async def test_a_cut_seen_before_a_hold_is_refused_and_seen_anew(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "b")
        await _see(pilot, start="0 ft", end="300 ft")
        desk.add("hold", {"hold": "H-9", "reel": "M-0106", "reason": "the client rang"})
        app.screen.query_one("#label", Typed).value = "M-0106"
        await keys(pilot, "f2")
        assert isinstance(app.screen, CutDialog)
        assert "not what was shown: hold by Tess Amblin" in str(app.screen.query_one("#error").render())
        assert str(app.screen.query_one("#enter", Button).label) == "F2 See it"
        assert not app.screen.has_class("-waste")
        await keys(pilot, "f2")
        assert "may not be thrown away" in str(app.screen.query_one("#error").render())
        assert "M-0106" not in cut_reels(desk)


async def test_a_second_person_is_named_where_the_house_asks(desk: Desk) -> None:
    desk.add("rule", {"rule": "second_person_always", "value": "1"})
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "b")
        await _see(pilot, start="0 ft", end="300 ft")
        app.screen.query_one("#label", Typed).value = "M-0106"
        app.screen.query_one("#second", Typed).value = "Tess Amblin"
        await keys(pilot, "f2")
        assert "a second person" in str(app.screen.query_one("#error").render())
        await _see(pilot)
        app.screen.query_one("#label", Typed).value = "M-0106"
        app.screen.query_one("#second", Typed).value = "Pim Dacey"
        await settled(pilot)
        await pilot.click("#enter")
        await settled(pilot)
        assert "M-0106" in cut_reels(desk)


async def test_what_changed_since_it_was_seen_is_seen_again(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "b")
        await _see(pilot, start="0 ft", end="300 ft")
        app.screen.query_one("#end", Typed).value = "250 ft"
        await settled(pilot)
        assert str(app.screen.query_one("#enter", Button).label) == "F2 See it"
        await keys(pilot, "f2")
        assert isinstance(app.screen, CutDialog)
        assert "after, 2250 ft" in app.screen.query_one("#drawn", Lines).text()


async def test_what_may_not_be_thrown_away_is_refused_before_anything(desk: Desk) -> None:
    async with page_of(desk, "M-0151") as (app, pilot):
        await keys(pilot, "b")
        assert await _see(pilot, start="0 ft", end="300 ft") == ""
        assert "may not be thrown away" in str(app.screen.query_one("#error").render())
        await keys(pilot, "f2", "escape")
        (advice,) = desk.advise(["M-0151"])
        assert advice.view.length == 2500 * 3048


async def test_a_join_shows_both_reels_and_a_full_flange_is_refused(desk: Desk) -> None:
    async with page_of(desk, "M-0155", LARGE) as (app, pilot):
        await keys(pilot, "b")
        seen = await _see(pilot, start="2400 ft", end="2500 ft", to_reel="M-0156", to_at="")
        assert "M-0156 before, 2500 ft" in seen and "M-0156 after, 2600 ft" in seen
        assert await _see(pilot, start="0 ft") == ""
        assert "flange" in str(app.screen.query_one("#error").render())


async def test_what_is_typed_obeys_nothing(desk: Desk) -> None:
    async with page_of(desk, "M-0106") as (app, pilot):
        await keys(pilot, "b")
        for text in HOSTILE:
            await _see(pilot, start=text, end=text, to_reel=text, to_at=text)
            assert isinstance(app.screen, CutDialog)
            assert "\x1b" not in str(app.screen.query_one("#error").render())


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_how_they_look(desk: Desk, size: tuple[int, int]) -> None:
    async with page_of(desk, "M-0106", size) as (_, pilot):
        await keys(pilot, "i", *["0"] * 4, "2", "enter", "enter")
        await check_picture(pilot, f"inspect-{size[0]}x{size[1]}")
        await keys(pilot, "escape", "b")
        await _see(pilot, start="0 ft", end="300 ft")
        await check_picture(pilot, f"cut-{size[0]}x{size[1]}")
