"""Schema steps: what they make, and that each is whole or not there."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from alembic.operations import Operations
from sqlalchemy import Column, Engine, Text

from stock.store.backup import backup_folder
from stock.store.check import check
from stock.store.engine import open_engine
from stock.store.migrations.run import UPGRADES, migrate, migrate_after_backup
from stock.store.schema import schema_text
from stock.store.store import Store
from stock.store.tables import STEPS


def text_of(path: Path) -> dict[tuple[str, str], str]:
    with closing(sqlite3.connect(path)) as connection:
        return schema_text(connection)


def steps_of(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return [step for (step,) in connection.execute("SELECT step FROM schema_steps ORDER BY step")]


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    path = tmp_path / "migrated.db"
    path.touch()
    opened = open_engine(path)
    yield opened
    opened.dispose()


def test_every_step_has_its_upgrade() -> None:
    assert tuple(UPGRADES) == STEPS
    assert list(STEPS) == sorted(STEPS)


def test_a_fresh_file_and_a_migrated_one_have_one_schema(store: Store, path: Path, engine: Engine) -> None:
    """Where this fails after a kind of fact was changed, that change needs a schema step of its own."""
    migrate(engine, UPGRADES)
    migrated = path.parent / "migrated.db"
    assert text_of(migrated) == text_of(path)
    assert steps_of(migrated) == steps_of(path) == list(STEPS)
    migrate(engine, UPGRADES)
    assert steps_of(migrated) == list(STEPS)


def test_a_step_that_fails_leaves_nothing_behind(engine: Engine, tmp_path: Path) -> None:
    def fails(op: Operations) -> None:
        op.create_table("half", Column("a", Text))
        raise ZeroDivisionError

    migrate(engine, UPGRADES)
    before = text_of(tmp_path / "migrated.db")
    with pytest.raises(ZeroDivisionError):
        migrate(engine, {**UPGRADES, "0009": fails})
    assert text_of(tmp_path / "migrated.db") == before
    assert steps_of(tmp_path / "migrated.db") == list(STEPS)

    def works(op: Operations) -> None:
        op.create_table("whole", Column("a", Text))

    migrate(engine, {**UPGRADES, "0009": works})
    assert ("table", "whole") in text_of(tmp_path / "migrated.db")
    assert steps_of(tmp_path / "migrated.db") == [*STEPS, "0009"]


def test_a_backup_is_made_before_a_migration(filled: Store, path: Path) -> None:
    with filled.reading() as reader:
        made_us = reader.made_us
    migrate_after_backup(path, made_us)
    (backup,) = backup_folder(path).iterdir()
    assert check(backup) == []
