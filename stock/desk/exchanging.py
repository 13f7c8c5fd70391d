"""Exchange folders loaded into the house and dumped from it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from stock.core.facts import Fact
from stock.core.kinds import KINDS, Kind
from stock.core.moments import Calendar
from stock.desk.desk import Desk, LoadReport
from stock.desk.entering import Sourced
from stock.desk.ground import read_ground
from stock.desk.laying import Ground, reader_of, start_and_end
from stock.desk.reading import zone_in_force
from stock.edge.cells import Context
from stock.edge.dump import spell_fact
from stock.edge.rule_values import spell_rule
from stock.exchange.reading import read, zone_of
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
    calendar = Calendar(_zone(desk, path))
    reading = read(path, calendar)
    if not reading.found and not any(sheet.rows for sheet in reading.rows.values()):
        nothing = Misread(path.name, None, "", "", "an exchange file with rows", "there is nothing to load here")
        return Loaded((nothing,), 1, {}, 0, None)
    if reading.found:
        return Loaded(tuple(reading.problems), reading.found, {}, 0, None)
    rows = [
        Sourced((sheet.path.name, line), entered) for sheet in reading.rows.values() for line, entered in sheet.rows
    ]
    report = desk.load(rows, calendar, f"load {path.name}", dry_run=dry_run)
    problems = tuple(_misread(report))
    return Loaded(problems, len(problems), report.counts, report.receipt.known, report.receipt.line)


def _zone(desk: Desk, path: Path) -> str:
    """The zone the rows are meant in: the house's own; for a house that has set none, the one the folder sets."""
    with desk.store.reading() as reader:
        zone = zone_in_force(reader)
        if reader.raw("SELECT 1 FROM rules WHERE rule = 'time_zone' LIMIT 1"):
            return zone
    return zone_of(path) or zone


def _misread(report: LoadReport) -> Iterator[Misread]:
    for fault in report.faults:
        file, line = fault.source
        yield Misread(file, line, fault.column, "", fault.expected, fault.says)


def dump(desk: Desk, folder: Path, *, overwrite: bool = False) -> list[Path]:
    """Write everything recorded as an exchange folder; loading it elsewhere gives the same facts with their numbers."""
    with desk.store.reading() as reader:
        calendar = Calendar(zone_in_force(reader))
        ground = read_ground(reader, calendar, reader.voided())
        context = Context(calendar)
        sheets = ((kind, _rows(reader, kind, ground, context)) for kind in KINDS)
        return write_folder(folder, sheets, overwrite=overwrite)


def _rows(reader: Reader, kind: Kind, ground: Ground, context: Context) -> Iterator[dict[str, str]]:
    for fact in reader.facts(kind):
        row = spell_fact(fact, context, _places(fact, ground) if kind.placed in ("span", "point") else None)
        if kind.name == "rule":
            get = reader_of(kind).get
            row["value"] = spell_rule(get(fact.values, "rule"), get(fact.values, "value"), context)
        yield row


def _places(fact: Fact, ground: Ground) -> tuple[str, str] | None:
    places = start_and_end(ground, fact)
    if places is None:
        return None
    start, end = (f"{at // 10_000}.{at % 10_000:04d} m" for at in places)
    return start, end
