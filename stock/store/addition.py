"""The facts of one journal line on their way into the tables: numbered, looked over, hashed, inserted in bulk."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Iterator

from stock.core.facts import Fact, Value
from stock.store.bulk import IndexesAside
from stock.store.errors import AlreadyVoided, Damaged, EntryTaken, FactRefused, StoreError
from stock.store.journal import ContentHash, Line, content
from stock.store.merged import stored_facts
from stock.store.reader import Reader
from stock.store.rows import INSERT_PLACE, LAYOUTS, NEWEST_ENTRY, NOWHERE
from stock.store.triggers import TAKEN, VOIDED_ONCE

CHUNK = 4000
"""Facts inserted and hashed together: enough to spread the cost of a call, little enough to stay small in memory."""

Row = tuple[Value, ...]


class Addition:
    """The facts of one line on their way into the tables."""

    def __init__(self, connection: sqlite3.Connection, line: Line) -> None:
        self._connection = connection
        self._line = line
        self._newest: int = connection.execute(NEWEST_ENTRY).fetchone()[0] or 0
        self._hash = ContentHash()
        self._facts = 0
        self._first: int | None = None
        self._last: int | None = None
        self._in_order = True
        self._known: set[tuple[str, tuple[type, ...]]] = set()
        self._indexes = IndexesAside(connection)

    def add(self, facts: list[Fact]) -> None:
        """Insert some facts, kind by kind."""
        line, at_us = self._line.line, self._line.at_us
        rows: defaultdict[str, list[Row]] = defaultdict(list)
        further: list[Row] = []
        contents: list[object] = []
        for fact in facts:
            kind, values, places, _, recorded_us = fact
            file = kind.file
            entry = self._number(fact)
            if recorded_us is None:
                recorded_us = at_us
            if kind.placed != "no":
                row = (entry, line, recorded_us, *values, *(places[0] if places else NOWHERE))
            elif places:
                raise FactRefused(kind=file, says="it lies on no tape, but places were given")
            else:
                row = (entry, line, recorded_us, *values)
            types = (file, tuple(map(type, row)))
            if types not in self._known:
                self._accept(*types)
                self._known.add(types)
            rows[file].append(row)
            contents.append(content(file, entry, recorded_us, places, values))
            if len(places) > 1:
                further += _further(file, entry, places)
        self._hash_contents(facts, contents)
        for file, of_kind in rows.items():
            self._insert(file, of_kind)
        self._insert_places(further)
        self._facts += len(facts)

    def filled(self) -> Line:
        """The line with what was added, still without its own hash."""
        self._indexes.put_back()
        if not self._in_order:
            self._hash = self._hash_by_entry()
        return self._line._replace(
            facts=self._facts,
            first_entry=self._first,
            last_entry=self._last,
            content_sha256=self._hash.hexdigest(),
        )

    def _number(self, fact: Fact) -> int:
        entry = fact.entry
        if entry is None:
            entry = self._newest + 1
        elif entry <= self._newest:
            if entry < 1:
                raise FactRefused(kind=fact.kind.file, says=f"{entry} is no entry number")
            self._in_order = False
            self._first = entry if self._first is None else min(self._first, entry)
            self._last = entry if self._last is None else max(self._last, entry)
            return entry
        self._newest = self._last = entry
        if self._first is None:
            self._first = entry
        return entry

    def _accept(self, file: str, types: tuple[type, ...]) -> None:
        says = LAYOUTS[file].refusal(types)
        if says is not None:
            raise FactRefused(kind=file, says=says)

    def _hash_contents(self, facts: list[Fact], contents: list[object]) -> None:
        try:
            text = self._hash.add(contents)
        except UnicodeEncodeError as error:
            raise FactRefused(kind=facts[0].kind.file, says="a text is not Unicode") from error
        # JSON writes a NUL so; a text that holds these six characters itself is told apart below.
        if "\\u0000" in text:
            for fact in facts:
                texts = (*fact.values, *(place.tape for place in fact.places))
                if any(isinstance(text, str) and "\0" in text for text in texts):
                    raise FactRefused(kind=fact.kind.file, says="a text holds a NUL character")

    def _insert(self, file: str, rows: list[Row]) -> None:
        self._indexes.adding(file, len(rows))
        before = self._connection.total_changes
        try:
            self._connection.executemany(LAYOUTS[file].insert, rows)
        except sqlite3.IntegrityError as error:
            raise _refused(file, rows[self._connection.total_changes - before], error) from error
        except OverflowError as error:
            raise FactRefused(kind=file, says="a number is too large") from error

    def _insert_places(self, rows: list[Row]) -> None:
        before = self._connection.total_changes
        try:
            self._connection.executemany(INSERT_PLACE, rows)
        except sqlite3.IntegrityError as error:
            raise EntryTaken(entry=rows[self._connection.total_changes - before][0]) from error
        except OverflowError as error:
            raise FactRefused(kind="places", says="a number is too large") from error

    def _hash_by_entry(self) -> ContentHash:
        """Hash the line's facts in the order of their numbers, which is not the order they were given in.

        Reading them back is also what finds a number that two tables hold; each table alone holds it once.
        """
        assert self._first is not None and self._last is not None
        hashed = ContentHash()
        some: list[object] = []
        before: int | None = None
        for fact in stored_facts(Reader(self._connection), _fail, _no_fact, (self._first, self._last)):
            if fact.entry == before:
                raise EntryTaken(entry=fact.entry)
            before = fact.entry
            if fact.line == self._line.line:
                some.append(fact.content())
            if len(some) >= CHUNK:
                hashed.add(some)
                some = []
        hashed.add(some)
        return hashed


def _further(file: str, entry: int, places: Iterable[tuple[str, int, int]]) -> Iterator[Row]:
    for seq, place in enumerate(places):
        if tuple(map(type, place)) != (str, int, int):
            raise FactRefused(kind=file, says="a stretch is a tape and two whole numbers")
        if seq:
            yield (entry, seq, *place)


def _refused(file: str, row: Row, error: sqlite3.IntegrityError) -> StoreError:
    says = str(error)
    if says == TAKEN:
        return EntryTaken(entry=row[0])
    if says == VOIDED_ONCE:
        columns = [column.name for column in LAYOUTS[file].columns]
        return AlreadyVoided(entry=row[3 + columns.index("target")])
    return FactRefused(kind=file, says=says)


def _fail(table: str, error: Exception) -> None:
    raise error


def _no_fact(entry: int) -> None:
    raise Damaged(says=f"the further places of entry {entry} have no fact")
