"""A file of the first schema: it is checked and restored by way of a migrated copy, and itself is left as it is."""

from __future__ import annotations

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from stock.store.backup import restore
from stock.store.check import check
from stock.store.engine import open_engine
from stock.store.errors import BackupDamaged
from stock.store.migrations import step_0001
from stock.store.migrations.run import migrate
from stock.store.schema import step
from stock.store.store import Store
from stock.store.tables import STEPS

from .conftest import NOW_US
from .random_facts import random_facts


@pytest.fixture
def older(store: Store, tmp_path: Path) -> Path:
    """A database made by the first step alone, with the facts of one of today."""
    facts = [fact for fact in random_facts(Random(11), 80) if fact.kind.name != "mark"]
    with store.writing() as writer:
        writer.add(facts, who="Ann", what="load", at_us=NOW_US)
        writer.commit()
    path = tmp_path / "older.db"
    path.touch(mode=0o600)
    engine = open_engine(path)
    migrate(engine, {"0001": step_0001.upgrade})
    engine.dispose()
    with closing(sqlite3.connect(path)) as connection:
        tables = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").fetchall()
        connection.execute("ATTACH ? AS newer", (str(store.path),))
        for (table,) in tables:
            if table != "schema_steps":
                connection.execute(f"INSERT INTO main.{table} SELECT * FROM newer.{table}")
        connection.commit()
    assert step_of(path) == STEPS[0] != STEPS[-1]
    return path


def step_of(path: Path) -> str:
    with closing(sqlite3.connect(path)) as connection:
        return step(connection, path)


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def test_it_is_sound_and_left_as_it_is(older: Path) -> None:
    before = digest(older)
    assert check(older) == []
    assert digest(older) == before
    assert [found.code for found in check(older, head="00")] == ["tail-missing"]


def test_what_is_wrong_with_it_is_found(older: Path) -> None:
    with closing(sqlite3.connect(older)) as connection:
        connection.execute("DROP TRIGGER reels_no_update")
        connection.execute("UPDATE reels SET tracks = 99")
        connection.commit()
    found = {finding.code for finding in check(older)}
    assert "schema-missing" in found
    assert len(found) > 1, "the changed fact too"


def test_it_is_restored_and_then_migrated(older: Path, tmp_path: Path) -> None:
    target = tmp_path / "house" / "house.db"
    assert restore(older, target, NOW_US) is None
    assert step_of(target) == STEPS[0]
    store = Store.open(target, create=False)
    with store.reading() as reader:
        assert reader.raw("SELECT count(*) FROM marks") == [(0,)]
        assert reader.raw("SELECT count(*) FROM reels")[0][0] > 0
    store.close()
    assert step_of(target) == STEPS[-1]
    assert check(target) == []


def test_a_damaged_one_is_not_restored(older: Path, tmp_path: Path) -> None:
    content = bytearray(older.read_bytes())
    for place in range(8192, len(content), 512):
        content[place] ^= 1
    older.write_bytes(content)
    with pytest.raises(BackupDamaged):
        restore(older, tmp_path / "other.db", NOW_US)
    assert not (tmp_path / "other.db").exists()
