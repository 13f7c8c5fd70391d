"""Checking a database file: the engine's own checks, the schema, every hash of the journal."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from stock.store.engine import make_private_file, open_engine, peek, refuse_other_files
from stock.store.errors import StoreError
from stock.store.merged import READ_ERRORS
from stock.store.reader import Reader
from stock.store.schema import expected_schema_text, schema_text, step
from stock.store.tables import SCHEMA, STEPS
from stock.store.verify import Finding, verify


def check(path: Path, *, head: str | None = None) -> list[Finding]:
    """What is wrong with a database file; empty where nothing is.

    head: a journal hash printed earlier, or its beginning; a file that lost the lines up to it is then found. Never
    raises for a damaged, missing or foreign file, and changes nothing. The file is read as it is at one moment; of one
    of an older schema a copy is brought to the newest first, and that is checked.
    """
    try:
        refuse_other_files(path)
        with closing(peek(path)) as connection:
            connection.execute("PRAGMA query_only=ON")
            connection.execute("BEGIN")
            if _is_older(connection, path):
                return _check_migrated(connection, path, head)
            return _check(connection, path, head)
    except StoreError as error:
        return [Finding(error.code, str(path), str(error))]
    except (*READ_ERRORS, OSError) as error:
        return [Finding("unreadable", str(path), str(error))]


def _is_older(connection: sqlite3.Connection, path: Path) -> bool:
    try:
        return step(connection, path) != SCHEMA
    except (StoreError, *READ_ERRORS):
        # Told in more words by the check itself.
        return False


def _check_migrated(connection: sqlite3.Connection, path: Path, head: str | None) -> list[Finding]:
    # Alembic takes longer to import than everything else here, and is hardly ever needed.
    from sqlalchemy.exc import DBAPIError

    from stock.store.migrations.run import UPGRADES, migrate

    with TemporaryDirectory(prefix="reelward-check-") as folder:
        copy = Path(folder) / "copy.db"
        make_private_file(copy)
        with closing(sqlite3.connect(copy, isolation_level=None)) as made:
            connection.backup(made)
        engine = open_engine(copy)
        try:
            migrate(engine, UPGRADES)
        except DBAPIError as error:
            return [Finding("unreadable", str(path), f"it cannot be brought to the newest schema: {error.orig}")]
        finally:
            engine.dispose()
        with closing(peek(copy)) as migrated:
            return _check(migrated, path, head)


def _check(connection: sqlite3.Connection, path: Path, head: str | None) -> list[Finding]:
    try:
        step(connection, path)
    except StoreError as error:
        return [Finding(error.code, str(path), str(error))]
    except READ_ERRORS:
        # Told in more words by the parts below.
        pass
    found: list[Finding] = []
    parts: tuple[Callable[[], Iterator[Finding]], ...] = (
        lambda: _engine(connection),
        lambda: _references(connection),
        lambda: _schema(connection),
        lambda: verify(Reader(connection)),
        lambda: _head(connection, head),
    )
    for part in parts:
        try:
            found.extend(part())
        except READ_ERRORS as error:
            found.append(Finding("unreadable", str(path), str(error)))
    return found


def _engine(connection: sqlite3.Connection) -> Iterator[Finding]:
    for (says,) in connection.execute("PRAGMA integrity_check"):
        if says != "ok":
            yield Finding("engine", "integrity_check", str(says))


def _references(connection: sqlite3.Connection) -> Iterator[Finding]:
    for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check"):
        yield Finding("engine", f"{table} {row}", f"it points to a row of {parent} that is not there")


def _schema(connection: sqlite3.Connection) -> Iterator[Finding]:
    found, expected = schema_text(connection), expected_schema_text()
    for kind, name in sorted(expected.keys() - found.keys()):
        yield Finding("schema-missing", f"{kind} {name}", "it is not there")
    for kind, name in sorted(found.keys() - expected.keys(), key=repr):
        yield Finding("schema-added", f"{kind} {name}", "it is none of this program's")
    for kind, name in sorted(expected.keys() & found.keys()):
        if found[kind, name] != expected[kind, name]:
            yield Finding("schema-changed", f"{kind} {name}", "it is not as this program makes it")
    steps = [row for (row,) in connection.execute("SELECT step FROM schema_steps ORDER BY step")]
    if steps != list(STEPS):
        yield Finding("schema-changed", "schema_steps", f"the steps read {steps!r}")


def _head(connection: sqlite3.Connection, head: str | None) -> Iterator[Finding]:
    if head is None:
        return
    for (sha256,) in connection.execute("SELECT sha256 FROM journal ORDER BY line DESC"):
        if isinstance(sha256, str) and head and sha256.startswith(head.lower()):
            return
    yield Finding("tail-missing", "journal", f"no line has the hash {head}")
