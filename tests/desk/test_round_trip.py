"""Loaded, dumped and loaded again: every fact and every answer the same, and nothing there twice."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from oracle.houses import random_house

from stock.core.kinds import KINDS
from stock.desk.desk import Desk
from stock.desk.exchanging import dump

from .houses import DEMO, answers_of, facts_of, load_well, open_desk, texts_of, write_house
from .odd_house import ODD

Fresh = Callable[[], Desk]
SEEDS = range(40)
CHUNK = 8


def assert_all_comes_back(desk: Desk, fresh: Fresh, folder: Path) -> None:
    """Dump, load elsewhere, compare everything, load and dump once more; nothing is ever added a second time."""
    first = dump(desk, folder / "first")
    other = fresh()
    load_well(other, folder / "first")
    assert facts_of(other) == facts_of(desk)
    assert answers_of(other) == answers_of(desk)
    assert texts_of(dump(other, folder / "second")) == texts_of(first)
    assert_known(other, folder / "first")
    assert_known(desk, folder / "first")


def assert_known(desk: Desk, folder: Path) -> None:
    """Loading a folder whose facts are all there adds nothing and writes no line."""
    before = facts_of(desk)
    again = load_well(desk, folder)
    assert (again.added, again.line) == ({}, None)
    assert again.known > 0
    assert facts_of(desk) == before


@pytest.mark.parametrize("first", range(SEEDS.start, SEEDS.stop, CHUNK))
def test_random_houses(tmp_path: Path, fresh: Fresh, first: int) -> None:
    for seed in range(first, first + CHUNK):
        folder = tmp_path / str(seed)
        written = write_house(random_house(seed), folder / "written")
        desk = fresh()
        load_well(desk, written)
        assert_known(desk, written)
        assert_all_comes_back(desk, fresh, folder)
        # what came back from a dump is what the first folder says
        assert_known(desk, written)


def test_the_demo_house(demo: Desk, fresh: Fresh, tmp_path: Path) -> None:
    assert_known(demo, DEMO)
    assert_all_comes_back(demo, fresh, tmp_path)
    with demo.store.reading() as reader:
        assert len(reader.voided()) == 5


def test_a_house_of_odd_names_marks_stripes_and_edits(fresh: Fresh, tmp_path: Path) -> None:
    desk = fresh()
    written = write_house(ODD, tmp_path / "written")
    load_well(desk, written)
    facts = facts_of(desk)
    assert {fact.kind.file for fact in facts} == {kind.file for kind in KINDS}
    assert_known(desk, written)
    assert_all_comes_back(desk, fresh, tmp_path)


def test_after_facts_were_entered_and_voided_by_hand(desk: Desk, fresh: Fresh, tmp_path: Path) -> None:
    take = {"reel": "R1", "title": "river", "take": "1", "start": "100 ft", "end": "400 ft", "speed": "15 ips"}
    made = desk.add("take", {**take, "project": "inn", "date": "2026-03-02T10:00"})
    desk.add("decision", {"reel": "R1", "title": "river", "take": "1", "keep": "discard", "by": "Bo Tarn"})
    desk.add("pass", {"reel": "R1", "kind": "play", "date": "2026-03-02"})
    desk.add("pass", {"reel": "R1", "kind": "play", "date": "2026-03-02"})
    desk.add("edit", {"reel": "R1", "start": "100 ft", "end": "500 ft", "to_reel": "R2", "to_at": "1000 ft"})
    desk.add("hold", {"hold": "h", "reel": "R2", "reason": '=asked "nicely"\nand in writing'})
    desk.void(made.entries[0], "the wrong reel")
    desk.add("take", {**take, "reel": "R2", "start": "1010 ft", "end": "1200 ft"})
    assert_all_comes_back(desk, fresh, tmp_path)
    load_well(desk, tmp_path / "second")


def test_a_name_voided_and_given_again_comes_back(desk: Desk, fresh: Fresh, tmp_path: Path) -> None:
    transfer = {"transfer": "T1", "reel": "R1", "start": "0 ft", "end": "900 ft", "speed": "15 ips"}
    files = {"tracks": "1-8", "sample_rate_hz": "96000", "bit_depth": "24"}
    first = desk.add("transfer", {**transfer, **files})
    desk.void(first.entries[0], "slip of the pen")
    desk.add("transfer", {**transfer, **files, "end": "800 ft"})
    desk.add("copy", {"transfer": "T1", "copy": "c1", "medium": "drive red", "place": "here"})
    assert_all_comes_back(desk, fresh, tmp_path)


def test_what_identical_rows_there_are_is_counted(fresh: Fresh, tmp_path: Path) -> None:
    """The n-th identical row is the n-th such fact: a folder with one row more adds that one."""
    desk = fresh()
    load_well(desk, write_house(ODD, tmp_path / "written"))
    more = {**ODD, "passes.csv": [*ODD["passes.csv"], *ODD["passes.csv"][:2]]}
    assert load_well(desk, write_house(more, tmp_path / "more")).added == {"passes": 2}
    assert_known(desk, tmp_path / "more")
    assert_known(desk, tmp_path / "written")


def test_a_dump_is_of_one_state_and_names_every_kind_by_its_file(demo: Desk, tmp_path: Path) -> None:
    written = dump(demo, tmp_path / "dump")
    assert {path.name for path in written} == {path.name for path in DEMO.glob("*.csv")}
    reopened = open_desk(tmp_path)
    assert texts_of(dump(reopened, tmp_path / "again")) == texts_of(written)
    reopened.close()
