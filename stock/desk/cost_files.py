"""Tables of cost written as CSV and PDF."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from stock.desk.cost_tables import Sheet
from stock.exchange.guard import guard
from stock.exchange.papers import FONT, add_table, finished, paper, printable, write_whole


def write_csv(path: Path, sheet: Sheet) -> None:
    """One table as CSV, without its totals, as a spreadsheet adds up itself; no cell is a formula to it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(sheet.heads)
    for row in sheet.rows:
        writer.writerow([cell if at in sheet.right else guard(cell) for at, cell in enumerate(row)])
    write_whole(path, out.getvalue().encode("utf-8"))


def write_pdf(path: Path, sheets: Sequence[Sheet], made: datetime) -> None:
    """Tables as a PDF, one after another."""
    pdf = paper("What tape costs", made)
    pdf.add_page()
    for sheet in sheets:
        if pdf.will_page_break(30):
            pdf.add_page()
        pdf.set_font(FONT, style="B", size=12)
        pdf.cell(0, 8, printable(sheet.title), new_x="LMARGIN", new_y="NEXT")
        add_table(pdf, sheet.heads, [*sheet.rows, *sheet.totals], sheet.right, bold_from=len(sheet.rows))
        if sheet.note:
            pdf.set_font(FONT, style="I", size=8)
            pdf.multi_cell(0, 4, printable(sheet.note), new_x="LMARGIN", new_y="NEXT")
        pdf.ln(4)
    write_whole(path, finished(pdf))
