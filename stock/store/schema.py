"""The schema of a database file: making a fresh one, the step it is at, and the text it should have."""

from __future__ import annotations

import os
import sqlite3
import uuid
from functools import cache
from pathlib import Path

from sqlalchemy import create_engine

from stock.store.engine import connect_for_writing, make_private_file, make_private_folder, open_engine, sync_folder
from stock.store.errors import ForeignDatabase, NewerSchema
from stock.store.journal import GENESIS, Line, house_sha256
from stock.store.tables import SCHEMA, STEPS, build, trigger_statements
from stock.store.writer import INSERT_LINE

SchemaText = dict[tuple[str, str], str]
"""The SQL of each table, index and trigger by (type, name)."""


def make(path: Path, now_us: int) -> None:
    """Make a fresh database; one that somebody else made at the path meanwhile is left as it is.

    It appears whole: made under another name, then linked to its own.
    """
    make_private_folder(path.parent)
    unfinished = path.with_name(f".{path.name}.{uuid.uuid4().hex}.new")
    journal = unfinished.with_name(f"{unfinished.name}-journal")
    try:
        make_private_file(unfinished)
        engine = open_engine(unfinished)
        with connect_for_writing(engine) as connection:
            build().create_all(connection, checkfirst=False)
            for statement in trigger_statements():
                connection.exec_driver_sql(statement)
            for step in STEPS:
                connection.exec_driver_sql("INSERT INTO schema_steps VALUES (?)", (step,))
            house = [("house_id", uuid.uuid4().hex), ("made_schema", SCHEMA), ("made_us", str(now_us))]
            connection.exec_driver_sql("INSERT INTO house VALUES (?, ?)", house)
            made = Line(1, now_us, "", "made", 0, None, None, house_sha256(house), GENESIS, "").sealed()
            connection.exec_driver_sql(INSERT_LINE, tuple(made))
            connection.commit()
        engine.dispose()
        _appear(unfinished, path)
    finally:
        unfinished.unlink(missing_ok=True)
        journal.unlink(missing_ok=True)
    sync_folder(path.parent)


def _appear(unfinished: Path, path: Path) -> None:
    try:
        os.link(unfinished, path)
    except FileExistsError:
        return
    except OSError:
        # A file system without links.
        if not path.exists():
            unfinished.rename(path)


def step(connection: sqlite3.Connection, path: Path) -> str:
    """The newest schema step a file has been through (ForeignDatabase, NewerSchema); nothing is written."""
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
    if not {"journal", "schema_steps"} <= tables:
        raise ForeignDatabase(path=path)
    newest: str | None = connection.execute("SELECT max(step) FROM schema_steps").fetchone()[0]
    if newest is None:
        raise ForeignDatabase(path=path)
    if newest not in STEPS:
        raise NewerSchema(path=path, step=newest, known=SCHEMA)
    return newest


def schema_text(connection: sqlite3.Connection) -> SchemaText:
    """What the file says its tables, indexes and triggers are, SQLite's own left out."""
    rows = connection.execute(
        "SELECT type, name, tbl_name, sql FROM sqlite_schema WHERE substr(name, 1, 7) <> 'sqlite_'"
    )
    return {(kind, name): f"{table}: {sql}" for kind, name, table, sql in rows}


@cache
def expected_schema_text() -> SchemaText:
    """What `schema_text` gives for a fresh file."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    engine = create_engine("sqlite://", creator=lambda: connection)
    with engine.connect() as made:
        build().create_all(made, checkfirst=False)
        for statement in trigger_statements():
            made.exec_driver_sql(statement)
        made.commit()
    found = schema_text(connection)
    connection.close()
    return found
