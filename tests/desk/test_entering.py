"""Facts entered one by one: every kind, with all its cells and with the fewest, and what is refused."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from stock.core.kinds import BY_NAME, KINDS
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, NotDirectly
from stock.desk.exchanging import dump
from stock.edge.plan import place_columns
from stock.exchange.source import rows as rows_of

from .entries import FOOT, FULL, add, fact, value
from .houses import NOW_US, answers_of, at, facts_of, open_desk


def test_every_kind_is_here_but_the_guarded_ones() -> None:
    assert set(FULL) == {kind.name for kind in KINDS} - {"wipe", "void"}
    for kind, cells in FULL.items():
        assert set(cells) == {field.name for field in BY_NAME[kind].fields}


@pytest.mark.parametrize("kind", FULL)
def test_a_fact_with_every_cell_is_kept_with_every_cell(known: Desk, tmp_path: Path, kind: str) -> None:
    receipt = known.add(kind, FULL[kind])
    (entry,) = receipt.entries
    with known.store.reading() as reader:
        head = reader.head()
    assert head is not None
    assert (head.line, head.who, head.what, head.facts) == (receipt.line, "Ada Quill", f"add {kind}", 1)
    dump(known, tmp_path / "dump")
    problems: list[object] = []
    (_, header), *lines = rows_of(tmp_path / "dump" / f"{BY_NAME[kind].file}.csv", problems.append)
    (row,) = [cells for _, line in lines if (cells := dict(zip(header, line, strict=True)))["entry"] == str(entry)]
    assert [column for column in FULL[kind] if not row[column]] == []
    if "by" in FULL[kind]:
        assert row["by"] == "Bo Tarn"


@pytest.mark.parametrize("kind", FULL)
def test_a_fact_with_the_fewest_cells_is_dated_now_and_by_who_is_acting(known: Desk, kind: str) -> None:
    needed = {field.name for field in BY_NAME[kind].fields if field.required} - {"date", "by"}
    if kind == "take":
        needed.add("end")
    cells = {column: cell for column, cell in FULL[kind].items() if column in needed}
    if kind == "edit":
        # without another reel it is thrown away, and a place in feet needs no speed
        assert "to_reel" not in cells
    found = fact(known, add(known, kind, **cells))
    names = {field.name for field in found.kind.fields}
    if "date" in names:
        assert (value(found, "day"), value(found, "at_us")) == (None, NOW_US)
    if "by" in names:
        assert value(found, "by") == "Ada Quill"
    assert found.recorded_us == NOW_US
    assert bool(found.places) == (found.kind.placed != "no" and kind != "response")


@pytest.mark.parametrize("kind", FULL)
def test_a_fact_without_what_it_needs_names_every_missing_column(known: Desk, kind: str) -> None:
    before = facts_of(known)
    with pytest.raises(CannotEnter) as refused:
        known.add(kind, {})
    needed = {field.name for field in BY_NAME[kind].fields if field.required} - {"date", "by"}
    missing = {problem.column for problem in refused.value.problems}
    # a place is asked for once all else can be read
    assert missing == needed - set(place_columns(BY_NAME[kind])) or missing == needed
    assert facts_of(known) == before


def test_a_date_typed_is_kept_as_a_day_or_an_instant_of_the_house(desk: Desk) -> None:
    add(desk, "rule", rule="time_zone", value="Europe/Oslo", date="2026-01-01")
    whole = fact(desk, add(desk, "pass", reel="R1", kind="play", date="2026-03-02"))
    timed = fact(desk, add(desk, "pass", reel="R1", kind="play", date="2026-03-02T10:15"))
    assert (value(whole, "day"), value(whole, "at_us")) == (20514, None)
    assert (value(timed, "day"), value(timed, "at_us")) == (None, at("2026-03-02T09:15"))


def test_two_identical_facts_entered_by_hand_are_two(desk: Desk) -> None:
    first = add(desk, "pass", reel="R1", kind="play", date="2026-03-02")
    second = add(desk, "pass", reel="R1", kind="play", date="2026-03-02")
    assert first != second
    assert fact(desk, first).values == fact(desk, second).values
    house = desk.house(["R1"])
    assert [tenths for _, _, tenths in house.wear["R1"]] == [20]


def test_an_edit_entered_twice_by_hand_finds_its_tape_gone(desk: Desk) -> None:
    cells = {"reel": "R1", "date": "2026-05-01", "start": "0 ft", "end": "40 ft", "to_reel": "R2"}
    desk.add("edit", cells)
    with pytest.raises(CannotEnter) as refused:
        desk.add("edit", cells)
    assert "not on reel R1" in str(refused.value)
    assert desk.house().layout("R1").length == 2460 * FOOT


def test_the_newest_journal_line_is_now_where_the_clock_runs_behind_it(desk: Desk, tmp_path: Path) -> None:
    behind = open_desk(tmp_path, now_us=lambda: NOW_US - 3_600_000_000)
    found = fact(behind, add(behind, "move", reel="R1", kind="shelf"))
    behind.close()
    assert (value(found, "at_us"), found.recorded_us) == (NOW_US, NOW_US)


@pytest.mark.parametrize("kind", ["wipe", "void"])
def test_a_wipe_and_a_void_are_not_entered_so(desk: Desk, kind: str) -> None:
    before = facts_of(desk)
    with pytest.raises(NotDirectly):
        desk.add(kind, {"reel": "R1", "method": "bulk", "entry": "1", "reason": "r"})
    assert facts_of(desk) == before


def test_facts_of_tomorrow_are_refused_and_plans_are_not(desk: Desk) -> None:
    with pytest.raises(CannotEnter) as refused:
        add(desk, "pass", reel="R1", kind="play", date="2026-11-21")
    assert [problem.column for problem in refused.value.problems] == ["date"]
    add(desk, "pass", reel="R1", kind="play", date="2026-11-20")
    desk.add("project", FULL["project"])
    desk.add("quote", FULL["quote"])


def test_the_day_asked_for_has_no_part_in_what_is_entered(desk: Desk, tmp_path: Path) -> None:
    earlier = Desk(desk.store, "Bo Tarn", today=date(2026, 1, 1), now_us=lambda: NOW_US)
    found = fact(desk, earlier.add("hold", {"hold": "h", "reel": "R1", "reason": "r"}).entries[0])
    assert value(found, "at_us") == NOW_US
    assert answers_of(earlier)["R1"][0] == "blank"
    assert answers_of(desk)["R1"][0] == "keep"
