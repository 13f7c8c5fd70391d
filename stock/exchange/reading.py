"""Exchange files read into facts: everything is looked at, and everything wrong with it is found, before any is used.

Names are not looked up and places not laid on tape here; that takes the record.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

from stock.core.facts import Entered
from stock.core.kinds import Kind
from stock.core.moments import Calendar
from stock.edge.cells import Context
from stock.edge.collecting import no_collecting
from stock.edge.plan import header_problems
from stock.edge.problems import Problem
from stock.edge.rows import RowReader
from stock.edge.texts import BLANKS
from stock.exchange import source
from stock.exchange.report import Misread, cut

MOST_KEPT = 1_000
"""Problems that are kept; all are counted."""


class Sheet(NamedTuple):
    """What one file holds. rows: each fact with the line of the file its row begins on."""

    kind: Kind
    path: Path
    rows: list[tuple[int, Entered]]


class Reading(NamedTuple):
    """What a file or a folder holds: sheets by the kind's file name without suffix, in the order of the kinds.

    problems: the first found of them. found: how many there are; where there is any, nothing should be loaded.
    """

    rows: dict[str, Sheet]
    problems: list[Misread]
    found: int


class _Problems:
    """Problems as they are found: the first ones, and the count of all."""

    def __init__(self) -> None:
        self.kept: list[Misread] = []
        self.found = 0

    def add(self, misread: Misread) -> None:
        self.found += 1
        if len(self.kept) < MOST_KEPT:
            self.kept.append(misread)

    def add_all(self, path: Path, line: int, problems: list[Problem]) -> None:
        for column, value, expected, says in problems:
            self.add(Misread(path.name, line, column, cut(value), expected, says))


def read(path: Path, calendar: Calendar) -> Reading:
    """All facts of an exchange file or folder, and all that is wrong with them; nothing is raised for a bad file.

    calendar: the house's, by which an instant without an offset is meant.
    """
    problems = _Problems()
    context = Context(calendar)
    found = source.files(path, problems.add)
    with no_collecting():
        sheets = {kind.file: Sheet(kind, file, _facts(kind, file, context, problems)) for kind, file in found}
    return Reading(sheets, problems.kept, problems.found)


def _facts(kind: Kind, path: Path, context: Context, problems: _Problems) -> list[tuple[int, Entered]]:
    facts: list[tuple[int, Entered]] = []
    rows = source.rows(path, problems.add)
    top = next(rows, None)
    if top is None:
        return facts
    line, header = top[0], _columns(top[1])
    wrong = _nul_problems(header) or header_problems(kind, header)
    if wrong:
        problems.add_all(path, line, wrong)
        return facts
    read_row = RowReader(kind, header, context).read
    for line, row in rows:
        fact = read_row(row)
        if not isinstance(fact, list):
            facts.append((line, fact))
        elif any(cell.strip(BLANKS) for cell in row):
            # a row of empty cells, such as spreadsheets leave below a table, states no fact
            problems.add_all(path, line, fact)
    return facts


def _columns(header: list[str]) -> list[str]:
    return [column.strip(BLANKS) for column in header]


def _nul_problems(header: list[str]) -> list[Problem]:
    """UTF-16 without its mark is valid UTF-8 full of NULs: one problem for the file, not one for each column."""
    if not any("\0" in column for column in header):
        return []
    expected = "text saved as UTF-8"
    return [Problem("", "", expected, f"the header has NUL characters, as UTF-16 has; {expected} was expected")]


def zone_of(path: Path) -> str | None:
    """The time zone that the `rules.csv` of an exchange file or folder sets: the newest one by its date's text.

    None where it sets none. Rules voided in the same folder, zones that are not known and rows that cannot be read
    count for nothing: `read`, which needs the zone, reports what is wrong.
    """
    found = {kind.file: file for kind, file in source.files(path, _ignore)}
    voided = {cells.get("entry", "") for cells in _cells(found.get("voids"))} - {""}
    zones = [
        (cells.get("date", ""), cells.get("value", ""))
        for cells in _cells(found.get("rules"))
        if cells.get("rule") == "time_zone" and cells.get("entry", "") not in voided
    ]
    return max((zone for zone in zones if _is_zone(zone[1])), default=(None, None))[1]


def _ignore(misread: Misread) -> None:
    """What is wrong is reported by `read`, once."""


def _cells(path: Path | None) -> Iterator[dict[str, str]]:
    """The rows of a file by column, whatever its columns are."""
    if path is None:
        return
    rows = source.rows(path, _ignore)
    header = _columns(next(rows, (1, []))[1])
    for _, row in rows:
        yield dict(zip(header, (cell.strip(BLANKS) for cell in row), strict=False))


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True
