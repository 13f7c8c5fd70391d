"""All facts of all tables as one stream in the order of their entry numbers, with bounded memory."""

from __future__ import annotations

import heapq
import sqlite3
from collections.abc import Callable, Iterator
from operator import attrgetter
from typing import NamedTuple

from stock.store.journal import content
from stock.store.reader import Reader, Row
from stock.store.rows import LAYOUTS, NOWHERE, Layout

Unreadable = Callable[[str, Exception], None]
"""What to do where a table cannot be read on: it is told the table and the error, and may raise."""

READ_ERRORS = (sqlite3.Error, MemoryError, UnicodeError, OverflowError)
"""What reading a damaged file may raise."""


class Stored(NamedTuple):
    """A fact as it is stored: places as [tape, lo, hi] in order, whatever they hold."""

    entry: int
    file: str
    line: int
    recorded_us: object
    places: list[tuple[object, ...]]
    values: tuple[object, ...]

    def content(self) -> object:
        """The fact as its line hashes it."""
        return content(self.file, self.entry, self.recorded_us, self.places, self.values)


class FurtherPlaces:
    """The rows of `places`, handed out entry by entry in rising order.

    misplaced: told the entry of every place whose fact did not come, or whose number in the row is not the next one.
    """

    def __init__(self, reader: Reader, where: str, unreadable: Unreadable, misplaced: Callable[[int], None]) -> None:
        sql = f"SELECT entry, seq, tape, lo, hi FROM places {where} ORDER BY entry, seq"
        self._rows = _read(reader, "places", sql, unreadable)
        self._unreadable = unreadable
        self._misplaced = misplaced
        self._next = self._following()

    def _following(self) -> Row | None:
        for row in self._rows:
            if isinstance(row[0], int):
                return row
            self._unreadable("places", ValueError(f"{row[0]!r} is no entry number"))
        return None

    def of(self, entry: int) -> list[tuple[object, ...]]:
        """The second and later stretches of a fact."""
        found: list[tuple[object, ...]] = []
        while self._next is not None and self._next[0] <= entry:
            if self._next[0] < entry or self._next[1] != len(found) + 1:
                self._misplaced(self._next[0])
            if self._next[0] == entry:
                found.append(self._next[2:])
            self._next = self._following()
        return found

    def finish(self) -> None:
        """Report what is left."""
        while self._next is not None:
            self._misplaced(self._next[0])
            self._next = self._following()


def stored_facts(
    reader: Reader,
    unreadable: Unreadable,
    misplaced: Callable[[int], None],
    entries: tuple[int, int] | None = None,
) -> Iterator[Stored]:
    """All facts, or those whose entry lies in a closed range, by entry; two with the same entry come one by one."""
    where = "" if entries is None else f"WHERE entry BETWEEN {entries[0]} AND {entries[1]}"
    further = FurtherPlaces(reader, where, unreadable, misplaced)
    streams = [_table(reader, layout, where, unreadable) for layout in LAYOUTS.values()]
    before: Stored | None = None
    for fact in heapq.merge(*streams, key=attrgetter("entry")):
        if before is None or fact.entry != before.entry:
            fact.places.extend(further.of(fact.entry))
        yield fact
        before = fact
    further.finish()


def _table(reader: Reader, layout: Layout, where: str, unreadable: Unreadable) -> Iterator[Stored]:
    file = layout.kind.file
    for row in _read(reader, file, f"{layout.select_with_line} {where} ORDER BY entry", unreadable):
        if layout.placed:
            first = row[-3:]
            yield Stored(row[0], file, row[1], row[2], [] if first == NOWHERE else [first], row[3:-3])
        else:
            yield Stored(row[0], file, row[1], row[2], [], row[3:])


def _read(reader: Reader, table: str, sql: str, unreadable: Unreadable) -> Iterator[Row]:
    try:
        yield from reader.iterate(sql)
    except READ_ERRORS as error:
        unreadable(table, error)
