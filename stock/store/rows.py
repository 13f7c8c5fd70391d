"""How the facts of each kind lie in their table, and the SQL for them."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.facts import Fact, Stretch, Value
from stock.core.kinds import KINDS, PLACE_COLUMNS, Column, Kind, columns
from stock.store.errors import Damaged

NOWHERE = (None, None, None)
"""The place columns of a placed fact that lies on no tape."""

_BEFORE = 3
"""Columns before a fact's own: entry, line, recorded_us."""


class Layout(NamedTuple):
    """One kind's table. insert: takes entry, line, recorded_us, the values, and tape, lo, hi where it is placed."""

    kind: Kind
    columns: tuple[Column, ...]
    placed: bool
    has_reel: bool
    insert: str
    select: str
    select_with_line: str

    def refusal(self, types: tuple[type, ...]) -> str | None:
        """Why a row of these types cannot be stored, or None; SQLite itself would turn some into others in silence."""
        wanted = _BEFORE + len(self.columns) + (len(PLACE_COLUMNS) if self.placed else 0)
        if len(types) != wanted:
            return f"{wanted - _BEFORE} values are wanted, {len(types) - _BEFORE} were given"
        if types[:_BEFORE] != (int, int, int):
            return "its entry and the moment it was recorded must be whole numbers"
        for column, given in zip(self.columns, types[_BEFORE:], strict=False):
            if given is type(None) and column.nullable:
                continue
            if given is not (int if column.integer else str):
                return f"{column.name} cannot hold {'nothing' if given is type(None) else given.__name__}"
        if self.placed and types[-3:] not in ((str, int, int), (type(None),) * 3):
            return "a stretch is a tape and two whole numbers"
        return None

    def fact(self, row: tuple[Value, ...], further: tuple[Stretch, ...] = ()) -> Fact:
        """The fact of a row of `select`, with its second and later stretches (Damaged for a row no store wrote)."""
        entry, recorded_us = row[0], row[1]
        if not isinstance(entry, int) or not isinstance(recorded_us, int):
            raise Damaged(says=f"{self.kind.file} holds a row without a number or a moment")
        if not self.placed:
            return Fact(self.kind, row[2:], further, entry, recorded_us)
        tape, lo, hi = row[-3:]
        if tape is None:
            return Fact(self.kind, row[2:-3], further, entry, recorded_us)
        if not isinstance(tape, str) or not isinstance(lo, int) or not isinstance(hi, int):
            raise Damaged(says=f"{self.kind.file} entry {entry} lies on no proper stretch of tape")
        return Fact(self.kind, row[2:-3], (Stretch(tape, lo, hi), *further), entry, recorded_us)


def quoted(name: str) -> str:
    """A name as SQL takes it even where it is a word of the language."""
    return f'"{name}"'


def _layout(kind: Kind) -> Layout:
    stored = columns(kind)
    placed = kind.placed != "no"
    own = [quoted(column.name) for column in stored] + (list(PLACE_COLUMNS) if placed else [])
    marks = ", ".join("?" * (_BEFORE + len(own)))
    return Layout(
        kind,
        stored,
        placed,
        any(column.name == "reel" for column in stored),
        f"INSERT INTO {kind.file} (entry, line, recorded_us, {', '.join(own)}) VALUES ({marks})",
        f"SELECT entry, recorded_us, {', '.join(own)} FROM {kind.file}",
        f"SELECT entry, line, recorded_us, {', '.join(own)} FROM {kind.file}",
    )


LAYOUTS = {kind.file: _layout(kind) for kind in KINDS}
"""The layouts by table, in the order of the kinds."""

INSERT_PLACE = "INSERT INTO places (entry, seq, tape, lo, hi) VALUES (?, ?, ?, ?, ?)"

NEWEST_ENTRY = f"SELECT max(m) FROM ({' UNION ALL '.join(f'SELECT max(entry) AS m FROM {file}' for file in LAYOUTS)})"
"""The largest entry number of any fact, or NULL."""
