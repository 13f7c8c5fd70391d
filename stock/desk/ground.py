"""The ground places are laid on: read out of the store, and grown by what a batch enters."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from stock.core.facts import Entered, Fact, Stretch, Value
from stock.core.kinds import KINDS, Kind
from stock.core.layout import Event, LayoutError
from stock.core.moments import Calendar
from stock.desk.laying import Ground, Refusal, edit_of, fix_of, mark_of, moment_of, reader_of
from stock.desk.stored import Content, Stored
from stock.store.reader import Reader

GROUND_KINDS = tuple(kind for kind in KINDS if kind.name in ("edit", "length", "zero-mark", "stripe"))

_MOST_NAMED = 500
"""Reels that are asked for by number; of more than that all are read, which is then no slower."""


def read_ground(
    reader: Reader, calendar: Calendar, voided: Mapping[int, int], reels: Collection[str] | None = None
) -> Ground:
    """The ground as the store has it: all of it, or what it takes to lay places on some reels."""
    ground = Ground(calendar)
    for fact in _ground_facts(reader, reels):
        if fact.entry not in voided:
            _put(ground, fact.entry or 0, fact.kind, fact.values, fact.places)
    ground.lengths = dict(_lengths(reader, voided, None if reels is None else {*reels, *_moved(ground)}))
    return ground


def _ground_facts(reader: Reader, reels: Collection[str] | None) -> Iterator[Fact]:
    for kind in GROUND_KINDS:
        if reels is None or kind.name in ("edit", "length"):
            yield from reader.facts(kind)
        else:
            for reel in reels:
                yield from reader.facts(kind, reel=reel)


def _moved(ground: Ground) -> Iterator[str]:
    """The reels that were ever edited or measured, and those their tape came on."""
    for edit in ground.edits:
        yield edit.reel
        if edit.to_reel is not None:
            yield edit.to_reel
        for piece in edit.stretches:
            yield piece.tape
    for fix in ground.fixes:
        yield fix.reel


def _lengths(reader: Reader, voided: Mapping[int, int], reels: set[str] | None) -> Iterator[tuple[str, int]]:
    items = {
        item: length
        for entry, item, length in reader.iterate("SELECT entry, stock_item, length FROM stock_items ORDER BY entry")
        if entry not in voided
    }
    asked = [] if reels is None or len(reels) > _MOST_NAMED else sorted(reels)
    where = f"WHERE reel IN ({', '.join('?' * len(asked))})" if asked else ""
    for entry, reel, item, length in reader.iterate(
        f"SELECT entry, reel, stock_item, length FROM reels {where}", asked
    ):
        if entry not in voided:
            yield reel, items.get(item, 0) if length is None else length


def _put(ground: Ground, entry: int, kind: Kind, values: Sequence[Value], places: tuple[Stretch, ...]) -> None:
    """Add a fact the store has; whether edits fit one another shows when their layouts are asked for."""
    if kind.name == "edit":
        ground.edits.append(edit_of(ground, entry, values, kind, places))
    elif kind.name == "length":
        ground.fixes.append(fix_of(ground, entry, values, kind))
    else:
        _mark(ground, entry, kind, values, places)


def _mark(ground: Ground, entry: int, kind: Kind, values: Sequence[Value], places: tuple[Stretch, ...]) -> None:
    mark = mark_of(ground, entry, values, kind, places)
    if mark is not None:
        marks = ground.zero_marks if kind.name == "zero-mark" else ground.stripes
        marks.setdefault(reader_of(kind).get(values, "reel"), []).append(mark)


class Groundwork:
    """What a batch adds to the ground. going: the entries it voids.

    Its facts are put in the order of their moments, each laid on what went before. So two edits of one minute count in
    the order of their seconds, where these are given; of those of one moment the edits and lengths come first, since
    what is laid at that moment lies on what they leave, and else the order in which they are given.
    """

    def __init__(self, reader: Reader, ground: Ground, stored: Stored, going: Collection[int], *, again: bool) -> None:
        self._reader = reader
        self._ground = ground
        self._stored = stored
        self._going = going
        self._again = again
        self._held: set[int] = set()
        self._like: dict[str, Counter[Content]] = {}

    def in_order(self, rows: Mapping[str, Sequence[tuple[object, Entered]]]) -> list[tuple[int, object, Entered]]:
        """The rows of the kinds of the ground in the order they are to be put, each with its place among all given."""
        found: list[tuple[int, bool, int, object, Entered]] = []
        for kind in GROUND_KINDS:
            given = rows.get(kind.name, ())
            binds = kind.name in ("edit", "length")
            for source, entered in given:
                moment = moment_of(self._ground, kind, entered.values, binds=binds)
                found.append((moment, not binds, len(found), source, entered))
            self._held |= self._stored.held(kind, (entered.entry for _, entered in given)).keys()
        found.sort(key=lambda row: row[:3])
        self._forget_going()
        return [row[2:] for row in found]

    def _forget_going(self) -> None:
        ground, going = self._ground, self._going
        ground.edits = [edit for edit in ground.edits if edit.entry not in going]
        ground.fixes = [fix for fix in ground.fixes if fix.entry not in going]
        ground.changed()
        for marks in (ground.zero_marks, ground.stripes):
            for reel, held in marks.items():
                marks[reel] = [mark for mark in held if mark.entry not in going]

    def put(self, number: int, entered: Entered, values: tuple[Value, ...], places: tuple[Stretch, ...]) -> None:
        """Add a fact, unless the store has it already. number: its entry, or one that orders it among the batch's.

        Raises Refusal.
        """
        kind = entered.kind
        if self._is_stored(entered, values, places):
            return
        self._refuse_waste(kind, values)
        if entered.entry in self._going:
            return
        if kind.name not in ("edit", "length"):
            _mark(self._ground, number, kind, values, places)
            return
        ground = self._ground
        edit = kind.name == "edit"
        event: Event = edit_of(ground, number, values, kind, places) if edit else fix_of(ground, number, values, kind)
        try:
            ground.put(event)
        except LayoutError as error:
            raise Refusal("start", error.says, "an edit that fits the tape as recorded") from None

    def _is_stored(self, entered: Entered, values: tuple[Value, ...], places: tuple[Stretch, ...]) -> bool:
        """Whether the store has this fact, so that its part of the ground is there; each fact is found once."""
        if entered.entry is not None:
            return entered.entry in self._held
        like = self._like.get(entered.kind.name)
        if like is None:
            like = self._like[entered.kind.name] = self._all_of(entered.kind)
        like[values, places] -= 1
        return like[values, places] >= 0

    def _all_of(self, kind: Kind) -> Counter[Content]:
        if self._again:
            return Counter()
        return Counter((fact.values, fact.places) for fact in self._reader.facts(kind))

    def _refuse_waste(self, kind: Kind, values: tuple[Value, ...]) -> None:
        """Refusal where a file throws tape away since this record was begun: that is asked for one by one."""
        if kind.name != "edit" or self._again or reader_of(kind).get(values, "to_reel") is not None:
            return
        if moment_of(self._ground, kind, values, binds=True) > self._reader.made_us:
            raise Refusal(
                "to_reel",
                "tape is thrown away by `add edit`, which takes the answer first; a file may only tell of what was "
                "thrown away before this record was begun",
                "the reel it was joined into, or an earlier date",
            )
