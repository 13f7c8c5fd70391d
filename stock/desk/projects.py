"""The projects entered: of each its newest row, and which of them a forecast can take."""

from __future__ import annotations

from stock.core.kinds import BY_FILE, columns
from stock.core.rules import Rules
from stock.planning.forecast.ahead import Ahead, LeftOut, ProjectRow, ahead_of
from stock.store.reader import Reader

_NAMES = {"from": "first", "to": "last"}


def project_rows(reader: Reader) -> list[ProjectRow]:
    """The newest standing entry of every project, in order of name."""
    names = [column.name for column in columns(BY_FILE["projects"])]
    wanted = [name for name in names if _NAMES.get(name, name) in ProjectRow._fields]
    listed = ", ".join(f'"{name}"' for name in wanted)
    newest: dict[str, ProjectRow] = {}
    standing = "entry NOT IN (SELECT target FROM voids)"
    for cells in reader.iterate(f"SELECT {listed} FROM projects WHERE {standing} ORDER BY entry"):
        row = ProjectRow(**{_NAMES.get(name, name): cell for name, cell in zip(wanted, cells, strict=True)})
        newest[row.project] = row
    return [newest[name] for name in sorted(newest)]


def sort_projects(
    rows: list[ProjectRow], today: int, items: set[str], rules: Rules
) -> tuple[list[Ahead], list[LeftOut]]:
    """Projects a forecast can take, and those it leaves out with the reason."""
    ahead: list[Ahead] = []
    left_out: list[LeftOut] = []
    for row in rows:
        found = ahead_of(row, today, items, rules)
        if isinstance(found, Ahead):
            ahead.append(found)
        else:
            left_out.append(found)
    return ahead, left_out
