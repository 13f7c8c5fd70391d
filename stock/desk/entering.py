"""Entering facts: a batch of them, checked against the record and one another, and numbered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from operator import attrgetter
from typing import Any, NamedTuple, TypeVar

from stock.core.facts import Entered, Fact, Stretch, Value
from stock.core.kinds import KINDS, Kind
from stock.core.moments import AsOf, Calendar, as_of_instant
from stock.desk.decisions import Decisions
from stock.desk.ground import GROUND_KINDS, Groundwork, read_ground
from stock.desk.laying import Ground, Layer, Refusal, reader_of
from stock.desk.names import Names
from stock.desk.settling import Settling
from stock.desk.stored import Content, Stored
from stock.desk.voids import Voids
from stock.edge.plan import own_number
from stock.store.reader import Reader

NAMED_FIRST = frozenset({"formulation", "stock-item", "machine", "reel"})

MOST_ENTRY = 10**15
"""The largest number a fact may bring: far below what the store can count to."""

FEW = 20
"""Rows, at most, for which the names and reels they need are looked up one by one rather than all read."""


class Sourced(NamedTuple):
    """An entered fact and where it came from (anything the caller can tell its user by)."""

    source: Any
    entered: Entered


Row = tuple[Any, Entered]
"""As `Sourced`."""


class Fault(NamedTuple):
    """What the record cannot bear of a row."""

    source: Any
    kind: Kind
    column: str
    says: str
    expected: str


_Laid = tuple[Any, tuple[Value, ...], tuple[Stretch, ...], int | None, int | None]
"""Where a row came from, its values, the tape it lies on, and the entry and the recording moment it brings."""

_T = TypeVar("_T")


class Batch:
    """Facts on their way in. Use once: `take`, then `facts` in order of entry, `faults`, and how many were `known`.

    again: whether a fact like one that is there already is another one (somebody enters it now), not the same.
    """

    def __init__(self, reader: Reader, calendar: Calendar, now_us: int, *, again: bool = False) -> None:
        self._reader = reader
        self._calendar = calendar
        self._now = as_of_instant(calendar, now_us)
        self._again = again
        self.facts: list[Fact] = []
        self.faults: list[Fault] = []
        self.known = 0

    def take(self, rows: Iterable[Row]) -> None:
        """Check and number everything; where there are faults, nothing of the batch may be stored."""
        by_kind: dict[str, list[Row]] = {}
        for row in rows:
            by_kind.setdefault(row[1].kind.name, []).append(row)
        work = _Work(self._reader, self._calendar, self._now, by_kind, again=self._again)
        work.enter(by_kind)
        self.facts, self.faults, self.known = work.facts, work.faults, work.known
        self.facts.sort(key=attrgetter("entry"))


class _Work:
    """A batch at work: rows settled, laid and numbered kind by kind, in the order in which they rest on one another."""

    def __init__(
        self, reader: Reader, calendar: Calendar, now: AsOf, rows: dict[str, list[Row]], *, again: bool
    ) -> None:
        self.facts: list[Fact] = []
        self.faults: list[Fault] = []
        self.known = 0
        self._reader = reader
        self._stored = Stored(reader, again=again)
        self._next = max(self._stored.newest, max(map(_highest, rows.values()), default=0)) + 1
        self._numbers: dict[int, Kind] = {}
        """The kinds of the entries that rows bring, and of those that voids of the batch name."""
        voided = reader.voided()
        voids = (entered.values[0] for _, entered in rows.get("void", ()))
        self._going = frozenset(target for target in voids if isinstance(target, int))
        few = sum(map(len, rows.values())) <= FEW
        self._ground = read_ground(reader, calendar, voided, _reels_of(rows) if few else None)
        self._groundwork = Groundwork(reader, self._ground, self._stored, self._going, again=again)
        self._names = Names(reader, voided, self._going, few=few)
        self._voids = Voids(reader, calendar, self._numbers, self._going)
        decisions = Decisions(reader, calendar, self.facts, voided.keys() | self._going, now=again)
        self._settling = Settling(now, self._ground, decisions, self._voids)

    def enter(self, rows: dict[str, list[Row]]) -> None:
        """Enter rows by kind; they are taken out of their lists, and let go of as they are done with."""
        for kind in KINDS:
            if kind.name in NAMED_FIRST:
                self._enter_kind(kind, rows.pop(kind.name, []))
        self._lengths_from_batch()
        self._enter_ground(rows)
        for kind in KINDS:
            self._enter_kind(kind, rows.pop(kind.name, []))

    def _enter_kind(self, kind: Kind, rows: list[Row]) -> None:
        settle, lay = self._settling.of(kind), _layer(self._ground, kind)
        laid: list[_Laid] = []
        for source, entered in _drained(rows):
            try:
                values = settle(entered.values)
                places = lay(entered)
            except Refusal as refusal:
                self._fault(source, kind, refusal)
            else:
                laid.append((source, values, places, entered.entry, entered.recorded_us))
        self._number(kind, laid)

    def _enter_ground(self, rows: dict[str, list[Row]]) -> None:
        """Enter what others are laid on, each on what went before it."""
        own = {kind.name: rows.pop(kind.name, []) for kind in GROUND_KINDS}
        laid: dict[str, list[_Laid]] = {kind.name: [] for kind in GROUND_KINDS}
        settle_lay = {kind.name: (self._settling.of(kind), _layer(self._ground, kind)) for kind in GROUND_KINDS}
        for place, source, entered in self._groundwork.in_order(own):
            kind = entered.kind
            settle, lay = settle_lay[kind.name]
            try:
                values = settle(entered.values)
                places = lay(entered)
                self._groundwork.put(entered.entry or self._next + place, entered, values, places)
            except Refusal as refusal:
                self._fault(source, kind, refusal)
            else:
                laid[kind.name].append((source, values, places, entered.entry, entered.recorded_us))
        for kind in GROUND_KINDS:
            self._number(kind, laid[kind.name])

    def _fault(self, source: Any, kind: Kind, refusal: Refusal) -> None:
        self.faults.append(Fault(source, kind, refusal.column, refusal.says, refusal.expected or "a value that fits"))

    def _lengths_from_batch(self) -> None:
        """The reels of the batch are tape for the rest of it to lie on."""
        items: dict[Value, Value] = {}
        for kind, values, _, _, _ in self.facts:
            get = reader_of(kind).get
            if kind.name == "stock-item":
                items[get(values, "stock_item")] = get(values, "length")
            elif kind.name == "reel":
                length = get(values, "length")
                if length is None:
                    item = get(values, "stock_item")
                    length = items[item] if item in items else self._item_length(item)
                self._ground.lengths[get(values, "reel")] = length
        self._ground.changed()

    def _item_length(self, item: str) -> int:
        rows = self._reader.raw("SELECT length FROM stock_items WHERE stock_item = ? ORDER BY entry DESC", (item,))
        return int(rows[0][0])

    # numbering

    def _number(self, kind: Kind, laid: list[_Laid]) -> None:
        """Give entry numbers to what is not there yet, and refuse a second fact of one name."""
        held: dict[int, Fact] = {}
        like: Counter[Content] = Counter()
        if laid:
            held = self._stored.held(kind, (entry for _, _, _, entry, _ in laid))
            if self._stored.has_any(kind):
                like = self._stored.like(kind, {row[1:3] for row in laid if row[3] is None})
        for source, values, places, entry, recorded_us in _drained(laid):
            try:
                if entry is not None:
                    is_there = self._is_held(kind, held.get(entry), values, places, entry)
                else:
                    is_there = bool(like) and like[values, places] > 0
                    if is_there:
                        like[values, places] -= 1
                if is_there:
                    self.known += 1
                    continue
                self._names.refer(kind, values)
                if kind.name == "void":
                    self._voids.take_back(reader_of(kind).get(values, "target"))
                self._names.claim(kind, values, entry)
            except Refusal as refusal:
                self._fault(source, kind, refusal)
                continue
            brought = entry is not None
            if entry is None:
                entry, self._next = self._next, self._next + 1
            if brought or entry in self._going:
                self._numbers[entry] = kind
            self.facts.append(Fact(kind, values, places, entry, recorded_us))

    def _is_held(
        self, kind: Kind, held: Fact | None, values: tuple[Value, ...], places: tuple[Stretch, ...], entry: int
    ) -> bool:
        """Whether the store has this very fact under the number it brings; Refusal where it cannot have that number."""
        if held is not None:
            if (held.kind, held.values, held.places) == (kind, values, places):
                return True
            raise Refusal(own_number(kind), f"entry {entry} is there already, and is another", "its own number")
        if entry > MOST_ENTRY:
            raise Refusal(own_number(kind), f"entry {entry} leaves no numbers after it", f"at most {MOST_ENTRY}")
        if entry in self._numbers:
            raise Refusal(own_number(kind), f"entry {entry} is there twice", "one row an entry")
        return False


def _layer(ground: Ground, kind: Kind) -> Callable[[Entered], tuple[Stretch, ...]]:
    """What lays facts of a kind on tape. Raises Refusal."""
    return (lambda entered: ()) if kind.placed == "no" else Layer(ground, kind).lay


def _drained(rows: list[_T]) -> Iterator[_T]:
    """The rows of a list, which is left empty: each can be let go of before the next, where there are millions."""
    rows.reverse()
    while rows:
        yield rows.pop()


def _highest(rows: list[Row]) -> int:
    return max(entered.entry or 0 for _, entered in rows)


def _reels_of(rows: dict[str, list[Row]]) -> set[str]:
    """The reels and tapes that rows name."""
    found: set[str] = set()
    for of_kind in rows.values():
        for _, entered in of_kind:
            get = reader_of(entered.kind).get
            found.update(filter(None, (get(entered.values, "reel"), get(entered.values, "to_reel"))))
            found.update(place.tape for place in entered.places or ())
    return found
