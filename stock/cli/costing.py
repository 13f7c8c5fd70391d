"""`cost`: what tape costs, on the page, in JSON, CSV or PDF."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, table, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.cost_tables import Sheet

PARTS = ("value", "projects", "retired", "months", "prices", "rates", "reels")


@house_command("cost", dated=True, has_json=True)
@click.argument("part", type=click.Choice(PARTS), required=False)
@click.option("--csv", "csv_file", metavar="FILE", type=click.Path(path_type=Path), help="Write one part as CSV.")
@click.option("--pdf", "pdf_file", metavar="FILE", type=click.Path(path_type=Path), help="Write it as PDF.")
@click.pass_obj
def cost(settings: Settings, part: str | None, csv_file: Path | None, pdf_file: Path | None) -> None:
    """What tape costs: the shelf's value, tape by project, write-offs, months against the budget, prices paid.

    One part may be named. Currencies are never added up.
    """
    from stock.core.moments import datetime_of
    from stock.desk.cost_files import write_csv, write_pdf
    from stock.desk.cost_tables import SHEETS, USUAL
    from stock.desk.costing import costs

    if csv_file is not None and part is None:
        raise click.UsageError(f"name the part to write as CSV: one of {', '.join(PARTS)}")
    with settings.asking() as desk:
        found = costs(desk)
        as_of = desk.as_of()
    sheets = [SHEETS[name](found) for name in ((part,) if part else USUAL)]
    if csv_file is not None:
        write_csv(csv_file, sheets[0])
    if pdf_file is not None:
        write_pdf(pdf_file, sheets, datetime_of(as_of.at_us))
    if settings.as_json:
        say_json({"as_of": _day(as_of.day), **{sheet.name: _rows(sheet) for sheet in sheets}})
        return
    written = [str(path) for path in (csv_file, pdf_file) if path is not None]
    for line in [f"Written: {path}" for path in written] or _page(sheets, width()):
        say(line)


def _day(day: int) -> str:
    from stock.core.moments import date_of

    return date_of(day).isoformat()


def _rows(sheet: Sheet) -> list[dict[str, Any]]:
    """The rows by head; amounts and counts as numbers."""
    keys = [head.replace(" ", "_") for head in sheet.heads]
    return [
        {
            key: _number(cell) if at in sheet.right else cell
            for at, (key, cell) in enumerate(zip(keys, row, strict=True))
        }
        for row in sheet.rows
    ]


def _number(cell: str) -> float | int | str | None:
    if not cell:
        return None
    if cell.endswith("%"):
        return cell
    return float(cell) if "." in cell else int(cell)


def _page(sheets: list[Sheet], columns: int) -> Iterator[str]:
    for number, sheet in enumerate(sheets):
        if number:
            yield ""
        yield sheet.title
        if not sheet.rows:
            yield "  nothing"
            continue
        every = [sheet.heads, *sheet.rows, *sheet.totals]
        wide = [max(len(row[at]) for row in every) for at in range(len(sheet.heads))]
        lined = [[cell.rjust(wide[at]) if at in sheet.right else cell for at, cell in enumerate(row)] for row in every]
        yield from table(lined[0], lined[1:], columns)
        if sheet.note:
            yield from wrapped(sheet.note, columns, "  ")
