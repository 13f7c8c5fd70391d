"""Labels and track sheets drawn: what stands on them is given as plain words.

What a box label says follows what engineers ask of one (Tape Op, End Rant 30; Sound on Sound, how to label and store
tape): number of the reel in its set, date, artist, place, titles in order, tracks, speed, equalisation, noise
reduction, operating level, where the tones are, how it is wound; the track sheet lies in the box.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from stock.exchange.papers import FONT, add_table, finished, paper, printable

if TYPE_CHECKING:
    from fpdf import FPDF

_BOX_MM = (90.0, 86.0)
_BOXES_ACROSS, _BOXES_DOWN = 2, 3
_REEL_MM = (60.0, 29.0)
_REELS_ACROSS, _REELS_DOWN = 3, 9
_QR_MM = 22.0
_MOST_TITLES = 12
_WHOLE_LINES = 5
"""Facts of a box label that take a line of their own; the others stand two to a line."""
_FACT_MM = 4.4
_NAME_MM = 15.0
_TITLES_A_PAGE = 6


class Label(NamedTuple):
    """What stands on the labels of one reel. code: what the QR code says. facts: name and words, in order; empty words
    leave a line to write on. titles: in order along the tape."""

    reel: str
    code: str
    stock: str
    facts: tuple[tuple[str, str], ...]
    titles: tuple[str, ...]


class Sheet(NamedTuple):
    """A track sheet. takes: rows of the table of takes. tracks: of each title, its name and what is on each track."""

    reel: str
    code: str
    facts: tuple[tuple[str, str], ...]
    heads: tuple[str, ...]
    takes: tuple[tuple[str, ...], ...]
    track_count: int
    tracks: tuple[tuple[str, dict[int, str]], ...]


Draw = Callable[["FPDF", Label, float, float], None]
"""Draws a label with its upper left corner at a place, millimetres."""


def draw_code(pdf: FPDF, text: str, x: float, y: float, size: float) -> None:
    """A QR code of a text with its quiet zone, drawn as squares so that it prints sharp at any size."""
    import segno

    code = segno.make(text, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix_iter(border=4)]
    step = size / len(rows)
    pdf.set_fill_color(0)
    for down, row in enumerate(rows):
        across = 0
        while across < len(row):
            run = across
            while run < len(row) and row[run]:
                run += 1
            if run > across:
                pdf.rect(x + across * step, y + down * step, (run - across) * step, step, style="F")
            across = max(run, across + 1)


def box_labels(labels: Sequence[Label], made: datetime) -> bytes:
    """Labels for boxes, six to a page, then one for each reel itself, with lines to cut along."""
    pdf = paper("Labels", made)
    _laid(pdf, labels, _BOX_MM, _BOXES_ACROSS, _BOXES_DOWN, _box)
    _laid(pdf, labels, _REEL_MM, _REELS_ACROSS, _REELS_DOWN, _reel)
    return finished(pdf)


def _laid(
    pdf: FPDF,
    labels: Sequence[Label],
    size: tuple[float, float],
    across: int,
    down: int,
    draw: Draw,
) -> None:
    wide, high = size
    for number, label in enumerate(labels):
        place = number % (across * down)
        if place == 0:
            pdf.add_page()
        x = pdf.l_margin + place % across * wide
        y = pdf.t_margin + place // across * high
        pdf.set_draw_color(170)
        pdf.rect(x, y, wide, high)
        draw(pdf, label, x, y)


def _text(pdf: FPDF, x: float, y: float, width: float, text: str, size: float, style: str = "") -> None:
    """One line, made smaller where it does not fit, and cut where that does not do."""
    shown = printable(text)
    pdf.set_font(FONT, style=style, size=size)
    while pdf.get_string_width(shown) > width and size > 6:
        size -= 0.5
        pdf.set_font(FONT, style=style, size=size)
    while shown and pdf.get_string_width(shown) > width:
        shown = shown[:-1]
    pdf.text(x, y, shown)


def _fact(pdf: FPDF, name: str, words: str, x: float, y: float, width: float) -> None:
    """A name and what is said of it, or a line to write it on."""
    _text(pdf, x, y, _NAME_MM - 1, name, 7)
    if words:
        _text(pdf, x + _NAME_MM, y, width - _NAME_MM, words, 8.5, "B")
    else:
        pdf.line(x + _NAME_MM, y + 0.5, x + width, y + 0.5)


def _box(pdf: FPDF, label: Label, x: float, y: float) -> None:
    wide, high = _BOX_MM
    inner = wide - 8
    _text(pdf, x + 4, y + 11, inner - _QR_MM, label.reel, 24, "B")
    _text(pdf, x + 4, y + 17, inner - _QR_MM, label.stock, 8)
    draw_code(pdf, label.code, x + wide - _QR_MM - 2, y + 2, _QR_MM)
    at = y + 25
    half = inner / 2
    for name, words in label.facts[:_WHOLE_LINES]:
        _fact(pdf, name, words, x + 4, at, inner)
        at += _FACT_MM
    rest = label.facts[_WHOLE_LINES:]
    for number, (name, words) in enumerate(rest):
        _fact(pdf, name, words, x + 4 + number % 2 * half, at + number // 2 * _FACT_MM, half - 1)
    at += (len(rest) + 1) // 2 * _FACT_MM + 0.8
    room = int((y + high - 2 - at) // 3.8)
    shown = label.titles[: min(_MOST_TITLES, max(room, 1))]
    for number, title in enumerate(shown, 1):
        more = len(label.titles) - len(shown)
        words = f"{number}. {title}" if number < len(shown) or not more else f"{number}. {title}, and {more} more"
        _text(pdf, x + 4, at, inner, words, 8)
        at += 3.8


def _reel(pdf: FPDF, label: Label, x: float, y: float) -> None:
    wide, _ = _REEL_MM
    room = wide - _QR_MM - 6
    _text(pdf, x + 3, y + 11, room, label.reel, 18, "B")
    _text(pdf, x + 3, y + 17, room, label.stock, 7)
    facts = dict(label.facts)
    for number, name in enumerate(("batch", "wound")):
        if facts.get(name):
            _text(pdf, x + 3, y + 21 + 4 * number, room, f"{name} {facts[name]}", 7)
    draw_code(pdf, label.code, x + wide - _QR_MM - 2, y + 3.5, _QR_MM)


def track_sheet(sheet: Sheet, made: datetime) -> bytes:
    """A track sheet: the takes along the tape, then what is on each track, title by title."""
    pdf = paper(f"Track sheet {sheet.reel}", made, landscape=True)
    pdf.add_page()
    pdf.set_font(FONT, style="B", size=20)
    pdf.cell(0, 10, printable(f"Reel {sheet.reel}"), new_x="LMARGIN", new_y="NEXT")
    draw_code(pdf, sheet.code, pdf.w - pdf.r_margin - _QR_MM, pdf.t_margin - 4, _QR_MM)
    pdf.set_font(FONT, size=9)
    said = "    ".join(f"{name}: {words}" for name, words in sheet.facts if words)
    pdf.multi_cell(pdf.epw - _QR_MM - 4, 5, printable(said), new_x="LMARGIN", new_y="NEXT")
    pdf.ln(4)
    add_table(pdf, sheet.heads, sheet.takes, frozenset({3, 4}))
    for first in range(0, len(sheet.tracks), _TITLES_A_PAGE):
        some = sheet.tracks[first : first + _TITLES_A_PAGE]
        pdf.add_page()
        _grid(pdf, some, sheet.track_count)
    return finished(pdf)


def _grid(pdf: FPDF, titles: Sequence[tuple[str, dict[int, str]]], tracks: int) -> None:
    """Tracks down, titles across."""
    first = 14.0
    wide = (pdf.epw - first) / _TITLES_A_PAGE
    high = min(7.0, (pdf.eph - 8) / (tracks + 1))
    top = pdf.get_y()
    pdf.set_draw_color(170)
    _text(pdf, pdf.l_margin + 1, top + high - 2, first, "track", 8, "B")
    for at, (title, _) in enumerate(titles):
        _text(pdf, pdf.l_margin + first + at * wide + 1, top + high - 2, wide - 2, title, 9, "B")
    for track in range(1, tracks + 1):
        y = top + track * high
        pdf.line(pdf.l_margin, y, pdf.l_margin + first + len(titles) * wide, y)
        _text(pdf, pdf.l_margin + 1, y + high - 2, first, str(track), 9, "B")
        for at, (_, names) in enumerate(titles):
            if track in names:
                _text(pdf, pdf.l_margin + first + at * wide + 1, y + high - 2, wide - 2, names[track] or "-", 9)
    for at in range(len(titles) + 1):
        x = pdf.l_margin + first + at * wide
        pdf.line(x, top, x, top + (tracks + 1) * high)
