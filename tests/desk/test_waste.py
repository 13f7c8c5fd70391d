"""Tape thrown away: a file may tell of it only as of before the record was begun."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from stock.core.moments import instant
from stock.desk.desk import Desk
from stock.desk.editing import throw_away
from stock.desk.errors import Unproved
from stock.desk.exchanging import dump, load
from tests.desk.clock import DAY_US, Clock

NOW_US = instant(datetime(2026, 3, 2, 12, tzinfo=UTC))


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    desk = Desk.open(tmp_path / "house.db", "Ann", now_us=clock)
    desk.add("formulation", {"formulation": "Corvane C40"})
    desk.add("stock-item", {"stock_item": "two", "formulation": "Corvane C40", "width": "2 in", "length": "2500 ft"})
    desk.add("reel", {"reel": "R1", "stock_item": "two", "tracks": "16", "owner": "house", "arrived_as": "sealed"})
    desk.add(
        "take", {"reel": "R1", "title": "Song", "take": "1", "start": "100 ft", "end": "400 ft", "speed": "15 ips"}
    )
    clock.now_us += 3 * DAY_US
    yield desk
    desk.close()


def edits(folder: Path, *rows: str) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "edits.csv").write_text("reel,date,start,end,to_reel\n" + "".join(f"{row}\n" for row in rows))
    return folder


@pytest.mark.parametrize("date", ["2026-03-02", "2026-03-04", "2026-03-02T23:00:00Z"])
def test_a_file_cannot_throw_away_a_take_nobody_has_proved(desk: Desk, tmp_path: Path, date: str) -> None:
    loaded = load(desk, edits(tmp_path / "in", f"R1,{date},100 ft,400 ft,"))
    assert [problem.column for problem in loaded.problems] == ["to_reel"]
    (answer,) = desk.advise(["R1"])
    assert answer.verdict == "keep"


def test_nor_can_the_command_but_what_may_go_is_cut(desk: Desk) -> None:
    with pytest.raises(Unproved):
        throw_away(desk, {"reel": "R1", "start": "100 ft", "end": "400 ft"}, label="R1")
    throw_away(desk, {"reel": "R1", "start": "0 ft", "end": "40 ft"}, label="R1")
    (answer,) = desk.advise(["R1"])
    assert answer.view.length == 2460 * 3048


def test_what_was_thrown_away_before_the_record_was_begun_is_told(desk: Desk, tmp_path: Path) -> None:
    assert not load(desk, edits(tmp_path / "in", "R1,2026-03-01,500 ft,540 ft,")).problems


def test_a_dump_with_a_cut_loads_elsewhere_and_again_here(desk: Desk, tmp_path: Path, clock: Clock) -> None:
    throw_away(desk, {"reel": "R1", "start": "0 ft", "end": "40 ft"}, label="R1")
    dump(desk, tmp_path / "out")
    assert load(desk, tmp_path / "out").known > 0
    clock.now_us += DAY_US
    other = Desk.open(tmp_path / "other" / "house.db", "Bob", now_us=clock)
    assert not load(other, tmp_path / "out").problems
    (answer,) = other.advise(["R1"])
    assert answer.view.length == 2460 * 3048
    other.close()
