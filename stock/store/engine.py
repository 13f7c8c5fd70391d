"""Opening the database file: which targets are taken, how its connections are set up, how transactions begin.

The rollback journal is used on every version of the SQLite library, for write-ahead logging has a race between two
connections before 3.51.3. Its mode is TRUNCATE: with synchronous=FULL SQLite syncs the journal's truncation, which is
what commits, while the unlinking of mode DELETE is not synced and could come undone in a power loss.
"""

from __future__ import annotations

import os
import sqlite3
import stat
from pathlib import Path

from sqlalchemy import Connection, Engine, QueuePool, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from stock.store.errors import NetworkFileSystem, NotADatabase, NotAFile, UnsupportedUrl
from stock.store.network import network_file_system

BUSY_MS = 10_000
"""How long a connection waits for somebody else's lock."""

BEGIN = "reelward_begin"
"""The execution option that says how a connection's transaction begins."""

_MAGIC = b"SQLite format 3\0"
_READ_FORMAT = 19
_WRITE_AHEAD = 2
"""The byte of the header that says how the file is read, and its value for a write-ahead log (SQLite file format)."""


def database_path(target: str | Path) -> Path:
    """The absolute path of a target: a path, or a `sqlite:///` URL (UnsupportedUrl for any other)."""
    if isinstance(target, str) and "://" in target:
        try:
            url = make_url(target)
        except ArgumentError as error:
            raise UnsupportedUrl(target=target) from error
        if url.get_backend_name() != "sqlite" or url.query or url.database in (None, "", ":memory:"):
            raise UnsupportedUrl(target=url.render_as_string(hide_password=True))
        target = str(url.database)
    return Path(target).expanduser().resolve()


def refuse_network(path: Path) -> None:
    """NetworkFileSystem where the nearest folder that exists above the path is one of the network's."""
    folder = path
    while not folder.exists():
        folder = folder.parent
    kind = network_file_system(folder)
    if kind is not None:
        raise NetworkFileSystem(path=path, filesystem=kind)


def refuse_other_files(path: Path) -> None:
    """NotAFile or NotADatabase for a path that exists and is no SQLite file."""
    if not stat.S_ISREG(path.stat().st_mode):
        raise NotAFile(path=path)
    if _beginning(path)[: len(_MAGIC)] != _MAGIC:
        raise NotADatabase(path=path)


def _beginning(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(_READ_FORMAT + 1)


def peek(path: Path) -> sqlite3.Connection:
    """A connection to look at a file that may be another program's: it changes nothing in it.

    A journal left by a crash is rolled back, as by any reader; a file in write-ahead mode is read as it stands.
    """
    immutable = "&immutable=1" if _beginning(path)[_READ_FORMAT] == _WRITE_AHEAD else ""
    connection = sqlite3.connect(
        f"{path.as_uri()}?mode=rw{immutable}", uri=True, isolation_level=None, timeout=BUSY_MS / 1000
    )
    connection.execute("PRAGMA trusted_schema=OFF").close()
    return connection


def close_to_others(path: Path) -> None:
    """Take every right to the file from those who are neither its owner nor in its group, where we own it."""
    found = path.stat()
    if found.st_mode & stat.S_IRWXO and found.st_uid == os.geteuid():
        path.chmod(stat.S_IMODE(found.st_mode) & ~stat.S_IRWXO)


def connect(path: Path) -> sqlite3.Connection:
    """One connection to a file that exists, set up as the house's rules ask; it begins no transaction by itself."""
    connection = sqlite3.connect(
        f"{path.as_uri()}?mode=rw", uri=True, isolation_level=None, check_same_thread=False, timeout=BUSY_MS / 1000
    )
    for pragma in (
        f"busy_timeout={BUSY_MS}",
        "journal_mode=TRUNCATE",
        "synchronous=FULL",
        "foreign_keys=ON",
        "trusted_schema=OFF",
    ):
        connection.execute(f"PRAGMA {pragma}").close()
    return connection


def open_engine(path: Path) -> Engine:
    """An engine on a file that exists; a transaction begins with what the option `BEGIN` says, else deferred."""
    engine = create_engine(
        "sqlite://", creator=lambda: connect(path), poolclass=QueuePool, pool_size=5, max_overflow=-1
    )

    # The driver is told to begin nothing by itself (see `connect`): it begins nothing for a SELECT or a CREATE TABLE.
    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        connection.exec_driver_sql(connection.get_execution_options().get(BEGIN, "BEGIN"))

    return engine


def connect_for_writing(engine: Engine) -> Connection:
    """A connection whose transaction takes the write lock as it begins, before anything is read."""
    return engine.connect().execution_options(**{BEGIN: "BEGIN IMMEDIATE"})


def sync_folder(folder: Path) -> None:
    """Make a folder's entries durable, after a file was made or renamed in it."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_private_file(path: Path) -> None:
    """Make an empty file that only its owner can read (FileExistsError if it is there)."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def make_private_folder(folder: Path) -> None:
    """Make a folder and those above it that are missing, each for its owner alone."""
    missing = [parent for parent in (folder, *folder.parents) if not parent.exists()]
    for parent in reversed(missing):
        parent.mkdir(mode=0o700, exist_ok=True)
