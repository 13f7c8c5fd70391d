"""What a picture of the screens shows, cell by cell: its signs, and the colours they are drawn in and on."""

from __future__ import annotations

import re
from html import unescape
from typing import NamedTuple

from rich.cells import cell_len

_CELL_WIDE, _LINE_HIGH, _FIRST_LINE = 12.2, 24.4, 20.0
_STYLE = re.compile(r"\.terminal(?:-\d+)?-(r\d+) \{ fill: (#[0-9a-f]{6});?([^}]*)\}")
_GROUND = re.compile(r'<rect fill="(#[0-9a-f]{6})" x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"')
_TEXT = re.compile(r'<text class="terminal(?:-\d+)?-(r\d+)" x="([\d.]+)" y="([\d.]+)"[^>]*>([^<]*)</text>')


class Cell(NamedTuple):
    """One cell. sign: what stands in it. ink, ground: colours as `#rrggbb`. how: bold, underlined, struck through."""

    sign: str
    ink: str
    ground: str
    how: str = ""


def cells_of(picture: str) -> list[list[Cell]]:
    """The lines of a picture (SVG as the screens export it); a wide sign fills its first cell, the next is empty."""
    styles = {name: (ink, how) for name, ink, how in _STYLE.findall(picture)}
    grounds: dict[tuple[int, int], str] = {}
    for fill, x, y, width in _GROUND.findall(picture):
        line, first = round((float(y) - 1.5) / _LINE_HIGH), round(float(x) / _CELL_WIDE)
        for column in range(first, first + round(float(width) / _CELL_WIDE)):
            grounds[line, column] = fill
    signs: dict[tuple[int, int], tuple[str, str, str]] = {}
    for name, x, y, text in _TEXT.findall(picture):
        line, column = round((float(y) - _FIRST_LINE) / _LINE_HIGH), round(float(x) / _CELL_WIDE)
        for sign in unescape(text).replace("\n", "").replace("\xa0", " "):
            signs[line, column] = (sign, *styles[name])
            column += cell_len(sign)
    lines, columns = (max(place[way] for place in (*grounds, *signs)) + 1 for way in (0, 1))
    out = []
    for line in range(lines):
        row = []
        for column in range(columns):
            ground = grounds.get((line, column), "#000000")
            sign, ink, how = signs.get((line, column), (" ", ground, ""))
            row.append(Cell(sign, ink, ground, how))
        out.append(row)
    return out


def text_of(cells: list[list[Cell]]) -> str:
    """The signs alone, all colour taken away."""
    return "\n".join("".join(cell.sign for cell in row).rstrip() for row in cells)
