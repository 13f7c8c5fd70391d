"""What the store refuses and what it reports: each error owns its code, its wording and its remedy."""

from __future__ import annotations

import sqlite3
from typing import ClassVar


class StoreError(Exception):
    """A refusal or failure of the store.

    code: stable word for callers and tests. wording: a template filled from the keywords given. remedy: what to do.
    """

    code: ClassVar[str] = "store"
    wording: ClassVar[str] = "{says}"
    remedy: ClassVar[str] = "Run `reelward check`."

    def __init__(self, **about: object) -> None:
        self.about = about
        super().__init__(self.wording.format(**about))


class UnsupportedUrl(StoreError):
    code = "unsupported-url"
    wording = "{target} is not a SQLite file: only a path or a sqlite:/// URL with a path is supported"
    remedy = "Give the path of the database file."


class NoDatabase(StoreError):
    code = "no-database"
    wording = "there is no database at {path}"
    remedy = "Check the path given by --db or REELWARD_DB."


class NotAFile(StoreError):
    code = "not-a-file"
    wording = "{path} is not a regular file"
    remedy = "Give the path of a database file, not of a folder, pipe or device."


class NotADatabase(StoreError):
    code = "not-a-database"
    wording = "{path} is not a SQLite database, or its beginning is lost"
    remedy = "Check the path; if it was the house's database, restore a backup."


class ForeignDatabase(StoreError):
    code = "foreign-database"
    wording = "{path} is a database of another program: it has no journal of facts"
    remedy = "Check the path given by --db or REELWARD_DB; the file was not touched."


class NewerSchema(StoreError):
    code = "newer-schema"
    wording = "{path} was written by a newer version of this program (schema step {step}, known up to {known})"
    remedy = "Use that version; the file was not touched."


class NetworkFileSystem(StoreError):
    code = "network-file-system"
    wording = "{path} lies on a network file system ({filesystem}), where file locks cannot be relied on"
    remedy = "Keep the database on a disk of this machine."


class NoPermission(StoreError):
    code = "no-permission"
    wording = "{path} cannot be opened or written: {says}"
    remedy = "Check the rights of the file and of its folder."


class Busy(StoreError):
    code = "busy"
    wording = "the database is in use by somebody else and did not come free in time"
    remedy = "Try again in a moment; nothing was recorded."


class DiskFull(StoreError):
    code = "disk-full"
    wording = "the disk is full"
    remedy = "Make room and try again; nothing was recorded."


class Damaged(StoreError):
    code = "damaged"
    wording = "the database cannot be read: {says}"
    remedy = "Run `reelward check`, and restore a backup."


class Replaced(StoreError):
    code = "replaced"
    wording = "{path} was replaced while it was in use"
    remedy = "Try again; nothing was recorded."


class EntryTaken(StoreError):
    code = "entry-taken"
    wording = "entry {entry} is there already"
    remedy = "Leave the entry number out, or load into the database it came from."


class AlreadyVoided(StoreError):
    code = "already-voided"
    wording = "entry {entry} is voided already"
    remedy = "Nothing needs to be done."


class FactRefused(StoreError):
    code = "fact-refused"
    wording = "a fact of {kind} cannot be stored: {says}"
    remedy = "Correct the fact; nothing was recorded."


class NotCommitted(StoreError):
    code = "not-committed"
    wording = "this transaction takes nothing more: it was committed, or an addition to it failed"
    remedy = "Begin another transaction."


class BackupDamaged(StoreError):
    code = "backup-damaged"
    wording = "{path} is not a sound backup: {says}"
    remedy = "Choose another backup; the database was not touched."


def translated(error: sqlite3.Error, path: object) -> Exception:
    """The store's own error for what SQLite says, or the error itself where it is a fault of the program."""
    name = getattr(error, "sqlite_errorname", "") or ""
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return Busy()
    if name.startswith("SQLITE_FULL"):
        return DiskFull()
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
        return NoPermission(path=path, says=error)
    if name.startswith("SQLITE_NOTADB"):
        return NotADatabase(path=path)
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_IOERR")):
        return Damaged(says=error)
    return error
