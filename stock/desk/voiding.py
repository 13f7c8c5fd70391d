"""When an entry may not be taken back: while other facts rest on it."""

from __future__ import annotations

from collections.abc import Collection

from stock.core.facts import Fact
from stock.core.house import ON_TAPE
from stock.core.kinds import BY_FILE, KINDS
from stock.core.layout import LayoutError
from stock.core.moments import Calendar
from stock.desk.ground import read_ground
from stock.desk.laying import moment_of, reader_of
from stock.store.reader import Reader

_RESTS_ON: dict[str, tuple[tuple[str, str], ...]] = {
    "formulation": (("stock_items", "formulation"),),
    "stock-item": (("reels", "stock_item"), ("orders", "stock_item"), ("quotes", "stock_item")),
    "machine": (("passes", "machine"), ("takes", "machine"), ("response", "machine"), ("wipes", "machine")),
    "transfer": (("copies", "transfer"), ("listens", "transfer")),
    "copy": (("copy_checks", "copy"), ("copy_files", "copy")),
    "order": (("receipts", "order"),),
}
"""For each kind, the columns in which others name it: those must be voided first."""


def why_not_void(reader: Reader, calendar: Calendar, entry: int, going: Collection[int] = ()) -> str | None:
    """Why an entry may not be voided, or None. The entry is there, and is no void.

    going: entries that are voided along with it, and so do not stand in its way.
    """
    fact = reader.fact(entry)
    assert fact is not None
    voided = reader.voided()
    if entry in voided:
        return f"entry {entry} was voided already, by entry {voided[entry]}"
    voided |= {other: 0 for other in going if other != entry}
    if fact.kind.name == "reel":
        return _reel_in_use(reader, fact, voided)
    if fact.kind.name in _RESTS_ON:
        return _named_elsewhere(reader, fact, voided)
    if fact.kind.name in ("edit", "length"):
        return _tape_moved_since(reader, calendar, fact, voided)
    return None


def _reel_in_use(reader: Reader, fact: Fact, voided: dict[int, int]) -> str | None:
    reel = reader_of(fact.kind).get(fact.values, "reel")
    for kind in KINDS:
        if kind.name == "reel":
            continue
        columns = [column for column in ("reel", "to_reel") if column in reader_of(kind).at]
        for column in columns:
            for (other,) in reader.iterate(f'SELECT entry FROM {kind.file} WHERE "{column}" = ?', (reel,)):
                if other not in voided:
                    return f"entry {other} ({kind.name}) is about reel {reel}: void that first"
    return None


def _named_elsewhere(reader: Reader, fact: Fact, voided: dict[int, int]) -> str | None:
    get = reader_of(fact.kind).get
    for file, column in _RESTS_ON[fact.kind.name]:
        conditions, values = [f'"{column}" = ?'], [get(fact.values, column)]
        if fact.kind.name == "copy":
            conditions.append("transfer = ?")
            values.append(get(fact.values, "transfer"))
        sql = f"SELECT entry FROM {file} WHERE {' AND '.join(conditions)}"
        for (other,) in reader.iterate(sql, values):
            if other not in voided:
                return f"entry {other} ({BY_FILE[file].name}) rests on it: void that first"
    return None


def _tape_moved_since(reader: Reader, calendar: Calendar, fact: Fact, voided: dict[int, int]) -> str | None:
    """An edit or a length may be voided only while nothing later touches its pieces."""
    ground = read_ground(reader, calendar, voided)
    get = reader_of(fact.kind).get
    moment = moment_of(ground, fact.kind, fact.values, binds=True)
    reels = {get(fact.values, "reel"), get(fact.values, "to_reel")} - {None}
    for edit in ground.edits:
        if edit.entry != fact.entry and edit.moment >= moment and {edit.reel, edit.to_reel} & reels:
            return f"entry {edit.entry} (edit) was made later on the same tape: void that first"
    for fix in ground.fixes:
        if fix.entry != fact.entry and fix.moment >= moment and fix.reel in reels:
            return f"entry {fix.entry} (length) was entered later for the same tape: void that first"
    for file in (*ON_TAPE, "marks"):
        kind = BY_FILE[file]
        for piece in fact.places:
            there = (piece.tape, piece.hi, piece.lo)
            sql = (
                f"SELECT entry, day, at_us FROM {file} WHERE tape = ? AND lo < ? AND hi > ? UNION"
                f" SELECT k.entry, k.day, k.at_us FROM places AS p JOIN {file} AS k ON k.entry = p.entry"
                " WHERE p.tape = ? AND p.lo < ? AND p.hi > ?"
            )
            for other, day, at_us in reader.iterate(sql, there * 2):
                if other not in voided and calendar.binds(day, at_us) > moment:
                    return f"entry {other} ({kind.name}) was made later on that tape: void that first"
    ground.edits = [edit for edit in ground.edits if edit.entry != fact.entry]
    ground.fixes = [fix for fix in ground.fixes if fix.entry != fact.entry]
    ground.changed()
    try:
        _ = ground.layouts
    except LayoutError as error:
        return f"without it the tape does not fit together: {error.says}"
    return None
