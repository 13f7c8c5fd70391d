"""Papers as PDF: tables, labels and track sheets, and files that appear whole or not at all.

The fonts are those every reader of PDF has, which hold Western European letters; see `printable` for others.
"""

from __future__ import annotations

import os
import tempfile
import unicodedata
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from stock.edge.visible import safe

if TYPE_CHECKING:
    from fpdf import FPDF

FONT = "Helvetica"
_MARGIN_MM = 15.0
_LINE_MM = 5.0
_TEXT_POINTS, _TEXT_LINE_MM = 8.0, 3.8
_PLAIN = {
    **dict.fromkeys("\u2713", "+"),
    **dict.fromkeys("\u2717\u2715", "x"),
    **dict.fromkeys("\u25a0\u2588\u2593\u25cf", "#"),
    **dict.fromkeys("\u2591\u2592", ":"),
    **dict.fromkeys("\u25cb", "o"),
    **dict.fromkeys("\u2550\u2501", "="),
    **dict.fromkeys("\u2500\u2504\u2014\u2013", "-"),
    **dict.fromkeys("\u2581\u2582\u2583", "."),
    **dict.fromkeys("\u2584\u2585", "-"),
    **dict.fromkeys("\u2586\u2587", "="),
    **dict.fromkeys("\u251c\u2502\u2524\u2577\u258c\u2534\u253c", "|"),
    **dict.fromkeys("\u2514\u2518\u250c\u2510", "+"),
    **dict.fromkeys("\u2571", "/"),
    **dict.fromkeys("\u25bc\u25be", "v"),
    **dict.fromkeys("\u203a\u2192", ">"),
    **dict.fromkeys("\u2039\u2190", "<"),
    "\u2026": "~",
}
"""What is printed for signs of the screens, as wide as they are."""


def write_whole(path: Path, content: bytes) -> None:
    """Write a file under a temporary name, sync it, and put it in its place; its owner alone may read it."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.absolute().parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def printable(text: str) -> str:
    """A text in the letters the fonts hold: of others the plain sign, `Z` for `Ž`, or its code, `U+6F22`."""
    return "".join(map(_printed, unicodedata.normalize("NFC", safe(text))))


def _printed(sign: str) -> str:
    if ord(sign) < 0x100:
        return sign
    nearest = _PLAIN.get(sign) or "".join(part for part in unicodedata.normalize("NFKD", sign) if ord(part) < 0x100)
    return nearest or f"U+{ord(sign):04X}"


def paper(title: str, made: datetime, *, landscape: bool = False) -> FPDF:
    """An empty A4 document. made: when, printed at the foot and kept in the file."""
    from fpdf import FPDF

    class Paper(FPDF):
        def footer(self) -> None:
            self.set_y(-12)
            self.set_font(FONT, size=8)
            self.cell(0, 5, printable(f"{title}, {made:%Y-%m-%d}, page {self.page_no()}"), align="R")

    pdf = Paper(orientation="landscape" if landscape else "portrait", format="A4")
    pdf.set_title(printable(title))
    pdf.set_creator("reelward")
    pdf.set_creation_date(made)
    pdf.set_margin(_MARGIN_MM)
    pdf.set_auto_page_break(True, margin=_MARGIN_MM)
    return pdf


def add_table(
    pdf: FPDF,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    right: frozenset[int],
    *,
    bold_from: int | None = None,
) -> None:
    """A table with its head on every page. right: columns of numbers. bold_from: the first row that is a total."""
    texts = [[printable(cell) for cell in row] for row in (heads, *rows)]
    pdf.set_font(FONT, size=9)
    widths = [
        max(pdf.get_string_width(row[at]) * (1.1 if row is texts[0] else 1) for row in texts) + 4
        for at in range(len(heads))
    ]
    room = pdf.epw
    if sum(widths) > room:
        widths[-1] = max(20.0, widths[-1] - (sum(widths) - room))
        widths = [each * min(1.0, room / sum(widths)) for each in widths]

    def row_of(cells: Sequence[str], style: str) -> None:
        pdf.set_font(FONT, style=style, size=9)
        for at, cell in enumerate(cells):
            pdf.cell(widths[at], _LINE_MM, _cut(pdf, cell, widths[at] - 2), align="R" if at in right else "L")
        pdf.ln()

    row_of(texts[0], "B")
    for number, cells in enumerate(texts[1:]):
        if pdf.will_page_break(_LINE_MM):
            pdf.add_page()
            row_of(texts[0], "B")
        row_of(cells, "B" if bold_from is not None and number >= bold_from else "")


def add_lines(pdf: FPDF, title: str, lines: Sequence[str]) -> None:
    """Lines in a fixed pitch under a title, one below the other; what is too wide for the page is cut."""
    pdf.set_font(FONT, style="B", size=11)
    pdf.cell(0, _LINE_MM, printable(title), new_x="LMARGIN", new_y="NEXT")
    pdf.ln(_TEXT_LINE_MM)
    pdf.set_font("Courier", size=_TEXT_POINTS)
    for line in lines:
        pdf.cell(0, _TEXT_LINE_MM, _cut(pdf, printable(line.rstrip()), pdf.epw), new_x="LMARGIN", new_y="NEXT")


def _cut(pdf: FPDF, text: str, width: float) -> str:
    """A text as far as it fits."""
    if pdf.get_string_width(text) <= width:
        return text
    while text and pdf.get_string_width(f"{text}...") > width:
        text = text[:-1]
    return f"{text}..."


def finished(pdf: FPDF) -> bytes:
    """The document as a file's content."""
    return bytes(pdf.output())
