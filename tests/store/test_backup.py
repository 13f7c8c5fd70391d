"""Backups are whole, kept for days and weeks, and put back only when they are sound."""

from __future__ import annotations

import sqlite3
import stat
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from stock.core.moments import instant
from stock.store import engine
from stock.store.backup import backup, backup_folder, daily_backup_due, prune, restore
from stock.store.check import check
from stock.store.errors import BackupDamaged, Busy, ForeignDatabase, NewerSchema, NoDatabase, NotAFile
from stock.store.store import Store

from .conftest import NOW_US
from .random_facts import note_of

NOON = datetime(2025, 6, 15, 12, tzinfo=UTC)
NOON_US = instant(NOON)


def add(store: Store, number: int) -> None:
    with store.writing() as writer:
        writer.add([note_of(number)], who="Ann", what="test", at_us=NOW_US)
        writer.commit()


def moves(store: Store) -> int:
    with store.reading() as reader:
        return int(reader.raw("SELECT count(*) FROM moves WHERE reel LIKE 'R-%'")[0][0])


def test_a_backup_is_a_whole_database_named_by_its_time_and_head(filled: Store, path: Path, tmp_path: Path) -> None:
    with filled.reading() as reader:
        head = reader.head()
        assert head is not None
    with filled.writing() as writer:
        writer.add([note_of(1)], who="Ann", what="not yet", at_us=NOW_US)
        made = backup(path, tmp_path / "a" / "b", NOON_US)
        writer.commit()
    assert made == tmp_path / "a" / "b" / f"reelward-20250615T120000Z-{head.sha256[:12]}.db"
    assert stat.S_IMODE(made.stat().st_mode) == 0o600
    assert list(made.parent.iterdir()) == [made]
    assert check(made, head=head.sha256) == []


def test_what_is_no_house_is_not_backed_up(tmp_path: Path) -> None:
    with pytest.raises(NoDatabase):
        backup(tmp_path / "none.db", tmp_path / "backups", NOON_US)
    with closing(sqlite3.connect(tmp_path / "other.db")) as connection:
        connection.execute("CREATE TABLE songs (name)")
    with pytest.raises(ForeignDatabase):
        backup(tmp_path / "other.db", tmp_path / "backups", NOON_US)
    assert list((tmp_path / "backups").iterdir()) == []


def test_a_daily_backup_is_due_once_a_day(store: Store, path: Path) -> None:
    folder = backup_folder(path)
    assert daily_backup_due(folder, NOON_US)
    backup(path, folder, NOON_US)
    assert not daily_backup_due(folder, instant(NOON.replace(hour=23)))
    assert daily_backup_due(folder, instant(NOON + timedelta(days=1)))


def test_fourteen_days_and_eight_weeks_are_kept(tmp_path: Path) -> None:
    names = []
    for day in range(-1, 100):
        for hour in (0, 11):
            made = NOON - timedelta(days=day, hours=hour)
            names.append(f"reelward-{made:%Y%m%dT%H%M%SZ}-0123456789ab.db")
            (tmp_path / names[-1]).touch()
    others = ["notes.txt", "reelward-copy.db", "house.db.before-restore-20250101T000000Z-0123456789ab.db"]
    for name in others:
        (tmp_path / name).touch()
    gone = prune(tmp_path, NOON_US)
    left = {found.name for found in tmp_path.iterdir()}
    assert left.isdisjoint(found.name for found in gone)
    assert left >= set(others)
    kept = sorted(name[9:20] for name in left - set(others))
    # The 15th of June 2025 is a Sunday: its week is the newest of the eight, and each week's newest is its Sunday.
    daily = [NOON - timedelta(days=day) for day in range(1, 14)]
    weekly = [NOON - timedelta(days=7 * week) for week in range(2, 8)]
    today = [NOON, NOON - timedelta(hours=11), NOON + timedelta(days=1), NOON + timedelta(hours=13)]
    assert kept == sorted(f"{made:%Y%m%dT%H}" for made in (*daily, *weekly, *today))
    assert prune(tmp_path, NOON_US) == []
    assert prune(tmp_path / "none", NOON_US) == []


def test_a_restored_backup_is_what_was_backed_up_and_the_other_is_kept(store: Store, path: Path) -> None:
    add(store, 1)
    made = backup(path, backup_folder(path), NOON_US)
    add(store, 2)
    kept = restore(made, path, NOON_US)
    assert kept is not None and kept.parent == path.parent
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(kept.stat().st_mode) == 0o600
    for file, number in ((path, 1), (kept, 2)):
        assert check(file) == []
        opened = Store.open(file)
        assert moves(opened) == number
        opened.close()


def test_a_store_in_use_goes_over_to_the_restored_file(store: Store, path: Path) -> None:
    add(store, 1)
    made = backup(path, backup_folder(path), NOON_US)
    add(store, 2)
    with store.reading() as reader:
        assert reader.raw("SELECT count(*) FROM moves") == [(2,)]
    before = store.data_version()
    restore(made, path, NOON_US)
    assert store.data_version() != before
    assert moves(store) == 1
    add(store, 3)
    opened = Store.open(path)
    assert moves(opened) == moves(store) == 2
    opened.close()


def test_a_restore_waits_for_a_writer(store: Store, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = backup(path, backup_folder(path), NOON_US)
    monkeypatch.setattr(engine, "BUSY_MS", 0)
    with store.writing() as writer:
        writer.add([note_of(1)], who="Ann", what="test", at_us=NOW_US)
        with pytest.raises(Busy):
            restore(made, path, NOON_US)
        writer.commit()
    assert moves(store) == 1
    assert sorted(found.name for found in path.parent.iterdir()) == ["house-backups", "house.db", "house.db-journal"]


def test_a_backup_is_put_where_nothing_stands(filled: Store, path: Path, tmp_path: Path) -> None:
    made = backup(path, tmp_path, NOON_US)
    target = tmp_path / "new" / "house.db"
    assert restore(made, target, NOON_US) is None
    assert check(target) == []


def test_a_damaged_database_is_kept_as_it_is(store: Store, path: Path) -> None:
    add(store, 1)
    made = backup(path, backup_folder(path), NOON_US)
    store.close()
    broken = b"\0" * 5000
    path.write_bytes(broken)
    path.with_name("house.db-journal").write_bytes(b"what is left of a journal")
    kept = restore(made, path, NOON_US)
    assert kept is not None and kept.read_bytes() == broken
    assert not path.with_name("house.db-journal").exists()
    assert check(path) == []


def test_an_unsound_or_newer_backup_touches_nothing(filled: Store, path: Path, tmp_path: Path) -> None:
    damaged = backup(path, tmp_path / "damaged", NOON_US)
    newer = backup(path, tmp_path / "newer", NOON_US)
    filled.close()
    whole = damaged.read_bytes()
    at = whole.index(b"line 1")
    damaged.write_bytes(whole[:at] + b"LINE" + whole[at + 4 :])
    with closing(sqlite3.connect(newer, isolation_level=None)) as connection:
        connection.execute("INSERT INTO schema_steps VALUES ('0999')")
    before = path.read_bytes()
    with pytest.raises(BackupDamaged):
        restore(damaged, path, NOON_US)
    with pytest.raises(NewerSchema):
        restore(newer, path, NOON_US)
    with pytest.raises(NoDatabase):
        restore(tmp_path / "none.db", path, NOON_US)
    assert path.read_bytes() == before
    assert not list(path.parent.glob("*restore*"))


def test_another_programs_file_is_not_replaced(filled: Store, path: Path, tmp_path: Path) -> None:
    made = backup(path, tmp_path / "backups", NOON_US)
    other = tmp_path / "other.db"
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE songs (name)")
    before = other.read_bytes()
    with pytest.raises(ForeignDatabase):
        restore(made, other, NOON_US)
    assert other.read_bytes() == before
    with pytest.raises(NotAFile):
        restore(made, tmp_path, NOON_US)
