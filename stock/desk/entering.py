"""Entering facts: a batch of them, checked against the record and one another, and numbered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

from stock.core.facts import Entered, Fact, Stretch, Value
from stock.core.kinds import BY_FILE, KINDS, Kind
from stock.core.layout import LayoutError
from stock.core.moments import NEVER, Calendar, as_of_instant, date_of
from stock.core.rules import BY_NAME as RULES
from stock.desk.ground import GROUND_KINDS, read_ground
from stock.desk.laying import Ground, Refusal, edit_of, fix_of, lay, mark_of, moment_of, reader_of
from stock.desk.voiding import why_not_void
from stock.edge.cells import CellError, Context
from stock.edge.plan import own_number
from stock.edge.rule_values import read_rule
from stock.store.reader import Reader

NAMED_FIRST = frozenset({"formulation", "stock-item", "machine", "reel"})

MOST_ENTRY = 10**15
"""The largest number a fact may bring: far below what the store can count to."""

UNIQUE: dict[str, tuple[str, ...]] = {
    "formulation": ("formulation",),
    "stock-item": ("stock_item",),
    "machine": ("machine",),
    "reel": ("reel",),
    "transfer": ("transfer",),
    "copy": ("transfer", "copy"),
    "order": ("order",),
}
"""Kinds of which there may be one fact to a name: another needs the first voided."""

REFERS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("formulation", ("formulation",), "formulation"),
    ("stock_item", ("stock_item",), "stock-item"),
    ("machine", ("machine",), "machine"),
    ("reel", ("reel",), "reel"),
    ("to_reel", ("to_reel",), "reel"),
    ("transfer", ("transfer",), "transfer"),
    ("copy", ("transfer", "copy"), "copy"),
    ("order", ("order",), "order"),
)
"""Column, the columns of the name, and the kind that name must be entered as."""


class Sourced(NamedTuple):
    """An entered fact and where it came from (anything the caller can tell its user by)."""

    source: Any
    entered: Entered


class Fault(NamedTuple):
    """What the record cannot bear of a row."""

    source: Any
    kind: Kind
    column: str
    says: str
    expected: str


_Laid = tuple[Sourced, tuple[Value, ...], tuple[Stretch, ...]]
"""A row, its values, and the tape it lies on."""


class _Take(NamedTuple):
    """A take a decision may name. moment: when it began to count from."""

    moment: int
    entry: int
    voided: bool
    project: str
    title: str
    take: str


class Batch:
    """Facts on their way in. Use once: `take`, then `facts` in order of entry, `faults`, and how many were `known`.

    again: whether a fact like one that is there already is another one (somebody enters it now), not the same.
    """

    def __init__(self, reader: Reader, calendar: Calendar, now_us: int, *, again: bool = False) -> None:
        self._reader = reader
        self._again = again
        self._calendar = calendar
        self._context = Context(calendar)
        self._now = as_of_instant(calendar, now_us)
        self._voided = reader.voided()
        self._names: dict[str, set[tuple[Value, ...]]] = {}
        self._names_to_go: dict[str, set[tuple[Value, ...]]] = {}
        self._next = 0
        self.facts: list[Fact] = []
        self.faults: list[Fault] = []
        self.known = 0
        self.ground = Ground(calendar)
        self._takes: dict[str, list[_Take]] = {}
        self._stored: Counter[tuple[str, tuple[Value, ...], tuple[Stretch, ...]]] = Counter()
        self._own_takes: dict[str, list[Fact]] | None = None
        self._entries: dict[int, Kind] = {}
        self._targets: frozenset[int] = frozenset()
        self._voids: set[int] = set()
        self._newest = 0

    def take(self, rows: Iterable[Sourced]) -> None:
        """Check and number everything; where there are faults, nothing of the batch may be stored."""
        by_kind: dict[str, list[Sourced]] = {}
        for row in rows:
            by_kind.setdefault(row.entered.kind.name, []).append(row)
        self._count_entries(by_kind)
        self._read_ground()
        self._targets = self._void_targets(by_kind.get("void", []))
        for kind in KINDS:
            if kind.name in NAMED_FIRST:
                self._enter(kind, by_kind.pop(kind.name, []), lambda row: ())
        self._lengths_from_batch()
        self._enter_ground(by_kind)
        for kind in KINDS:
            rows_of_kind = by_kind.pop(kind.name, [])
            if rows_of_kind:
                self._enter(kind, rows_of_kind, self._lay)
        self.facts.sort(key=lambda fact: fact.entry or 0)

    # what is there already

    def _count_entries(self, by_kind: dict[str, list[Sourced]]) -> None:
        self._newest = max(
            (row[0] or 0 for file in BY_FILE for row in self._reader.raw(f"SELECT max(entry) FROM {file}")), default=0
        )
        given = (row.entered.entry or 0 for rows in by_kind.values() for row in rows)
        self._next = max(self._newest, max(given, default=0)) + 1

    def _known_names(self, name: str) -> set[tuple[Value, ...]]:
        """The names of a kind that are entered, and neither voided nor about to be."""
        found = self._names.get(name)
        if found is None:
            kind = next(kind for kind in KINDS if kind.name == name)
            fields = ", ".join(f'"{field}"' for field in UNIQUE[name])
            rows = self._reader.iterate(f"SELECT entry, {fields} FROM {kind.file}")
            left_out = self._voided.keys() | self._targets
            found = self._names[name] = {tuple(row[1:]) for row in rows if row[0] not in left_out}
        return found

    def _read_ground(self) -> None:
        self.ground = read_ground(self._reader, self._calendar, self._voided)
        if not self._again:
            self._stored = Counter(
                (kind.name, fact.values, fact.places)
                for kind in KINDS
                if kind.name in GROUND_KINDS
                for fact in self._reader.facts(kind)
            )

    def _void_targets(self, voids: Sequence[Sourced]) -> frozenset[int]:
        targets = (row.entered.values[0] for row in voids)
        return frozenset(target for target in targets if isinstance(target, int))

    # entering

    def _enter(self, kind: Kind, rows: list[Sourced], lay_row: Callable[[Entered], tuple[Stretch, ...]]) -> None:
        laid: list[_Laid] = []
        for row in rows:
            try:
                values = self._settle(row.entered)
                places = lay_row(row.entered)
            except Refusal as refusal:
                self._fault(row, refusal)
            else:
                laid.append((row, values, places))
        self._number(kind, laid)

    def _fault(self, row: Sourced, refusal: Refusal) -> None:
        self.faults.append(
            Fault(row.source, row.entered.kind, refusal.column, refusal.says, refusal.expected or "a value that fits")
        )

    def _lay(self, entered: Entered) -> tuple[Stretch, ...]:
        try:
            return lay(self.ground, entered)
        except LayoutError as error:
            raise Refusal("reel", error.says, "edits that fit the tape") from None

    def _settle(self, entered: Entered) -> tuple[Value, ...]:
        """The values of a fact with what they stand for looked up; Refusal where that is not there."""
        kind, values = entered.kind, entered.values
        reader = reader_of(kind)
        self._not_ahead(reader.get(values, "day"), reader.get(values, "at_us"), "date")
        if kind.name == "reel":
            self._not_ahead(reader.get(values, "acquired"), None, "acquired")
        if kind.name in ("edit", "length"):
            self._on_known_reels(kind, values)
        if kind.name == "rule":
            values = self._rule(entered)
        elif kind.name == "decision":
            values = self._decision(entered)
        elif kind.name == "void":
            self._void(reader.get(values, "target"))
        return values

    def _on_known_reels(self, kind: Kind, values: tuple[Value, ...]) -> None:
        """Refusal where an edit or a length is of a reel that the layouts do not know."""
        for column in ("reel", "to_reel"):
            reel = reader_of(kind).get(values, column)
            if reel is not None and reel not in self.ground.lengths:
                raise Refusal(column, f"there is no reel {reel}", "the number of a reel that is entered")

    def _refers(self, kind: Kind, values: tuple[Value, ...]) -> None:
        """Refusal where a fact that is not there yet names something that is not there."""
        reader = reader_of(kind)
        for column, name, of in REFERS:
            if kind.name == of or column not in reader.at or reader.get(values, column) is None:
                continue
            key = tuple(reader.get(values, part) for part in name)
            if key not in self._known_names(of) and key not in self._names_to_go.get(of, ()):
                shown = "/".join(str(part) for part in key)
                raise Refusal(column, f"there is no {of} {shown}", f"a {of} that is entered")
        if kind.name == "hold-end":
            self._hold(reader.get(values, "hold"))
        elif kind.name == "void":
            self._voidable(reader.get(values, "target"))

    def _not_ahead(self, day: int | None, at_us: int | None, column: str) -> None:
        if not self._now.has(day, at_us):
            raise Refusal(column, "it lies ahead of now", f"no later than {date_of(self._now.day).isoformat()}")

    def _rule(self, entered: Entered) -> tuple[Value, ...]:
        reader = reader_of(entered.kind)
        values = list(entered.values)
        name, value = str(reader.get(values, "rule")), str(reader.get(values, "value"))
        try:
            values[reader.at["value"]] = read_rule(name, value, self._context)
        except CellError as error:
            raise Refusal("rule" if name not in RULES else "value", str(error), error.expected) from None
        return tuple(values)

    def _hold(self, name: str) -> None:
        known = self._names.get("hold")
        if known is None:
            rows = self._reader.iterate('SELECT entry, "hold" FROM holds')
            known = self._names["hold"] = {(hold,) for entry, hold in rows if entry not in self._voided}
            known |= {
                (reader_of(fact.kind).get(fact.values, "hold"),) for fact in self.facts if fact.kind.name == "hold"
            }
        if (name,) not in known:
            raise Refusal("hold", f"there is no hold {name}", "the name of a hold that is entered")

    def _void(self, target: int) -> None:
        kind = self._entries.get(target)
        if kind is None:
            fact = self._reader.fact(target)
            kind = fact.kind if fact is not None else None
        if kind is None:
            raise Refusal("entry", f"there is no entry {target}", "the number of an entry")
        if kind.name == "void":
            raise Refusal("entry", f"entry {target} is a void itself", "enter the fact again instead")

    def _voidable(self, target: int) -> None:
        expected = "an entry that may be taken back"
        if target in self._voids:
            raise Refusal("entry", f"entry {target} is voided twice", expected)
        self._voids.add(target)
        if target not in self._entries:
            problem = why_not_void(self._reader, self._calendar, target)
            if problem is not None:
                raise Refusal("entry", problem, expected)

    def _decision(self, entered: Entered) -> tuple[Value, ...]:
        """A decision with the entry of the take it names: the newest of that name by then.

        One that was voided is meant only where there is no other, and never by somebody who decides now.
        """
        reader = reader_of(entered.kind)
        values = list(entered.values)
        reel, project = reader.get(values, "reel"), reader.get(values, "project")
        by_then = moment_of(self.ground, entered.kind, values, binds=True)
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
            return tuple(values)
        found = [take for take in named if not take.voided] or ([] if self._again else named)
        found = [take for take in found if take.moment <= by_then] or sorted(found)[:1]
        if not found:
            raise Refusal("take", f"reel {reel} has no such take", "a take that is entered, its title and project")
        newest = max(found)
        if sum(take.moment == newest.moment for take in found) > 1:
            raise Refusal(
                "take", "two takes of that name were made at the same moment", "the take's entry in take_entry"
            )
        values[reader.at["take_entry"]] = newest.entry
        return tuple(values)

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
            gone = self._voided.keys() | self._targets
            found = self._takes[reel] = [
                _Take(self._calendar.loosens(day, at_us), entry, entry in gone, project or "", title, take)
                for entry, day, at_us, project, title, take in rows
            ]
        return found

    def _takes_entered(self) -> dict[str, list[Fact]]:
        """The takes of this batch by reel; all of them are numbered before the first decision is looked at."""
        if self._own_takes is None:
            self._own_takes = {}
            for fact in self.facts:
                if fact.kind.name == "take":
                    self._own_takes.setdefault(reader_of(fact.kind).get(fact.values, "reel"), []).append(fact)
        return self._own_takes

    # the ground places are laid on

    def _lengths_from_batch(self) -> None:
        items: dict[Value, Value] = {}
        for fact in self.facts:
            get = reader_of(fact.kind).get
            if fact.kind.name == "stock-item":
                items[get(fact.values, "stock_item")] = get(fact.values, "length")
        for fact in self.facts:
            if fact.kind.name != "reel":
                continue
            get = reader_of(fact.kind).get
            length = get(fact.values, "length")
            if length is None:
                item = get(fact.values, "stock_item")
                length = items[item] if item in items else self._item_length(item)
            self.ground.lengths[get(fact.values, "reel")] = length
        self.ground.changed()

    def _item_length(self, item: str) -> int:
        rows = self._reader.raw("SELECT length FROM stock_items WHERE stock_item = ? ORDER BY entry DESC", (item,))
        return int(rows[0][0])

    def _enter_ground(self, by_kind: dict[str, list[Sourced]]) -> None:
        """Edits, length corrections, zero marks and stripes in the order of their moments, each on what went before.

        Of those of one moment the edits and lengths come first: what is laid at that moment lies on what they leave.
        """
        rows: list[tuple[int, bool, int, Sourced]] = []
        for kind in KINDS:
            if kind.name in GROUND_KINDS:
                for row in by_kind.pop(kind.name, []):
                    binds = kind.name in ("edit", "length")
                    moment = moment_of(self.ground, kind, row.entered.values, binds=binds)
                    rows.append((moment, not binds, len(rows), row))
        self._forget_voided()
        laid: dict[str, list[_Laid]] = {}
        for _, _, order, row in sorted(rows, key=lambda entry: entry[:3]):
            entered = row.entered
            try:
                values = self._settle(entered)
                places = self._lay(entered)
                if not self._is_stored(entered, values, places):
                    self._refuse_waste(entered.kind, values)
                    if entered.entry not in self._targets:
                        self._put_ground(entered.kind, entered.entry or self._next + order, values, places)
            except Refusal as refusal:
                self._fault(row, refusal)
            else:
                laid.setdefault(entered.kind.name, []).append((row, values, places))
        for kind in KINDS:
            if kind.name in laid:
                self._number(kind, laid[kind.name])

    def _forget_voided(self) -> None:
        ground, targets = self.ground, self._targets
        ground.edits = [edit for edit in ground.edits if edit.entry not in targets]
        ground.fixes = [fix for fix in ground.fixes if fix.entry not in targets]
        ground.changed()
        for marks in (ground.zero_marks, ground.stripes):
            for reel, held in marks.items():
                marks[reel] = [mark for mark in held if mark.entry not in targets]

    def _put_ground(self, kind: Kind, entry: int, values: tuple[Value, ...], places: tuple[Stretch, ...]) -> None:
        ground = self.ground
        if kind.name == "edit":
            edit = edit_of(ground, entry, values, kind, places)
            self._try(lambda: ground.edits.append(edit), lambda: ground.edits.remove(edit))
        elif kind.name == "length":
            fix = fix_of(ground, entry, values, kind)
            self._try(lambda: ground.fixes.append(fix), lambda: ground.fixes.remove(fix))
        else:
            mark = mark_of(ground, entry, values, kind, places)
            marks = ground.zero_marks if kind.name == "zero-mark" else ground.stripes
            if mark is not None:
                marks.setdefault(reader_of(kind).get(values, "reel"), []).append(mark)

    def _refuse_waste(self, kind: Kind, values: tuple[Value, ...]) -> None:
        """Refusal where a file throws tape away since this record was begun: that is asked for one by one."""
        if kind.name != "edit" or self._again or reader_of(kind).get(values, "to_reel") is not None:
            return
        if moment_of(self.ground, kind, values, binds=True) > self._reader.made_us:
            raise Refusal(
                "to_reel",
                "tape is thrown away by `add edit`, which takes the answer first; a file may only tell of what was "
                "thrown away before this record was begun",
                "the reel it was joined into, or an earlier date",
            )

    def _is_stored(self, entered: Entered, values: tuple[Value, ...], places: tuple[Stretch, ...]) -> bool:
        """Whether the store has this fact, so that its part of the ground is there; each fact is found once."""
        if entered.entry is not None:
            return entered.entry <= self._newest and self._reader.fact(entered.entry) is not None
        key = entered.kind.name, values, places
        self._stored[key] -= 1
        return self._stored[key] >= 0

    def _try(self, put: Callable[[], None], take_back: Callable[[], None]) -> None:
        """Add to the ground; where the tape cannot bear it, take it back and refuse."""
        put()
        self.ground.changed()
        try:
            _ = self.ground.layouts
        except LayoutError as error:
            take_back()
            self.ground.changed()
            raise Refusal("start", error.says, "an edit that fits the tape as recorded") from None

    # numbering

    def _number(self, kind: Kind, laid: list[_Laid]) -> None:
        """Give entry numbers to what is not there yet, and refuse a second fact of one name."""
        present = self._present(kind, laid)
        held = self._held(kind, laid)
        for row, values, places in laid:
            entered = row.entered
            try:
                if entered.entry is not None:
                    if entered.entry in held:
                        if held[entered.entry] != (kind, values, places):
                            says = f"entry {entered.entry} is there already, and is another"
                            raise Refusal(own_number(kind), says, "its own number")
                        self.known += 1
                        continue
                    if entered.entry > MOST_ENTRY:
                        raise Refusal(
                            own_number(kind),
                            f"entry {entered.entry} leaves no numbers after it",
                            f"at most {MOST_ENTRY}",
                        )
                    if entered.entry in self._entries:
                        raise Refusal(own_number(kind), f"entry {entered.entry} is there twice", "one row an entry")
                elif present[values, places] > 0:
                    present[values, places] -= 1
                    self.known += 1
                    continue
                self._refers(kind, values)
                self._unique(kind, values, entered.entry)
            except Refusal as refusal:
                self._fault(row, refusal)
                continue
            entry = entered.entry
            if entry is None:
                entry, self._next = self._next, self._next + 1
            self._entries[entry] = kind
            self.facts.append(Fact(kind, values, places, entry, entered.recorded_us))

    def _held(self, kind: Kind, laid: list[_Laid]) -> dict[int, tuple[Kind, tuple[Value, ...], tuple[Stretch, ...]]]:
        """What stands in the store under the numbers that the rows bring."""
        asked = {row.entered.entry for row, _, _ in laid if (row.entered.entry or NEVER) <= self._newest}
        entries = {entry for entry in asked if entry is not None}
        facts = {fact.entry or 0: fact for fact in self._reader.facts(kind, entries=entries)} if entries else {}
        for entry in entries - facts.keys():
            other = self._reader.fact(entry)
            if other is not None:
                facts[entry] = other
        return {entry: (fact.kind, fact.values, fact.places) for entry, fact in facts.items()}

    def _present(self, kind: Kind, laid: list[_Laid]) -> Counter[tuple[tuple[Value, ...], tuple[Stretch, ...]]]:
        """How often each fact of the batch stands in the store already, voided ones counted."""
        present: Counter[tuple[tuple[Value, ...], tuple[Stretch, ...]]] = Counter()
        if self._again or not laid or not self._reader.raw(f"SELECT 1 FROM {kind.file} LIMIT 1"):
            return present
        wanted = {(values, places) for row, values, places in laid if row.entered.entry is None}
        if wanted:
            for fact in self._reader.facts(kind):
                key = fact.values, fact.places
                if key in wanted:
                    present[key] += 1
        return present

    def _unique(self, kind: Kind, values: tuple[Value, ...], entry: int | None) -> None:
        names = UNIQUE.get(kind.name)
        if names is None:
            return
        key = tuple(reader_of(kind).get(values, name) for name in names)
        if entry in self._targets:
            self._names_to_go.setdefault(kind.name, set()).add(key)
            return
        known = self._known_names(kind.name)
        if key in known:
            shown = "/".join(str(part) for part in key)
            raise Refusal(names[-1], f"{kind.name} {shown} is entered already", "another name; or void the first entry")
        known.add(key)
