"""Verifying the journal: every line's hash, its chain, and the content of all facts against it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from stock.store.journal import GENESIS, LINE_COLUMNS, ContentHash, Line, house_sha256
from stock.store.merged import READ_ERRORS, Stored, stored_facts
from stock.store.reader import Reader

_TOGETHER = 500
"""Facts hashed in one call."""


class Finding(NamedTuple):
    """Something wrong with a database file. code: stable word. where: table, line or entry. says: plain words."""

    code: str
    where: str
    says: str


class _Tally:
    """The facts found of one line so far, beside what its line says of them."""

    def __init__(self, expected: tuple[object, ...]) -> None:
        self.expected = expected
        self.count = 0
        self.first: int | None = None
        self.last: int | None = None
        self._hash = ContentHash()
        self._waiting: list[object] = []

    def add(self, fact: Stored) -> None:
        self.count += 1
        self.last = fact.entry
        if self.first is None:
            self.first = fact.entry
        self._waiting.append(fact.content())
        if len(self._waiting) >= _TOGETHER:
            self._hash.add(self._waiting)
            self._waiting = []

    def complete(self) -> bool:
        """Whether the last entry the line names has been reached."""
        last = self.expected[2]
        return not isinstance(last, int) or (self.last is not None and self.last >= last)

    def as_expected(self) -> bool:
        self._hash.add(self._waiting)
        self._waiting = []
        return (self.count, self.first, self.last, self._hash.hexdigest()) == self.expected


def verify(reader: Reader) -> Iterator[Finding]:
    """What is wrong with the facts and the journal; nothing for a sound file.

    All facts are read once; memory grows with the number of journal lines by a byte each. Nothing is raised for a
    damaged file.
    """
    found: list[Finding] = []
    seen = bytearray()
    try:
        ((lines,),) = reader.raw("SELECT count(*) FROM journal")
        # Facts of more lines than the file has are told from this alone.
        seen = bytearray(int(lines) + 1)
        yield from _facts(reader, seen, found)
    except READ_ERRORS as error:
        yield Finding("unreadable", "facts", str(error))
    yield from found
    try:
        yield from _chain(reader, seen)
    except READ_ERRORS as error:
        yield Finding("unreadable", "journal", str(error))


def _facts(reader: Reader, seen: bytearray, found: list[Finding]) -> Iterator[Finding]:
    def unreadable(table: str, error: Exception) -> None:
        found.append(Finding("unreadable", table, str(error)))

    def misplaced(entry: int) -> None:
        found.append(Finding("place-without-fact", f"entry {entry}", "a further place has no fact or is out of order"))

    open_tallies: dict[int, _Tally] = {}
    before: int | None = None
    for fact in stored_facts(reader, unreadable, misplaced):
        if fact.entry == before:
            yield Finding("entry-twice", f"entry {fact.entry}", f"the number stands twice, the second in {fact.file}")
        before = fact.entry
        tally = open_tallies.get(fact.line)
        if tally is None:
            if not isinstance(fact.line, int) or not 1 <= fact.line < len(seen):
                yield Finding("line-missing", f"entry {fact.entry}", f"its journal line {fact.line!r} is not there")
                continue
            if seen[fact.line]:
                yield Finding("fact-added", f"entry {fact.entry}", f"journal line {fact.line} does not know it")
                continue
            seen[fact.line] = 1
            tally = open_tallies[fact.line] = _Tally(_expected(reader, fact.line))
        tally.add(fact)
        if tally.complete():
            yield from _compare(fact.line, open_tallies.pop(fact.line))
    for line, tally in open_tallies.items():
        yield from _compare(line, tally)


def _expected(reader: Reader, line: int) -> tuple[object, ...]:
    rows = reader.raw("SELECT facts, first_entry, last_entry, content_sha256 FROM journal WHERE line = ?", (line,))
    return rows[0] if rows else (0, None, None, "")


def _compare(line: int, tally: _Tally) -> Iterator[Finding]:
    if not tally.as_expected():
        facts, first, last, _ = tally.expected
        yield Finding(
            "facts-changed",
            f"journal line {line}",
            f"its {facts} facts (entries {first} to {last}) are not as they were recorded; {tally.count} were read",
        )


def _chain(reader: Reader, seen: bytearray) -> Iterator[Finding]:
    number, previous, at_us = 0, GENESIS, None
    for row in reader.iterate(f"SELECT {LINE_COLUMNS} FROM journal ORDER BY line"):
        line = Line(*row)
        number += 1
        where = f"journal line {line.line}"
        if line.line != number:
            yield Finding("line-missing", where, f"line {number} should stand here")
            number = line.line
        if line.computed_sha256() != line.sha256:
            yield Finding("line-changed", where, "its hash is not that of its words")
        if line.previous_sha256 != previous:
            yield Finding("chain-broken", where, "it does not follow from the line before")
        if at_us is not None and isinstance(line.at_us, int) and line.at_us < at_us:
            yield Finding("line-earlier", where, "it is dated before the line before it")
        if line.line == 1:
            yield from _house(reader, line)
        elif line.facts and (line.line >= len(seen) or not seen[line.line]):
            yield Finding("facts-missing", where, f"none of its {line.facts} facts is there")
        elif not line.facts and line.content_sha256 != ContentHash().hexdigest():
            yield Finding("facts-changed", where, "it has no facts but a hash of some")
        previous = line.sha256
        at_us = line.at_us if isinstance(line.at_us, int) else at_us
    if number == 0:
        yield Finding("line-missing", "journal", "it is empty")


def _house(reader: Reader, made: Line) -> Iterator[Finding]:
    if house_sha256(reader.iterate("SELECT name, value FROM house ORDER BY name")) != made.content_sha256:
        yield Finding("house-changed", "house", "what was written when the database was made has changed")
