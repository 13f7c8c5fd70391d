"""A certificate as a page to print: PDF, by fpdf2, which is imported when it is used."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from stock.exchange.papers import printable

_MARGIN_MM, _LINE_MM, _POINTS = 18, 4.4, 9


def certificate_pdf(lines: Sequence[str], made: datetime) -> bytes:
    """The lines of a certificate on A4 pages, the first of them as the heading; the same lines give the same bytes.

    made: when the certificate was given. Letters the fonts lack are printed as on all papers.
    """
    from fpdf import FPDF
    from fpdf.enums import WrapMode

    class Page(FPDF):
        def footer(self) -> None:
            self.set_y(-_MARGIN_MM)
            self.set_font("Helvetica", size=8)
            self.cell(0, _LINE_MM, f"{printable(lines[0])}, page {self.page_no()} of {{nb}}", align="R")

    pdf = Page(format="A4")
    pdf.set_creation_date(made)
    pdf.set_title(printable(lines[0]))
    pdf.set_margin(_MARGIN_MM)
    pdf.set_auto_page_break(True, _MARGIN_MM + 2 * _LINE_MM)
    pdf.add_page()
    pdf.set_font("Helvetica", "B", 15)
    pdf.multi_cell(0, 2 * _LINE_MM, printable(lines[0]), new_x="LMARGIN", new_y="NEXT")
    for line in lines[1:]:
        is_heading = line.endswith(":") and not line.startswith(" ")
        pdf.set_font("Helvetica" if is_heading else "Courier", "B" if is_heading else "", _POINTS)
        if not line:
            pdf.ln(_LINE_MM / 2)
            continue
        pdf.set_x(_MARGIN_MM + 2 * (len(line) - len(line.lstrip(" "))))
        pdf.multi_cell(
            0, _LINE_MM, printable(line.strip()), align="L", wrapmode=WrapMode.CHAR, new_x="LMARGIN", new_y="NEXT"
        )
    return bytes(pdf.output())
