"""Taking back what one entered oneself, the newest first: what it would change is worked out before anything is.

What was entered as one command is taken back as one. Nothing here is another way to void: the same checks refuse it, in
the same transaction, and the void stays in the record with its reason.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from stock.core.facts import Fact
from stock.core.house import House
from stock.core.kinds import BY_NAME
from stock.core.moments import Calendar, as_of_instant
from stock.core.rules import GRADES
from stock.core.spans import union
from stock.core.verdict import Advice, advise
from stock.core.words import feet
from stock.desk.certificates import PERMIT
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import CannotEnter
from stock.desk.history import fact_words
from stock.desk.laying import reader_of
from stock.desk.reading import some_reels
from stock.desk.shelf import reels_bearing, with_sets
from stock.desk.voiding import why_not_void
from stock.edge.cells import Context
from stock.edge.collecting import no_collecting
from stock.edge.problems import Problem
from stock.store.reader import Reader
from stock.store.writer import Writer

REASON = "entered by mistake"
"""What a void says unless somebody says more."""

_KNOWN = {"yes": "yes", "no": "no", "unknown": "not known"}

_VOID = BY_NAME["void"]
_LOOKED_AT = 400
"""Journal lines looked at, newest first, for those of a person."""

_MOST_REELS = 1_500
"""Reels, at most, all of which are looked at where an entry may bear on any; nobody else can enter meanwhile."""

_PERMIT_ENDS = "a permit is no entry: it ends with its day, and with whatever is entered on the reel"

_MOST_FACTS = 200
"""A command of more facts than this is a load: it is taken back by entries, not in one go."""


class Own(NamedTuple):
    """A command somebody entered. entries: those it brought that still stand, oldest first; says: each in words.

    reels: the numbers it names. why_not: why it may not be taken back now, or None.
    """

    line: int
    at_us: int
    entries: tuple[int, ...]
    says: tuple[str, ...]
    reels: tuple[str, ...]
    why_not: str | None


class Change(NamedTuple):
    """What taking back would make of a reel. before, after: None where the reel is not there then."""

    reel: str
    before: Advice | None
    after: Advice | None

    @property
    def loosens(self) -> bool:
        """Whether more may be done with the reel than before: wiped, or recorded on."""
        if self.before is None or self.after is None:
            return False
        if self.before.erasable != "yes" and self.after.erasable == "yes":
            return True
        return any(
            self.before.fit(grade).answer != "yes" and self.after.fit(grade).answer == "yes" for grade in GRADES
        ) or (self.before.verdict in ("keep", "inspect", "retire") and self.after.verdict in ("clear", "blank"))

    @property
    def says(self) -> str:
        """The change in a sentence."""
        before, after = self.before, self.after
        if before is None or after is None:
            return f"{self.reel} would {'be' if before is None else 'no longer be'} in the record"
        said = []
        if before.erasable != after.erasable:
            said.append(f"may the recording go: {_KNOWN[before.erasable]}, then {_KNOWN[after.erasable]}")
        for grade in GRADES:
            was, then = before.fit(grade).answer, after.fit(grade).answer
            if was != then:
                said.append(f"fit for {grade}: {_KNOWN[was]}, then {_KNOWN[then]}")
        if before.verdict != after.verdict:
            head = f"{self.reel} would go from {before.verdict} to {after.verdict}"
        else:
            head = f"{self.reel} would stay {before.verdict}"
        return f"{head} ({'; '.join(said)})" if said else head

    @property
    def turns(self) -> bool:
        """Whether the verdict, an answer or a fitness is another afterwards."""
        return _told(self.before) != _told(self.after)


@dataclass(frozen=True)
class UndoSeen:
    """Taking back tried and undone. says: each entry in words. changes: of the reels whose answers would turn.

    looked_at: how many reels were looked at; beyond: whether it may bear on others too. why_not: what refuses it.
    """

    entries: tuple[int, ...]
    says: tuple[str, ...]
    changes: tuple[Change, ...] = ()
    looked_at: int = 0
    beyond: bool = False
    why_not: str | None = None

    @property
    def loosens(self) -> tuple[Change, ...]:
        """Those that would be freer than before."""
        return tuple(change for change in self.changes if change.loosens)


def own_entries(desk: Desk, most: int = 12) -> list[Own]:
    """What this person entered, newest first, as far as it still stands; a permit to wipe is told and never taken back.

    Loads are left out: what came in by the hundred is taken back entry by entry.
    """
    found: list[Own] = []
    with desk.store.reading() as reader:
        _, calendar, _ = desk.moment(reader)
        voided = reader.voided()
        sql = "SELECT line, at_us, what, first_entry, last_entry FROM journal WHERE who = ? ORDER BY line DESC LIMIT ?"
        for line, at_us, what, first, last in reader.raw(sql, (desk.who, _LOOKED_AT)):
            if len(found) == most:
                break
            if what.startswith(PERMIT):
                reel = json.loads(what.removeprefix(PERMIT))["reel"]
                found.append(Own(line, at_us, (), (f"permit to wipe {reel}",), (reel,), _PERMIT_ENDS))
            if first is None or last - first >= _MOST_FACTS:
                continue
            facts = [fact for fact in _facts(reader, range(first, last + 1)) if fact.entry not in voided]
            if facts:
                found.append(_own(reader, calendar, line, at_us, facts))
    return found


def one_entry(desk: Desk, entry: int) -> Own:
    """One entry, whoever entered it, as what may be taken back. Raises CannotEnter where there is none."""
    with desk.store.reading() as reader:
        _, calendar, _ = desk.moment(reader)
        facts = _facts(reader, [entry])
        if not facts:
            says = f"entry {entry} is none that is taken back"
            raise CannotEnter([Problem("entry", str(entry), "the number of an entry", says)])
        sql = "SELECT line, at_us FROM journal WHERE first_entry <= ? AND last_entry >= ?"
        ((line, at_us),) = reader.raw(sql, (entry, entry))
        return _own(reader, calendar, line, at_us, facts)


def _own(reader: Reader, calendar: Calendar, line: int, at_us: int, facts: Sequence[Fact]) -> Own:
    entries = tuple(fact.entry or 0 for fact in facts)
    why_nots = (why_not_void(reader, calendar, entry, entries) for entry in entries)
    why_not = next((each for each in why_nots if each is not None), None)
    says = tuple(_said(fact, Context(calendar)) for fact in facts)
    reels = tuple(sorted({reel for fact in facts for reel in _reels_named(fact)}))
    return Own(line, at_us, entries, says, reels, why_not)


def see_undo(desk: Desk, entries: Sequence[int], why: str = REASON) -> UndoSeen:
    """What taking entries back would make of the reels they bear on; nothing is entered."""
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        facts = _facts(writer, entries)
        reels, beyond = _concerned(writer, facts)
        house = some_reels(writer, calendar, as_of, reels)
        context = Context(calendar)
        says = tuple(_said(fact, context, house) for fact in facts)
        before = _answers(house, reels)
        try:
            _void_all(desk, writer, entries, why, now_us, calendar)
        except CannotEnter as error:
            problems = dict.fromkeys(problem.says for problem in error.problems)
            return UndoSeen(tuple(entries), says, why_not="; ".join(problems))
        after = _answers(some_reels(writer, calendar, as_of_instant(calendar, now_us), reels), reels)
        # left without a commit: it was a try
    both = sorted(before.keys() | after.keys())
    changes = (Change(reel, before.get(reel), after.get(reel)) for reel in both)
    return UndoSeen(tuple(entries), says, tuple(each for each in changes if each.turns), len(both), beyond)


def take_back(desk: Desk, entries: Sequence[int], why: str) -> Receipt:
    """Void entries as one command: all of them or none. Raises CannotEnter."""
    with desk.store.writing() as writer:
        now_us, calendar, _ = desk.moment(writer)
        receipt = _void_all(desk, writer, entries, why, now_us, calendar)
        writer.commit()
        return receipt


def _void_all(desk: Desk, writer: Writer, entries: Sequence[int], why: str, now_us: int, calendar: Calendar) -> Receipt:
    rows = [(_VOID, {"entry": str(entry), "reason": why}) for entry in entries]
    return desk.enter_all_in(writer, rows, f"void {' '.join(map(str, entries))}", now_us, calendar)


def _facts(reader: Reader, entries: Iterable[int]) -> list[Fact]:
    """The facts of some entries, oldest first, voids left out."""
    found = (reader.fact(entry) for entry in sorted(entries))
    return [fact for fact in found if fact is not None and fact.kind.name != "void"]


def _reels_named(fact: Fact) -> list[str]:
    get = reader_of(fact.kind).get
    return [reel for reel in (get(fact.values, "reel"), get(fact.values, "to_reel")) if reel]


def _said(fact: Fact, context: Context, house: House | None = None) -> str:
    """An entry in words; with a house, where it lies now as well."""
    reels = _reels_named(fact)
    on = f" on {reels[0]}" if reels else ""
    where = ""
    if house is not None and reels and reels[0] in house.reel_numbers and fact.kind.placed in ("span", "point"):
        layout = house.layout(reels[0])
        spans = union(span for piece in fact.places for span in layout.project(*piece))
        points = [layout.project_point(piece.tape, piece.lo) for piece in fact.places if piece.lo == piece.hi]
        places = [feet(at) for at in points if at is not None] + [f"{feet(lo)} to {feet(hi)}" for lo, hi in spans]
        where = f", {', '.join(places)}" if places else ""
    words = fact_words(fact, context)
    return f"{fact.kind.name.replace('-', ' ')}{on}{where}{f': {words}' if words else ''}"


def _concerned(reader: Reader, facts: Sequence[Fact]) -> tuple[set[str], bool]:
    """The reels whose answers rest on some facts, and whether there may be others too."""
    reels: set[str] = set()
    for fact in facts:
        get = reader_of(fact.kind).get
        found = reels_bearing(reader, [fact.entry or 0])
        if found is None and fact.kind.name == "project":
            named = (get(fact.values, "project"),)
            found = {reel for (reel,) in reader.iterate("SELECT reel FROM takes WHERE project = ?", named)}
        elif found is None and fact.kind.name in ("edit", "length"):
            found = {*_reels_named(fact), *(piece.tape for piece in fact.places)}
        if found is None:
            some = [reel for (reel,) in reader.iterate("SELECT reel FROM reels LIMIT ?", (_MOST_REELS + 1,))]
            if len(some) <= _MOST_REELS:
                return set(some), False
            return with_sets(reader, _joined(reader, {*reels, *_reels_named(fact)})), True
        reels |= found
    return with_sets(reader, _joined(reader, reels)), False


def _joined(reader: Reader, reels: set[str]) -> set[str]:
    """Some reels and all that ever had tape from them or gave them some."""
    rows = reader.raw("SELECT reel, tape, to_reel FROM edits")
    found = set(reels)
    while True:
        more = {each for row in rows if found & set(row) for each in row if each} - found
        if not more:
            return found
        found |= more


def _answers(house: House, reels: Iterable[str]) -> dict[str, Advice]:
    with no_collecting():
        return {answer.reel: answer for answer in advise(house, sorted({*reels} & {*house.reel_numbers}))}


def _told(answer: Advice | None) -> object:
    return answer and (answer.verdict, answer.erasable, [answer.fit(grade).answer for grade in GRADES])
