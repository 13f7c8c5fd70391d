"""Entering facts from a reel's page: the choice of kinds, the forms, and what happens to what is typed."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine, Mapping
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Select, Static

from stock.core.kinds import BY_NAME, KINDS
from stock.core.measure import FOOT, IPS
from stock.desk.beginning import beginning
from stock.desk.desk import GUARDED, Desk
from stock.edge.visible import safe
from tests.tui.reel_fixtures import (
    HOSTILE,
    LARGE,
    SMALL,
    PageApp,
    check_picture,
    demo_desk,
    keys,
    page_of,
    settled,
    where_it_says,
)
from tui.dialogs.choose_kind import ChooseKind
from tui.dialogs.entry import EntryDialog
from tui.present.entry import starting_entry
from tui.present.kinds import BY_LETTER, LETTERS, field_order, kinds_found, kinds_of_a_reel
from tui.present.tape import tape_of
from tui.widgets.field_row import FieldRow, OfferRow
from tui.widgets.page_keys import PageKeys
from tui.widgets.tape_map import TapeMap
from tui.widgets.typed import Typed


def run(test: Callable[[], Coroutine[Any, Any, None]]) -> None:
    asyncio.run(test())


async def open_form(pilot: Pilot[None], kind: str) -> EntryDialog:
    """Open the form of a kind as somebody does who types its whole name."""
    await keys(pilot, "a")
    pilot.app.screen.query_one(Typed).value = kind.replace("-", " ")
    await settled(pilot)
    await keys(pilot, "enter")
    form = pilot.app.screen
    assert isinstance(form, EntryDialog)
    return form


def row_of(form: EntryDialog, column: str) -> FieldRow:
    (row,) = (row for row in form.query(FieldRow) if row.column == column)
    return row


async def fill(pilot: Pilot[None], form: EntryDialog, cells: Mapping[str, str]) -> None:
    for column, text in cells.items():
        row = row_of(form, column)
        for typed in row.query(Typed):
            typed.value = text
        for select in row.query(Select):
            select.value = text
    await settled(pilot)


def newest_of(desk: Desk, reel: str, kind: str) -> str:
    return max((line for line in desk.history(reel) if line.kind.name == kind), key=lambda line: line.entry).says


EACH_KIND: list[tuple[str, dict[str, str], str]] = [
    ("pass", {"kind": "play", "end": "600 ft"}, "play"),
    ("splice", {"kind": "repair", "state": "sound"}, "repair"),
    ("finding", {"kind": "dropout", "severity": "1", "end": "500 ft"}, "dropout"),
    ("take", {"title": "Slow Ferry", "take": "1", "end": "2100 ft"}, "Slow Ferry"),
    ("hold", {"hold": "H-9", "reason": "mix not signed off"}, "H-9"),
    ("release", {"granted_by": "Tilda Voss"}, "Tilda Voss"),
    ("move", {"kind": "out", "to": "the cutting room"}, "the cutting room"),
    ("decision", {"keep": "keep"}, "keep"),
    ("listen", {}, "SW-7"),
    ("zero-mark", {}, ""),
    ("response", {"frequency_hz": "10 kHz", "level_db": "-0.5"}, "10000 Hz"),
    ("retirement", {"reason": "worn"}, "worn"),
]


@pytest.mark.parametrize(("kind", "cells", "says"), EACH_KIND, ids=[each[0] for each in EACH_KIND])
def test_each_kind_of_fact_is_entered(tmp_path: Path, kind: str, cells: dict[str, str], says: str) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            before = len(desk.history("M-0107"))
            async with page_of(desk, "M-0107") as (app, pilot):
                app.page.query_one(TapeMap).go(475 * FOOT)
                form = await open_form(pilot, kind)
                await fill(pilot, form, cells)
                await keys(pilot, "f2")
                assert app.screen is app.page
            assert len(desk.history("M-0107")) == before + 1
            assert says in newest_of(desk, "M-0107", kind)

    run(test)


def test_a_hold_is_ended_and_tape_is_joined_elsewhere(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            desk.add("hold", {"hold": "H-9", "reel": "M-0155", "reason": "a claim"})
            async with page_of(desk, "M-0155") as (app, pilot):
                assert "keep" in app.said("verdict")
                await open_form(pilot, "hold-end")
                await keys(pilot, "f2")
                assert "blank" in app.said("verdict")
                form = await open_form(pilot, "edit")
                await fill(pilot, form, {"start": "0 ft", "end": "40 ft", "to_reel": "M-0106", "to_at": "0 ft"})
                await keys(pilot, "f2")
                assert "2460 ft" in app.said("about")

    run(test)


def test_the_form_opens_with_what_the_map_shows(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                app.page.query_one(TapeMap).go(475 * FOOT + FOOT // 2)
                form = await open_form(pilot, "splice")
                assert form.cells | {"kind": "", "state": ""} == form.cells
                assert (form.cells["reel"], form.cells["at"]) == ("M-0107", "475.5 ft")
                assert (form.cells["speed"], form.cells["date"], form.cells["by"]) == ("15 ips", "", "")
                assert row_of(form, "by").query_one(Typed).placeholder == "Tess Amblin"
                await keys(pilot, "escape")
                app.page.query_one(TapeMap).go(1_450_001)
                form = await open_form(pilot, "decision")
                assert (form.cells["title"], form.cells["take"]) == ("Breakwater", "1")
                assert form.cells["project"] == "Slack Water"
                await keys(pilot, "escape")
                form = await open_form(pilot, "take")
                assert form.cells["start"] == "145.0001 m"

    run(test)


def test_an_offer_fills_the_fields(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (_, pilot):
                form = await open_form(pilot, "decision")
                form.query_one(OfferRow).query_one(Select).value = 1
                await settled(pilot)
                assert (form.cells["title"], form.cells["take"]) == ("Breakwater", "3")
                await keys(pilot, "escape")
                form = await open_form(pilot, "finding")
                choices = form.query_one(OfferRow).query_one(Select)
                choices.value = 1
                await settled(pilot)
                assert (form.cells["start"], form.cells["end"]) == ("", "")

    run(test)


def test_a_refusal_is_told_beside_the_field_and_what_was_typed_stays(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            before = desk.history("M-0107")
            async with page_of(desk, "M-0107") as (app, pilot):
                form = await open_form(pilot, "splice")
                typed = {"at": "9 kg", "speed": "quickly", "note": "by the door"}
                await fill(pilot, form, typed)
                await keys(pilot, "f2")
                assert app.screen is form
                assert form.cells | typed == form.cells
                says = str(row_of(form, "at").query_one(".error", Static).render())
                assert "9 kg is a mass; a place on the reel was expected" in says
                assert row_of(form, "speed").has_class("-wrong")
                assert not row_of(form, "note").has_class("-wrong")
                assert app.focused in row_of(form, "at").query(Typed)
                await fill(pilot, form, {"at": "9 ft", "speed": "15 ips"})
                await keys(pilot, "f2")
                assert app.screen is app.page
            assert len(desk.history("M-0107")) == len(before) + 1

    run(test)


def test_no_tape_is_thrown_away_by_the_form(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            before = desk.history("M-0107")
            async with page_of(desk, "M-0107") as (app, pilot):
                form = await open_form(pilot, "edit")
                await fill(pilot, form, {"start": "0 ft", "end": "400 ft"})
                await keys(pilot, "f2")
                assert app.screen is form
                assert "the number on the reel's own label is asked for. Throw it away by Cut" in str(
                    form.query_one("#error", Static).render()
                )
            assert desk.history("M-0107") == before

    run(test)


def test_leaving_a_form_enters_nothing(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            version = desk.store.data_version()
            async with page_of(desk, "M-0107") as (app, pilot):
                form = await open_form(pilot, "hold")
                await fill(pilot, form, {"hold": "H-9", "reason": "a claim"})
                await pilot.click("#leave")
                await settled(pilot)
                assert app.screen is app.page
            assert desk.store.data_version() == version

    run(test)


def test_enter_goes_from_field_to_field_and_in_the_last_enters(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await open_form(pilot, "hold")
                await keys(pilot, *"claim", "enter", *"H-9", "enter", "enter", "enter", "enter", "enter")
                assert app.screen is app.page
            assert "H-9" in newest_of(desk, "M-0107", "hold")

    run(test)


def test_the_mouse_alone_chooses_and_enters(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                line = app.page.query_one(PageKeys)
                await pilot.click(line, offset=where_it_says(line, "a Enter"))
                await settled(pilot)
                assert isinstance(app.screen, ChooseKind)
                row = [kind.name for kind in kinds_of_a_reel()].index("listen")
                await pilot.click("#kinds", offset=(2, row))
                await settled(pilot)
                assert isinstance(app.screen, EntryDialog)
                await pilot.click("#enter")
                await settled(pilot)
                assert app.screen is app.page
            assert "SW-7" in newest_of(desk, "M-0107", "listen")

    run(test)


def test_cautions_stand_where_the_act_is(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (_, pilot):
                form = await open_form(pilot, "splice")
                assert "blades" in str(form.query_one("#caution", Static).render())
                await keys(pilot, "escape")
                form = await open_form(pilot, "finding")
                assert not form.query_one("#caution", Static).has_class("-shown")
                await fill(pilot, form, {"kind": "mould"})
                assert "respirator" in str(form.query_one("#caution", Static).render())

    run(test)


@pytest.mark.parametrize("kind", ["take", "hold"])
def test_hostile_texts_in_every_field(tmp_path: Path, kind: str) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107", LARGE) as (app, pilot):
                form = await open_form(pilot, kind)
                for text in HOSTILE:
                    await fill(pilot, form, {row.column: text for row in form.query(FieldRow) if row.query(Typed)})
                    assert all(typed.value == safe(text) for typed in form.query("FieldRow Typed").results(Typed))
                    form.action_enter_it()
                    await settled(pilot)
                    assert app.screen is form
                    assert "\x1b" not in app.export_screenshot()

    run(test)


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_note_is_entered_and_shown_as_text(tmp_path: Path, text: str) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107", LARGE) as (app, pilot):
                form = await open_form(pilot, "move")
                await fill(pilot, form, {"kind": "out", "to": text, "note": text})
                await keys(pilot, "f2")
                assert app.screen is app.page
                await keys(pilot, "tab", "tab", "down", "enter", "u", "escape")
                assert app.is_running
                assert "\x1b" not in app.export_screenshot()
            assert safe(text) in newest_of(desk, "M-0107", "move")

    run(test)


@pytest.mark.parametrize("place", [0, 475 * FOOT])
def test_no_form_begins_with_what_would_loosen_an_answer(tmp_path: Path, place: int) -> None:
    with demo_desk(tmp_path) as desk:
        (advice,) = desk.advise(["M-0107"])
        begin, tape = beginning(desk, advice), tape_of(advice)
        for kind in kinds_of_a_reel():
            cells = starting_entry(kind.name, advice, tape, place, 15 * IPS, begin).cells
            loosening = {"keep", "severity", "result", "method", "granted_by", "sample_rate_hz", "bit_depth", "until"}
            assert loosening.isdisjoint(cells), kind.name
            assert "place" not in cells, "where a copy lies is said, not assumed"
            if kind.name == "finding":
                assert cells["start"], "no look is of the whole reel in silence"


def test_one_letter_for_each_kind() -> None:
    assert len(BY_LETTER) == len(LETTERS) == len(kinds_of_a_reel())
    assert {len(letter) for letter in BY_LETTER} == {1}
    told_elsewhere = {"formulation", "stock-item", "machine", "reel", "project", "quote", "order", "receipt", "rule"}
    assert set(LETTERS) == set(BY_NAME) - told_elsewhere - set(GUARDED)


def test_each_forms_fields_are_all_there() -> None:
    for kind in KINDS:
        assert sorted(field_order(kind)) == sorted(field.name for field in kind.fields), kind.name


def test_a_letter_chooses_a_kind_and_words_find_one(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107") as (app, pilot):
                await keys(pilot, "a", "q")
                assert isinstance(app.screen, ChooseKind), "no kind has that letter, and nothing else hears it"
                await keys(pilot, "slash", *"hold", "space", "e", "enter")
                assert isinstance(app.screen, EntryDialog)
                assert "hold end" in str(app.screen.query_one("#heading", Static).render())

    run(test)


def test_kinds_are_found_by_their_first_letters() -> None:
    assert [kind.name for kind in kinds_found("sp")][0] == "splice"
    assert [kind.name for kind in kinds_found("hold e")] == ["hold-end"]
    assert [kind.name for kind in kinds_found("hold-e")] == ["hold-end"]
    assert kinds_found("zzz") == []
    assert {kind.name for kind in kinds_of_a_reel()}.isdisjoint({"wipe", "void", "reel", "order"})


@pytest.mark.parametrize(("size", "name"), [(SMALL, "80x24"), (LARGE, "120x40")])
@pytest.mark.parametrize("kind", ["splice", "take", "decision"])
def test_the_form_looks_as_it_did(tmp_path: Path, kind: str, size: tuple[int, int], name: str) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107", size) as (_, pilot):
                await open_form(pilot, kind)
                await keys(pilot, "f2") if kind != "splice" else None
                await check_picture(pilot, f"entry-{kind}-{name}")

    run(test)


def test_the_choice_looks_as_it_did(tmp_path: Path) -> None:
    async def test() -> None:
        with demo_desk(tmp_path) as desk:
            async with page_of(desk, "M-0107", SMALL) as (app, pilot):
                await keys(pilot, "a")
                await check_picture(pilot, "choose-kind-80x24")
                await keys(pilot, "z", "z")
                await check_picture(pilot, "choose-kind-none-80x24")
                assert isinstance(app, PageApp)

    run(test)
