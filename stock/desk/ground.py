"""The ground places are laid on, read out of the store."""

from __future__ import annotations

from collections.abc import Iterator

from stock.core.facts import Fact
from stock.core.kinds import KINDS
from stock.core.moments import Calendar
from stock.desk.laying import Ground, edit_of, fix_of, mark_of, reader_of
from stock.store.reader import Reader

GROUND_KINDS = frozenset({"edit", "length", "zero-mark", "stripe"})


def read_ground(reader: Reader, calendar: Calendar, voided: dict[int, int]) -> Ground:
    """The ground as the store has it."""
    ground = Ground(calendar)
    items = {
        item: length
        for entry, item, length in reader.iterate("SELECT entry, stock_item, length FROM stock_items ORDER BY entry")
        if entry not in voided
    }
    for entry, reel, item, length in reader.iterate("SELECT entry, reel, stock_item, length FROM reels"):
        if entry not in voided:
            ground.lengths[reel] = items.get(item, 0) if length is None else length
    for fact in _ground_facts(reader, voided):
        kind, values = fact.kind, fact.values
        entry = fact.entry or 0
        if kind.name == "edit":
            ground.edits.append(edit_of(ground, entry, values, kind, fact.places))
        elif kind.name == "length":
            ground.fixes.append(fix_of(ground, entry, values, kind))
        else:
            mark = mark_of(ground, entry, values, kind, fact.places)
            marks = ground.zero_marks if kind.name == "zero-mark" else ground.stripes
            if mark is not None:
                marks.setdefault(reader_of(kind).get(values, "reel"), []).append(mark)
    return ground


def _ground_facts(reader: Reader, voided: dict[int, int]) -> Iterator[Fact]:
    for kind in KINDS:
        if kind.name in GROUND_KINDS:
            yield from (fact for fact in reader.facts(kind) if fact.entry not in voided)
