"""The database itself refuses to change a fact, whichever program asks."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from stock.core.kinds import KINDS
from stock.store.store import Store
from stock.store.tables import build

TABLES = sorted(build().tables)


@pytest.fixture
def raw(filled: Store, path: Path) -> Iterator[sqlite3.Connection]:
    """Another program's connection, with SQLite's defaults."""
    filled.close()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        yield connection


def test_every_kind_of_fact_is_among_the_tables() -> None:
    assert set(TABLES) == {kind.file for kind in KINDS} | {"journal", "house", "places", "schema_steps"}


@pytest.mark.parametrize("table", TABLES)
def test_rows_are_neither_updated_nor_deleted_nor_replaced(raw: sqlite3.Connection, table: str) -> None:
    rows = raw.execute(f"SELECT * FROM {table}").fetchall()
    assert rows, "the test needs a row to change"
    names = [f'"{row[1]}"' for row in raw.execute(f"PRAGMA table_info({table})")]
    marks = ", ".join("?" * len(names))
    key, other = names[0], names[-1]
    statements = [
        (f"UPDATE {table} SET {other} = {other}", ()),
        (f"UPDATE {table} SET {key} = {key} || '9'", ()),
        (f"DELETE FROM {table}", ()),
        (f"INSERT OR REPLACE INTO {table} VALUES ({marks})", rows[0]),
        (f"REPLACE INTO {table} VALUES ({marks})", rows[0]),
        (f"INSERT INTO {table} VALUES ({marks}) ON CONFLICT DO UPDATE SET {other} = {other}", rows[0]),
        (f"UPDATE OR REPLACE {table} SET {key} = {key}", ()),
    ]
    for statement, values in statements:
        with pytest.raises(sqlite3.IntegrityError, match=r"facts are never|voided once"):
            raw.execute(statement, values)
    assert raw.execute(f"SELECT * FROM {table}").fetchall() == rows


def test_a_void_is_not_replaced_by_another_of_the_same_fact(raw: sqlite3.Connection) -> None:
    rows = raw.execute("SELECT * FROM voids").fetchall()
    another = (9999, *rows[0][1:])
    marks = ", ".join("?" * len(another))
    with pytest.raises(sqlite3.IntegrityError, match="voided once"):
        raw.execute(f"INSERT OR REPLACE INTO voids VALUES ({marks})", another)
    assert raw.execute("SELECT * FROM voids").fetchall() == rows


def test_values_of_another_type_are_refused(raw: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.IntegrityError):
        raw.execute(
            "INSERT INTO rules (entry, line, recorded_us, rule, value, \"by\") VALUES (9999, 2, 0, 'a', x'00', 'b')"
        )
