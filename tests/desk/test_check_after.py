"""After all that a desk does, a check finds nothing; after a changed cell it finds that."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from stock.core.kinds import KINDS, Kind, columns
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, Unproved
from stock.desk.exchanging import dump, load
from stock.store.check import check

from .entries import FULL, add
from .houses import facts_of, load_well, open_desk, write_house
from .odd_house import ODD


def test_nothing_is_found_after_entering_voiding_refusing_loading_and_dumping(known: Desk, tmp_path: Path) -> None:
    for kind, cells in FULL.items():
        known.add(kind, cells)
    known.void(add(known, "move", reel="R1", kind="shelf"), "slip")
    with pytest.raises(CannotEnter):
        add(known, "pass", reel="R1", kind="play", start="0 ft", end="9000 ft")
    with pytest.raises(Unproved):
        add(known, "edit", reel="R1", start="100 ft", end="200 ft")
    assert load(
        known, write_house({"passes.csv": [{"reel": "R1", "date": "x", "kind": "play"}]}, tmp_path / "bad")
    ).found
    load_well(
        known, write_house({"moves.csv": [{"reel": "R1", "date": "2026-03-01", "kind": "back"}]}, tmp_path / "good")
    )
    dump(known, tmp_path / "dump")
    assert check(known.store.path) == []


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A house with every kind of fact."""
    folder = tmp_path_factory.mktemp("house")
    desk = open_desk(folder)
    load_well(desk, write_house(ODD, folder / "folder"))
    desk.close()
    assert check(desk.store.path) == []
    return desk.store.path


def changed(house: Path, copy: Path, *statements: str) -> Path:
    """A copy of a database changed by somebody who takes the triggers away first and puts them back."""
    copy.write_bytes(house.read_bytes())
    with closing(sqlite3.connect(copy, isolation_level=None)) as connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            assert connection.execute(statement).rowcount == 1
        for _, sql in triggers:
            connection.execute(sql)
    return copy


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_changed_cell_of_any_kind_is_found(house: Path, tmp_path: Path, kind: Kind) -> None:
    text = next(column.name for column in columns(kind) if not column.integer)
    newest = f"entry = (SELECT max(entry) FROM {kind.file})"
    path = changed(house, tmp_path / "house.db", f"UPDATE {kind.file} SET \"{text}\" = 'another' WHERE {newest}")
    assert {finding.code for finding in check(path)} == {"facts-changed"}


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE places SET lo = lo + 1 WHERE seq = 1 AND entry = (SELECT max(entry) FROM places)",
        "UPDATE takes SET lo = lo + 1 WHERE entry = (SELECT max(entry) FROM takes)",
        "DELETE FROM holds WHERE entry = (SELECT max(entry) FROM holds)",
        "UPDATE voids SET target = target + 1 WHERE entry = (SELECT max(entry) FROM voids)",
        "UPDATE passes SET day = day - 1 WHERE entry = (SELECT max(entry) FROM passes WHERE day IS NOT NULL)",
    ],
)
def test_a_changed_place_date_or_void_and_a_fact_gone_are_found(house: Path, tmp_path: Path, statement: str) -> None:
    assert check(changed(house, tmp_path / "house.db", statement)) != []


def test_the_dump_of_a_changed_house_does_not_load_over_the_true_one(demo: Desk, tmp_path: Path) -> None:
    (tmp_path / "changed").mkdir()
    newest = "entry = (SELECT max(entry) FROM holds)"
    file = changed(
        demo.store.path, tmp_path / "changed" / "house.db", f"UPDATE holds SET reason = 'none' WHERE {newest}"
    )
    other = open_desk(file.parent)
    dump(other, tmp_path / "dump")
    other.close()
    before = facts_of(demo)
    loaded = load(demo, tmp_path / "dump")
    assert [(problem.file, problem.column) for problem in loaded.problems] == [("holds.csv", "entry")]
    assert facts_of(demo) == before
