"""Adding facts: one call is one journal line."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from itertools import islice

from stock.core.facts import Fact
from stock.store.addition import CHUNK, Addition
from stock.store.errors import Damaged, FactRefused, NotCommitted
from stock.store.journal import Line
from stock.store.reader import Reader

INSERT_LINE = "INSERT INTO journal VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
_SEAL_LINE = (
    "UPDATE journal SET facts = ?, first_entry = ?, last_entry = ?, content_sha256 = ?, sha256 = ? WHERE line = ?"
)


class Writer(Reader):
    """A transaction that holds the write lock from its beginning; nothing is kept unless `commit` is called."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        super().__init__(connection)
        self._usable = True

    def add(self, facts: Iterable[Fact], *, who: str, what: str, at_us: int) -> Line:
        """Add the facts of one command and its journal line, dated at_us or like the newest line if that is later.

        A fact without an entry gets the number after the largest so far, in the order given; so facts that bring their
        own numbers come first. EntryTaken, AlreadyVoided or FactRefused ends the transaction: it can then only be left.
        """
        self._use_up()
        for text in (who, what):
            _require_plain(text)
        before = self.head()
        if before is None:
            raise Damaged(says="its journal is empty")
        at_us = max(at_us, before.at_us)
        line = Line(before.line + 1, at_us, who, what, 0, None, None, "", before.sha256, sha256="")
        # Written open, so that facts can point to it while they stream by; sealed when their hash is known.
        self._connection.execute(INSERT_LINE, line)
        addition = Addition(self._connection, line)
        remaining = iter(facts)
        while some := list(islice(remaining, CHUNK)):
            addition.add(some)
        line = addition.filled().sealed()
        self._connection.execute(
            _SEAL_LINE, (line.facts, line.first_entry, line.last_entry, line.content_sha256, line.sha256, line.line)
        )
        self._usable = True
        return line

    def commit(self) -> None:
        """Keep what was added: on return it is on the disk. The transaction is over then."""
        self._use_up()
        self._connection.commit()

    def _use_up(self) -> None:
        """NotCommitted where the transaction takes nothing more; until the caller says otherwise it now does not."""
        if not self._usable:
            raise NotCommitted()
        self._usable = False


def _require_plain(text: str) -> None:
    if "\0" in text:
        raise FactRefused(kind="journal", says="a text holds a NUL character")
    try:
        text.encode()
    except UnicodeEncodeError as error:
        raise FactRefused(kind="journal", says="a text is not Unicode") from error
