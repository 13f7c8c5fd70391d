"""Reading one state of the store."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import islice
from typing import Any
from weakref import WeakSet

from stock.core.facts import Fact, Stretch
from stock.core.kinds import Kind
from stock.store.errors import Damaged
from stock.store.journal import LINE_COLUMNS, Line
from stock.store.rows import LAYOUTS, Layout

_PER_QUERY = 500
"""Entries asked for in one statement: well below every SQLite's limit of parameters."""

Row = tuple[Any, ...]


class Reader:
    """One transaction on the store: everything read through it is of one state.

    It holds a lock that keeps writers from committing, so it is to be left soon. Its iterators end with it.
    """

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._cursors: WeakSet[sqlite3.Cursor] = WeakSet()

    def iterate(self, sql: str, params: Sequence[object] = ()) -> Iterator[Row]:
        """The rows of a query as plain tuples, straight from the driver's cursor."""
        cursor = self._connection.execute(sql, params)
        self._cursors.add(cursor)
        return cursor

    def raw(self, sql: str, params: Sequence[object] = ()) -> list[Row]:
        """All rows of a query as plain tuples."""
        return self._connection.execute(sql, params).fetchall()

    def facts(self, kind: Kind, *, entries: Iterable[int] | None = None, reel: str | None = None) -> Iterator[Fact]:
        """The facts of a kind by entry, voided ones too; only of these entries, only of this reel where given.

        ValueError where a reel is asked of a kind that has none.
        """
        layout = LAYOUTS[kind.file]
        if reel is not None and not layout.has_reel:
            raise ValueError(f"{kind.file} have no reel")
        conditions, params = ([], []) if reel is None else (["reel = ?"], [reel])
        if entries is None:
            yield from self._facts(layout, conditions, params)
            return
        asked = iter(sorted(set(entries)))
        while some := list(islice(asked, _PER_QUERY)):
            marks = ", ".join("?" * len(some))
            yield from self._facts(layout, [*conditions, f"k.entry IN ({marks})"], [*params, *some])

    def _facts(self, layout: Layout, conditions: list[str], params: Sequence[object]) -> Iterator[Fact]:
        where = f" WHERE {' AND '.join(conditions)}" if conditions else ""
        rows = self.iterate(f"{layout.select} AS k{where} ORDER BY k.entry", params)
        if not layout.placed:
            yield from map(layout.fact, rows)
            return
        places = self.iterate(
            f"SELECT p.entry, p.tape, p.lo, p.hi FROM places AS p JOIN {layout.kind.file} AS k ON k.entry = p.entry"
            f"{where} ORDER BY p.entry, p.seq",
            params,
        )
        place = next(places, None)
        for row in rows:
            further: list[Stretch] = []
            while place is not None and place[0] == row[0]:
                further.append(Stretch(*place[1:]))
                place = next(places, None)
            yield layout.fact(row, tuple(further))

    def fact(self, entry: int) -> Fact | None:
        """The fact of that number, of whichever kind, or None."""
        for layout in LAYOUTS.values():
            for found in self.facts(layout.kind, entries=[entry]):
                return found
        return None

    def voided(self) -> dict[int, int]:
        """The entry of each void by the entry it takes back."""
        return dict(self.iterate("SELECT target, entry FROM voids"))

    def head(self) -> Line | None:
        """The newest journal line."""
        rows = self.raw(f"SELECT {LINE_COLUMNS} FROM journal ORDER BY line DESC LIMIT 1")
        return Line(*rows[0]) if rows else None

    def lines(self) -> Iterator[Line]:
        """All journal lines, oldest first."""
        return map(Line._make, self.iterate(f"SELECT {LINE_COLUMNS} FROM journal ORDER BY line"))

    @property
    def newest_line_us(self) -> int:
        """When the newest journal line was written."""
        head = self.head()
        if head is None:
            raise Damaged(says="its journal is empty")
        return head.at_us

    @property
    def made_us(self) -> int:
        """When this database was made, microseconds since 1970-01-01 UTC."""
        return int(self._house["made_us"])

    @property
    def house_id(self) -> str:
        """The random number given to this database when it was made."""
        return self._house["house_id"]

    @cached_property
    def _house(self) -> dict[str, str]:
        found: dict[str, str] = dict(self.iterate("SELECT name, value FROM house"))
        if not {"made_us", "house_id"} <= found.keys():
            raise Damaged(says="it does not say when it was made")
        return found

    def close(self) -> None:
        """End the iterators that are still open, so that they hold no lock."""
        for cursor in list(self._cursors):
            cursor.close()
