"""Triggers that make the tables append-only, whichever program holds the file.

A plain UPDATE or DELETE fires the first two. INSERT OR REPLACE deletes the old row without firing delete triggers, so
an insert onto a key that is there is refused as well.
"""

from __future__ import annotations

from collections.abc import Iterator

NEVER_CHANGED = "facts are never changed"
TAKEN = "facts are never replaced"
VOIDED_ONCE = "a fact is voided once"


def append_only(table: str, *key: str) -> Iterator[str]:
    """SQLite statements that refuse an update, a delete or a replacement of the table's rows."""
    same = " AND ".join(f"{column} = NEW.{column}" for column in key)
    # A journal line is written first, so that its facts can point to it, and sealed with its hash once in the same
    # transaction.
    sealed = " WHEN OLD.sha256 <> ''" if table == "journal" else ""
    yield _trigger(f"{table}_no_update", f"BEFORE UPDATE ON {table}{sealed}", NEVER_CHANGED)
    yield _trigger(f"{table}_no_delete", f"BEFORE DELETE ON {table}", NEVER_CHANGED)
    exists = f"EXISTS (SELECT 1 FROM {table} WHERE {same})"
    yield _trigger(f"{table}_no_replace", f"BEFORE INSERT ON {table} WHEN {exists}", TAKEN)


def voided_once() -> str:
    """The statement that refuses a second void of one fact."""
    exists = "EXISTS (SELECT 1 FROM voids WHERE target = NEW.target)"
    return _trigger("voids_once", f"BEFORE INSERT ON voids WHEN {exists}", VOIDED_ONCE)


def _trigger(name: str, event: str, says: str) -> str:
    return f"CREATE TRIGGER {name} {event} BEGIN SELECT RAISE(ABORT, '{says}'); END"
