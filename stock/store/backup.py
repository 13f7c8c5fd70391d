"""Backups: whole copies by SQLite's online backup, kept for days and weeks, and restored only if they are sound."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import uuid
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from stock.core.moments import datetime_of
from stock.store.check import check
from stock.store.engine import (
    connect,
    make_private_file,
    make_private_folder,
    peek,
    refuse_network,
    refuse_other_files,
    sync_folder,
)
from stock.store.errors import BackupDamaged, Damaged, NewerSchema, NoDatabase, NotADatabase, NotAFile, translated
from stock.store.reader import Reader
from stock.store.schema import step

DAYS_KEPT = 14
WEEKS_KEPT = 8
HEAD_DIGITS = 12
"""How much of the journal's head hash stands in a backup's name."""

_STAMP = "%Y%m%dT%H%M%SZ"
_NAME = re.compile(r"reelward-(\d{8}T\d{6}Z)-[0-9a-f]{12}\.db")


def backup_folder(path: Path) -> Path:
    """Where the backups of a database are kept unless somebody says otherwise: in a folder of its own beside it."""
    return path.with_name(f"{path.stem}-backups")


def backup(store_path: Path, folder: Path, now_us: int) -> Path:
    """Copy a database as it is at one moment into the folder, named by the time and the journal's head hash.

    The copy appears whole and is on the disk when this returns. StoreError where the database cannot be read.
    """
    return _copy(store_path, folder, "reelward", now_us)


def daily_backup_due(folder: Path, now_us: int) -> bool:
    """Whether no backup of this day (UTC) is in the folder yet."""
    today = datetime_of(now_us).date()
    return all(made.date() != today for made, _ in _backups(folder))


def prune(folder: Path, now_us: int) -> list[Path]:
    """Delete the backups that are not kept, and return them.

    Kept are all of today's and later ones, the newest of each of the last 14 days, and the newest of each of the last
    8 weeks (ISO weeks, UTC). Files with other names are let be.
    """
    today = datetime_of(now_us).date()
    kept: set[Path] = set()
    days: set[int] = set()
    weeks: set[int] = set()
    for made, path in _backups(folder):
        day = made.date().toordinal()
        # Ordinal 1 is a Monday.
        week = (day - 1) // 7
        if made.date() >= today:
            kept.add(path)
        if day not in days and day > today.toordinal() - DAYS_KEPT:
            kept.add(path)
        if week not in weeks and week > (today.toordinal() - 1) // 7 - WEEKS_KEPT:
            kept.add(path)
        days.add(day)
        weeks.add(week)
    gone = [path for _, path in _backups(folder) if path not in kept]
    for path in gone:
        path.unlink()
    return gone


def restore(backup_file: Path, target: Path, now_us: int) -> Path | None:
    """Put a backup in the place of a database, and return where the database that stood there is kept, if one did.

    The backup is checked in full first (BackupDamaged, NewerSchema, NoDatabase: nothing is touched). Programs that have
    the database open go over to the restored one at their next transaction.
    """
    _require_sound(backup_file)
    refuse_network(target)
    if target.exists() and not target.is_file():
        raise NotAFile(path=target)
    make_private_folder(target.parent)
    unfinished = target.with_name(f".{target.name}.{uuid.uuid4().hex}.new")
    kept: Path | None = None
    try:
        _copy_file(backup_file, unfinished)
        if not target.exists():
            unfinished.rename(target)
        else:
            with _nobody_writing(target):
                kept = _kept(target, now_us)
                # A journal a crash left was rolled back by those who looked; it must not be taken for the new file's.
                target.with_name(f"{target.name}-journal").unlink(missing_ok=True)
                unfinished.replace(target)
    finally:
        unfinished.unlink(missing_ok=True)
    sync_folder(target.parent)
    return kept


def _require_sound(backup_file: Path) -> None:
    if not backup_file.exists():
        raise NoDatabase(path=backup_file)
    findings = check(backup_file)
    if not findings:
        return
    if findings[0].code == NewerSchema.code:
        with closing(peek(backup_file)) as connection:
            step(connection, backup_file)
    raise BackupDamaged(path=backup_file, says="; ".join(f"{found.where}: {found.says}" for found in findings[:3]))


@contextmanager
def _nobody_writing(target: Path) -> Iterator[None]:
    """Hold the write lock of a database while another takes its place; one that cannot be read has none to hold."""
    with ExitStack() as stack:
        try:
            stack.enter_context(closing(connect(target))).execute("BEGIN IMMEDIATE")
        except sqlite3.Error as error:
            says = translated(error, target)
            if not isinstance(says, (Damaged, NotADatabase)):
                raise says from error
        yield


def _kept(target: Path, now_us: int) -> Path:
    """Keep the database that is about to be replaced: byte for byte where it cannot be read."""
    try:
        return _copy(target, target.parent, f"{target.name}.before-restore", now_us)
    except (Damaged, NotADatabase):
        damaged = target.with_name(f"{target.name}.before-restore-{_stamp(now_us)}-damaged-{uuid.uuid4().hex[:8]}.db")
        _copy_file(target, damaged)
        sync_folder(target.parent)
        return damaged


def _copy(store_path: Path, folder: Path, stem: str, now_us: int) -> Path:
    if not store_path.exists():
        raise NoDatabase(path=store_path)
    refuse_other_files(store_path)
    make_private_folder(folder)
    unfinished = folder / f".{stem}-{uuid.uuid4().hex}.new"
    try:
        make_private_file(unfinished)
        head = _copy_online(store_path, unfinished)
        _sync(unfinished)
        path = folder / f"{stem}-{_stamp(now_us)}-{head[:HEAD_DIGITS]}.db"
        unfinished.replace(path)
    except sqlite3.Error as error:
        raise translated(error, store_path) from error
    finally:
        unfinished.unlink(missing_ok=True)
    sync_folder(folder)
    return path


def _copy_online(store_path: Path, unfinished: Path) -> str:
    """Copy one state of the database and return the head hash of that state."""
    with closing(peek(store_path)) as looked_at, suppress(NewerSchema):
        step(looked_at, store_path)
    with closing(connect(store_path)) as source, closing(sqlite3.connect(unfinished, isolation_level=None)) as copy:
        # Nothing reads the copy before it is whole and synced, so it needs no journal of its own.
        copy.execute("PRAGMA journal_mode=OFF").close()
        copy.execute("PRAGMA synchronous=OFF").close()
        source.backup(copy)
        head = Reader(copy).head()
    if head is None:
        raise Damaged(says="its journal is empty")
    return head.sha256


def _copy_file(source: Path, copy: Path) -> None:
    make_private_file(copy)
    shutil.copyfile(source, copy)
    _sync(copy)


def _sync(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())


def _stamp(now_us: int) -> str:
    return datetime_of(now_us).strftime(_STAMP)


def _backups(folder: Path) -> list[tuple[datetime, Path]]:
    """The backups in a folder and when they were made, newest first."""
    if not folder.is_dir():
        return []
    found = [(match[1], path) for path in folder.iterdir() if (match := _NAME.fullmatch(path.name))]
    return [(datetime.strptime(stamp, _STAMP).replace(tzinfo=UTC), path) for stamp, path in sorted(found, reverse=True)]
