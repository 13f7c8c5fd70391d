"""Reading what answers rest on: for the whole house in bulk, or for a few reels and what they touch."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import islice
from typing import Any

from stock.core.facts import Stretch
from stock.core.house import KEYED, ON_TAPE, WHOLE_REEL_FAULTS, House
from stock.core.moments import AsOf, Calendar
from stock.core.packed import PackedPasses, PackedRecords, PackedWear
from stock.core.record import ROWS, Record, fields_of
from stock.store.reader import Reader

_PER_QUERY = 500


def quoted(names: Iterable[str]) -> str:
    """Column names as SQL takes them."""
    return ", ".join(f'"{name}"' for name in names)


def rows_of(reader: Reader, file: str, where: str = "", params: Sequence[object] = ()) -> list[Any]:
    """The rows of a file that answers rest on."""
    make = ROWS[file]._make
    sql = f"SELECT {quoted(fields_of(file))} FROM {file} {where}"
    return [make(row) for row in reader.iterate(sql, params)]


def _rows_in(reader: Reader, file: str, column: str, keys: Collection[object]) -> list[Any]:
    """The rows of a file whose column is one of the keys."""
    found: list[Any] = []
    for some in _by(keys):
        marks = ", ".join("?" * len(some))
        found += rows_of(reader, file, f'WHERE "{column}" IN ({marks})', some)
    return found


def _by(keys: Collection[object]) -> Iterator[list[object]]:
    asked = iter(sorted(keys, key=str))
    while some := list(islice(asked, _PER_QUERY)):
        yield some


def whole_house(reader: Reader, calendar: Calendar, as_of: AsOf) -> House:
    """The house with every reel, read in bulk: each table once."""
    record = Record(made_us=reader.made_us, voided=reader.voided())
    for entry, tape, lo, hi in reader.iterate("SELECT entry, tape, lo, hi FROM places ORDER BY entry, seq"):
        record.more.setdefault(entry, []).append(Stretch(tape, lo, hi))
    for file in ROWS:
        if file != "passes":
            record.rows[file] = rows_of(reader, file)
    record.rows["passes"] = rows_of(reader, "passes", f"WHERE entry IN ({_ODD})")
    return House(record, calendar, as_of, _packed_passes(reader, as_of))


_ODD = "SELECT entry FROM places UNION ALL SELECT target FROM voids"
"""Entries that are voided or lie on several stretches of tape: their passes are read as rows, the others packed."""
_TENTHS = "ifnull(count, 1) * CASE kind WHEN 'wind' THEN 1 ELSE 10 END"
_OWN_REEL = "nullif(reel, tape)"


def _packed_passes(reader: Reader, as_of: AsOf) -> PackedPasses:
    """The passes that stand as of a moment, on one stretch each, gathered tape by tape by the engine."""
    there = "tape IS NOT NULL AND (at_us <= ? OR at_us IS NULL AND (day IS NULL OR day <= ?))"
    if reader.raw(f"SELECT 1 FROM ({_ODD}) LIMIT 1"):
        there += f" AND entry NOT IN ({_ODD})"
    columns = ", ".join(f"json_group_array({_OWN_REEL if name == 'reel' else name})" for name in PackedRecords._fields)
    records = reader.iterate(
        f"SELECT tape, {columns} FROM passes WHERE kind = 'record' AND {there} GROUP BY tape", as_of
    )
    wear = reader.iterate(
        "SELECT tape, group_concat(CASE tenths WHEN 10 THEN lo END), group_concat(CASE tenths WHEN 10 THEN hi END),"
        " group_concat(CASE WHEN tenths <> 10 THEN tenths || ' ' || lo || ' ' || hi END)"
        f" FROM (SELECT tape, lo, hi, {_TENTHS} AS tenths FROM passes WHERE {there}) GROUP BY tape",
        as_of,
    )
    return PackedPasses(
        {tape: PackedRecords(*found) for tape, *found in records}, {tape: PackedWear(*found) for tape, *found in wear}
    )


def some_reels(reader: Reader, calendar: Calendar, as_of: AsOf, reels: Collection[str]) -> House:
    """The house as far as the answers about some reels need it: their tape, their sets, their batches, their names.

    Reels that are not there are left out.
    """
    record = Record(made_us=reader.made_us, voided=reader.voided())
    rows = record.rows
    rows["rules"] = rows_of(reader, "rules")
    rows["edits"] = rows_of(reader, "edits")
    rows["lengths"] = rows_of(reader, "lengths")
    for edit_entry, tape, lo, hi in reader.iterate(
        "SELECT p.entry, p.tape, p.lo, p.hi FROM places AS p JOIN edits AS e ON e.entry = p.entry "
        "ORDER BY p.entry, p.seq"
    ):
        record.more.setdefault(edit_entry, []).append(Stretch(tape, lo, hi))
    sets = [row.set for row in _rows_in(reader, "sets", "reel", reels)]
    rows["sets"] = _rows_in(reader, "sets", "set", set(sets))
    wanted = {*reels, *(row.reel for row in rows["sets"])}
    faults = _rows_in(reader, "findings", "kind", WHOLE_REEL_FAULTS)
    known = {*wanted, *(row.reel for row in rows["edits"]), *(row.to_reel for row in rows["edits"] if row.to_reel)}
    known |= {row.reel for row in rows["lengths"]} | {row.tape for row in faults}
    rows["reels"] = _rows_in(reader, "reels", "reel", known)
    items = {row.stock_item for row in rows["reels"]}
    rows["stock_items"] = _rows_in(reader, "stock_items", "stock_item", items)
    rows["formulations"] = _rows_in(
        reader, "formulations", "formulation", {row.formulation for row in rows["stock_items"]}
    )
    layouts = House(record, calendar, as_of).layouts
    there = {row.reel for row in rows["reels"]}
    tapes: set[str] = set()
    for reel in wanted & there:
        layout = layouts.now(reel)
        tapes |= {piece.tape for piece in (*layout.pieces, *layout.beyond)}
    missing = tapes - there
    if missing:
        rows["reels"] += _rows_in(reader, "reels", "reel", missing)
    for file in ON_TAPE:
        rows[file] = _on_tapes(reader, record, file, tapes)
    naming = {row.reel for row in rows["passes"] if row.take}
    rows["takes"] = _with(rows["takes"], _rows_in(reader, "takes", "reel", naming))
    rows["findings"] = _with(faults, rows["findings"])

    transfers = {row.transfer for row in rows["transfers"]}
    keys: dict[str, set[Any]] = {
        "moves": wanted,
        "reservations": wanted,
        "decisions": {row.entry for row in rows["takes"]},
        "listens": transfers,
        "copies": transfers,
        "copy_checks": transfers,
        "hold_ends": {row.hold for row in rows["holds"]},
        "projects": {row.project for row in rows["takes"] if row.project},
    }
    for file, values in keys.items():
        rows[file] = _rows_in(reader, file, KEYED[file], values)
    return House(record, calendar, as_of)


def _with(first: list[Any], more: list[Any]) -> list[Any]:
    """Rows of two readings, each once."""
    return list({row.entry: row for row in (*first, *more)}.values())


def _on_tapes(reader: Reader, record: Record, file: str, tapes: Collection[str]) -> list[Any]:
    """The rows of a file that lie on some tapes, their second and later stretches noted in the record."""
    found = {row.entry: row for row in _rows_in(reader, file, "tape", tapes)}
    for some in _by(tapes):
        marks = ", ".join("?" * len(some))
        sql = f"SELECT p.entry FROM places AS p JOIN {file} AS k ON k.entry = p.entry WHERE p.tape IN ({marks})"
        further = {entry for (entry,) in reader.iterate(sql, some)} - found.keys()
        for row in _rows_in(reader, file, "entry", further):
            found[row.entry] = row
    for some in _by(found):
        marks = ", ".join("?" * len(some))
        sql = f"SELECT entry, tape, lo, hi FROM places WHERE entry IN ({marks}) ORDER BY entry, seq"
        pieces: dict[int, list[Stretch]] = {}
        for entry, tape, lo, hi in reader.iterate(sql, some):
            pieces.setdefault(entry, []).append(Stretch(tape, lo, hi))
        record.more.update(pieces)
    return list(found.values())


def zone_in_force(reader: Reader) -> str:
    """The house's time zone: the newest value of that rule, days compared as UTC days; UTC where none is set."""
    voided = reader.voided()
    newest: tuple[int, str] | None = None
    for entry, value, day, at_us in reader.iterate(
        "SELECT entry, value, day, at_us FROM rules WHERE rule = 'time_zone'"
    ):
        if entry not in voided:
            moment = at_us if day is None else day * 86_400_000_000
            newest = max(newest, (moment, value)) if newest else (moment, value)
    return newest[1] if newest else "UTC"
