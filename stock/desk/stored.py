"""What of a batch stands in the store already."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable

from stock.core.facts import Fact, Stretch, Value
from stock.core.kinds import Kind
from stock.store.reader import Reader
from stock.store.rows import NEWEST_ENTRY

Content = tuple[tuple[Value, ...], tuple[Stretch, ...]]
"""What a fact says and where it lies: two facts of one kind that share it are like one another."""


class Stored:
    """The store as a batch meets it. again: whether a fact like one that is there is another one, never the same."""

    def __init__(self, reader: Reader, *, again: bool) -> None:
        self._reader = reader
        self._again = again
        self.newest: int = reader.raw(NEWEST_ENTRY)[0][0] or 0

    def held(self, kind: Kind, given: Iterable[int | None]) -> dict[int, Fact]:
        """What stands under the numbers that facts of a kind bring, be it of that kind or another."""
        entries = {entry for entry in given if entry is not None and entry <= self.newest}
        facts = {fact.entry or 0: fact for fact in self._reader.facts(kind, entries=entries)} if entries else {}
        for entry in entries - facts.keys():
            other = self._reader.fact(entry)
            if other is not None:
                facts[entry] = other
        return facts

    def has_any(self, kind: Kind) -> bool:
        """Whether facts of a kind may be there already: such as somebody enters anew never are."""
        return not self._again and bool(self._reader.raw(f"SELECT 1 FROM {kind.file} LIMIT 1"))

    def like(self, kind: Kind, wanted: Collection[Content]) -> Counter[Content]:
        """How often each of some contents stands in the store, voided facts counted."""
        found: Counter[Content] = Counter()
        if wanted:
            for fact in self._reader.facts(kind):
                content = fact.values, fact.places
                if content in wanted:
                    found[content] += 1
        return found
