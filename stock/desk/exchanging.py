"""Exchange folders loaded into the house and dumped from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from stock.core.facts import Entered
from stock.core.kinds import KINDS, Kind
from stock.core.moments import Calendar
from stock.desk.desk import Desk, LoadReport
from stock.desk.ground import read_ground
from stock.desk.laying import Ground, Layer, reader_of
from stock.desk.reading import zone_in_force
from stock.edge.cells import Context
from stock.edge.collecting import no_collecting
from stock.edge.dump import spell_fact
from stock.edge.rule_values import spell_rule
from stock.exchange.reading import Reading, read, zone_of
from stock.exchange.report import Misread
from stock.exchange.writing import write_folder
from stock.store.reader import Reader


@dataclass(frozen=True)
class Loaded:
    """What a load did. problems: the first of them, found: how many; with any, nothing was stored."""

    problems: tuple[Misread, ...]
    found: int
    added: Mapping[str, int]
    known: int
    line: int | None


def load(desk: Desk, path: Path, *, dry_run: bool = False) -> Loaded:
    """Load an exchange file or folder: everything, or nothing where anything is wrong."""
    with no_collecting():
        return _load(desk, path, dry_run=dry_run)


def _load(desk: Desk, path: Path, *, dry_run: bool) -> Loaded:
    calendar = Calendar(_zone(desk, path))
    reading = read(path, calendar)
    if not reading.found and not any(sheet.rows for sheet in reading.rows.values()):
        nothing = Misread(path.name, None, "", "", "an exchange file with rows", "there is nothing to load here")
        return Loaded((nothing,), 1, {}, 0, None)
    if reading.found:
        return Loaded(tuple(reading.problems), reading.found, {}, 0, None)
    files = {sheet.kind.name: sheet.path.name for sheet in reading.rows.values()}
    report = desk.load(_rows_of(reading), calendar, f"load {path.name}", dry_run=dry_run)
    problems = tuple(_misread(report, files))
    return Loaded(problems, len(problems), report.counts, report.receipt.known, report.receipt.line)


def _rows_of(reading: Reading) -> Iterator[tuple[int, Entered]]:
    """The rows of all sheets, which are left empty: a row is let go of as soon as its fact is made."""
    for sheet in reading.rows.values():
        yield from sheet.rows
        sheet.rows.clear()


def _zone(desk: Desk, path: Path) -> str:
    """The zone the rows are meant in: the house's own; for a house that has set none, the one the folder sets."""
    with desk.store.reading() as reader:
        zone = zone_in_force(reader)
        if reader.raw("SELECT 1 FROM rules WHERE rule = 'time_zone' LIMIT 1"):
            return zone
    return zone_of(path) or zone


def _misread(report: LoadReport, files: Mapping[str, str]) -> Iterator[Misread]:
    for fault in report.faults:
        yield Misread(files[fault.kind.name], fault.source, fault.column, "", fault.expected, fault.says)


def dump(desk: Desk, folder: Path, *, overwrite: bool = False) -> list[Path]:
    """Write everything recorded as an exchange folder; loading it elsewhere gives the same facts with their numbers."""
    with desk.store.reading() as reader:
        calendar = Calendar(zone_in_force(reader))
        ground = read_ground(reader, calendar, reader.voided())
        context = Context(calendar)
        sheets = ((kind, _rows(reader, kind, ground, context)) for kind in KINDS)
        return write_folder(folder, sheets, overwrite=overwrite)


def _rows(reader: Reader, kind: Kind, ground: Ground, context: Context) -> Iterator[dict[str, str]]:
    layer = Layer(ground, kind) if kind.placed in ("span", "point") else None
    for fact in reader.facts(kind):
        row = spell_fact(fact, context, None if layer is None else _places(layer.start_and_end(fact)))
        if kind.name == "rule":
            get = reader_of(kind).get
            row["value"] = spell_rule(get(fact.values, "rule"), get(fact.values, "value"), context)
        yield row


def _places(places: tuple[int, int] | None) -> tuple[str, str] | None:
    if places is None:
        return None
    start, end = (f"{at // 10_000}.{at % 10_000:04d} m" for at in places)
    return start, end
