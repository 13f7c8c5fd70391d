"""The store: one database file, read and written in transactions."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from threading import Lock

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from stock.store import schema
from stock.store.engine import (
    close_to_others,
    connect,
    connect_for_writing,
    database_path,
    open_engine,
    peek,
    refuse_network,
    refuse_other_files,
)
from stock.store.errors import NoDatabase, NoPermission, Replaced, translated
from stock.store.reader import Reader
from stock.store.tables import SCHEMA
from stock.store.writer import Writer


def clock_us() -> int:
    """Microseconds since 1970-01-01 UTC, by this machine's clock."""
    return time.time_ns() // 1000


class Store:
    """An open database. It may be used from several threads, each in transactions of its own."""

    def __init__(self, path: Path, now_us: Callable[[], int]) -> None:
        """Use `Store.open`."""
        self.path = path
        self._now_us = now_us
        self._generation = 0
        self._attaching = Lock()
        self._attach()

    @classmethod
    def open(cls, target: str | Path, *, create: bool = True, now_us: Callable[[], int] | None = None) -> Store:
        """Open the database at a path or `sqlite:///` URL, making it where it is not there and `create` says so.

        A file of an older schema is backed up and migrated. Refusals: every `StoreError` of the family in
        `stock.store.errors`; a file that is refused is not touched.
        """
        path = database_path(target)
        now_us = now_us or clock_us
        with _translating(path):
            if not path.exists():
                if not create:
                    raise NoDatabase(path=path)
                refuse_network(path)
                schema.make(path, now_us())
            return cls(path, now_us)

    @contextmanager
    def reading(self) -> Iterator[Reader]:
        """One state of the store to read from; leave it soon, for it keeps writers from committing."""
        with self._transaction(lambda engine: engine.connect()) as driver:
            reader = Reader(driver)
            try:
                yield reader
            finally:
                reader.close()

    @contextmanager
    def writing(self) -> Iterator[Writer]:
        """A transaction that holds the write lock before it reads; what is not committed when it is left is undone."""
        with self._transaction(connect_for_writing) as driver:
            writer = Writer(driver)
            try:
                yield writer
            finally:
                writer.close()

    def data_version(self) -> int:
        """A number that changes when anything was committed, by this program or another, or the file was replaced."""
        with _translating(self.path):
            self._follow()
            (version,) = self._watch.execute("PRAGMA data_version").fetchone()
            return self._generation << 32 | int(version)

    def close(self) -> None:
        """Close every connection."""
        self._watch.close()
        self._engine.dispose()

    @contextmanager
    def _transaction(self, begin: Callable[[Engine], Connection]) -> Iterator[sqlite3.Connection]:
        with _translating(self.path):
            self._follow()
            with begin(self._engine) as connection:
                connection.begin()
                # Replaced between the look above and the lock: what is written now would go into a file with no name.
                if self._identity() != self._attached:
                    raise Replaced(path=self.path)
                driver = connection.connection.driver_connection
                assert isinstance(driver, sqlite3.Connection)
                yield driver

    def _attach(self) -> None:
        refuse_network(self.path)
        refuse_other_files(self.path)
        attached = self._identity()
        with closing(peek(self.path)) as connection:
            older = schema.step(connection, self.path) != SCHEMA
        if older:
            # Alembic takes longer to import than everything else here, and is hardly ever needed.
            from stock.store.migrations.run import migrate_after_backup

            migrate_after_backup(self.path, self._now_us())
        close_to_others(self.path)
        self._engine = open_engine(self.path)
        self._watch = connect(self.path)
        self._attached = attached

    def _follow(self) -> None:
        """Open the file anew where another one stands in its place, as after a restore."""
        if self._identity() != self._attached:
            with self._attaching:
                if self._identity() != self._attached:
                    self.close()
                    self._generation += 1
                    self._attach()

    def _identity(self) -> tuple[int, int]:
        try:
            found = self.path.stat()
        except FileNotFoundError as error:
            raise NoDatabase(path=self.path) from error
        return found.st_dev, found.st_ino


@contextmanager
def _translating(path: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise translated(error, path) from error
    except DBAPIError as error:
        if isinstance(error.orig, sqlite3.Error):
            raise translated(error.orig, path) from error
        raise
    except PermissionError as error:
        raise NoPermission(path=path, says=error) from error
