"""The journal: its lines, and the hashes that tie each line to the content of its facts and to the line before.

The content of a line is a JSON array with one array for each of its facts in the order of their entry numbers:
table, entry, recorded_us, the stretches it lies on as [tape, lo, hi], then its values in the order of the columns.
Empty values at the end are left out, so that a field added at the end of a kind leaves the hashes of older facts as
they are. JSON is written without spaces, in UTF-8, unescaped. The content of line 1 are the rows of `house`.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from typing import NamedTuple

LINE_COLUMNS = "line, at_us, who, what, facts, first_entry, last_entry, content_sha256, previous_sha256, sha256"

GENESIS = ""
"""What stands for the hash of the line before in the first line."""

# A damaged file may give bytes where a text should be: they are hashed as they print, and so differ.
_encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), default=repr).encode


class Line(NamedTuple):
    """One journal line: who did what when, how many facts with which entries, and its hashes."""

    line: int
    at_us: int
    who: str
    what: str
    facts: int
    first_entry: int | None
    last_entry: int | None
    content_sha256: str
    previous_sha256: str
    sha256: str

    def computed_sha256(self) -> str:
        """The hash the line should have: SHA-256 of the JSON array of all its columns but that one."""
        return hashlib.sha256(_encode(self[:-1]).encode()).hexdigest()

    def sealed(self) -> Line:
        """The line with its hash."""
        return self._replace(sha256=self.computed_sha256())


def content(file: str, entry: int, recorded_us: object, places: Sequence[object], values: tuple[object, ...]) -> object:
    """One fact as it is hashed."""
    end = len(values)
    while end and values[end - 1] is None:
        end -= 1
    return (file, entry, recorded_us, places, *values[:end])


class ContentHash:
    """The hash of a line's content, facts added as they come."""

    __slots__ = ("_begun", "_sha256")

    def __init__(self) -> None:
        self._sha256 = hashlib.sha256(b"[")
        self._begun = False

    def add(self, facts: list[object]) -> str:
        """Take in further facts, as `content` gives them; returns the JSON text of these (UnicodeEncodeError)."""
        text = _encode(facts)[1:-1]
        if text:
            self._sha256.update(("," + text if self._begun else text).encode())
            self._begun = True
        return text

    def hexdigest(self) -> str:
        """The hash of what was added so far."""
        whole = self._sha256.copy()
        whole.update(b"]")
        return whole.hexdigest()


def house_sha256(rows: Iterable[tuple[object, ...]]) -> str:
    """The content hash of line 1: the (name, value) rows of `house`, sorted by name."""
    hashed = ContentHash()
    hashed.add([("house", *row) for row in rows])
    return hashed.hexdigest()
