"""Which take a decision is about: it names one, and means the newest of that name by then."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from stock.core.facts import Fact, Value
from stock.core.kinds import BY_NAME
from stock.core.moments import Calendar
from stock.desk.laying import Refusal, reader_of
from stock.store.reader import Reader


class _Take(NamedTuple):
    """A take a decision may name. moment: when it began to count from."""

    moment: int
    entry: int
    voided: bool
    project: str
    title: str
    take: str


class Decisions:
    """Finds the takes that decisions name, in the store and among those of the batch.

    facts: what the batch enters, all of its takes there before the first decision is looked at. gone: the entries that
    are voided or about to be. now: whether somebody decides now, rather than tells of what was decided.
    """

    def __init__(
        self, reader: Reader, calendar: Calendar, facts: Sequence[Fact], gone: Collection[int], *, now: bool
    ) -> None:
        self._reader = reader
        self._calendar = calendar
        self._facts = facts
        self._gone = gone
        self._now = now
        self._takes: dict[str, list[_Take]] = {}
        self._entered: dict[str, list[Fact]] | None = None

    def settle(self, values: tuple[Value, ...]) -> tuple[Value, ...]:
        """A decision with the entry of the take it names: the newest of that name by then. Raises Refusal.

        One that was voided is meant only where there is no other, and never by somebody who decides now.
        """
        reader = reader_of(BY_NAME["decision"])
        reel, project = reader.get(values, "reel"), reader.get(values, "project")
        named = [
            take
            for take in self._takes_of(str(reel))
            if take.title == reader.get(values, "title")
            and take.take == reader.get(values, "take")
            and (project is None or project == take.project)
        ]
        given = values[reader.at["take_entry"]]
        if given is not None:
            if given not in [take.entry for take in named]:
                raise Refusal("take_entry", f"entry {given} is no such take of reel {reel}", "the entry of that take")
            return values
        by_then = self._calendar.binds(reader.get(values, "day"), reader.get(values, "at_us"))
        found = [take for take in named if not take.voided] or ([] if self._now else named)
        found = [take for take in found if take.moment <= by_then] or sorted(found)[:1]
        if not found:
            raise Refusal("take", f"reel {reel} has no such take", "a take that is entered, its title and project")
        newest = max(found)
        if sum(take.moment == newest.moment for take in found) > 1:
            raise Refusal(
                "take", "two takes of that name were made at the same moment", "the take's entry in take_entry"
            )
        settled = list(values)
        settled[reader.at["take_entry"]] = newest.entry
        return tuple(settled)

    def _takes_of(self, reel: str) -> list[_Take]:
        """The takes entered on a reel."""
        found = self._takes.get(reel)
        if found is None:
            sql = "SELECT entry, day, at_us, project, title, take FROM takes WHERE reel = ?"
            rows = list(self._reader.iterate(sql, (reel,)))
            for fact in self._takes_entered().get(reel, ()):
                get = reader_of(fact.kind).get
                rows.append(
                    (fact.entry, *(get(fact.values, name) for name in ("day", "at_us", "project", "title", "take")))
                )
            found = self._takes[reel] = [
                _Take(self._calendar.loosens(day, at_us), entry, entry in self._gone, project or "", title, take)
                for entry, day, at_us, project, title, take in rows
            ]
        return found

    def _takes_entered(self) -> dict[str, list[Fact]]:
        """The takes of the batch by reel."""
        if self._entered is None:
            self._entered = {}
            for fact in self._facts:
                if fact.kind.name == "take":
                    self._entered.setdefault(reader_of(fact.kind).get(fact.values, "reel"), []).append(fact)
        return self._entered
