"""A chart of whole numbers by week: a band of three quantiles, lines over it, an axis of reels and one of months."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from stock.core.moments import date_of
from tui.present.line import Line, Piece

AXIS = 5
"""Cells of the axis on the left."""

SOLID, HALF, LIGHT = "\u2588", "\u2592", "\u2591"
LEVEL, RING, DIAMOND = "\u2500", "\u25cb", "\u25c6"
_TICK, _FLOOR, _CORNER, _CURSOR = "\u2502", "\u2500", "\u2514", "\u250a"
_WIDEST = 6
_STEPS = (1, 2, 3, 4, 5, 10, 15, 20, 25, 50, 100, 200, 250, 500)


class Band(NamedTuple):
    """Three quantiles of a number by week, lowest first."""

    low: Sequence[int]
    mid: Sequence[int]
    high: Sequence[int]


class Trace(NamedTuple):
    """A line over the band. through: whether it runs on from week to week, else one sign a week. floor: whether nothing
    is worth showing, on the axis."""

    values: Sequence[int]
    sign: str
    ink: str
    through: bool = False
    floor: bool = False


def step_of(most: int, rows: int) -> int:
    """How many one row stands for, so that so many rows reach the most: a round number."""
    need = -(-max(most, 1) // max(rows, 1))
    return next((step for step in _STEPS if step >= need), -(-need // 500) * 500)


def cuts(weeks: int, width: int) -> list[int]:
    """Where each week begins and the last ends, in cells after the axis; of more weeks than cells the first are shown.

    width: of the chart, axis included. The weeks share the width as evenly as cells allow.
    """
    room = max(width - AXIS, 0)
    shown = min(weeks, room)
    room = min(room, _WIDEST * shown)
    return [at * room // shown for at in range(shown + 1)] if shown else [0]


def chart_lines(
    band: Band, traces: Sequence[Trace], weeks: Sequence[int], width: int, height: int, cursor: int
) -> list[Line]:
    """The chart in so many cells and lines, the last two its axis and its months.

    weeks: day numbers of their starts. cursor: the week that is marked.
    """
    rows = max(height - 2, 1)
    edges = cuts(len(weeks), width)
    most = max((*band.high, *(value for trace in traces for value in trace.values)), default=0)
    step = step_of(most, rows)
    lines: list[Line] = []
    for row in reversed(range(rows)):
        label = str((row + 1) * step) if row % 2 == (rows - 1) % 2 else ""
        pieces = [Piece(f"{label:>{AXIS - 2}} {_TICK}", "quiet")]
        for at, (left, right) in enumerate(pairwise(edges)):
            pieces += _cell(band, traces, at, row * step, step, right - left, at == cursor)
        lines.append(tuple(pieces))
    floor = [Piece(f"{'0':>{AXIS - 2}} {_CORNER}", "quiet")]
    for at, (left, right) in enumerate(pairwise(edges)):
        found = next((trace for trace in traces if trace.floor and trace.values[at] == 0), None)
        sign, ink = (_FLOOR, "quiet") if found is None else (found.sign, found.ink)
        floor += [piece._replace(cursor=at == cursor) for piece in _centred(sign, ink, _FLOOR, "quiet", right - left)]
    lines.append(tuple(floor))
    lines.append((Piece(" " * AXIS + months(weeks, edges), "quiet"),))
    return lines


def _cell(band: Band, traces: Sequence[Trace], at: int, below: int, step: int, cells: int, marked: bool) -> list[Piece]:
    """What stands in one week and one row: the first trace that lies there, on the band."""
    fill, ink = " ", "plain"
    for values, sign, of in ((band.high, LIGHT, "hatch"), (band.mid, HALF, "take"), (band.low, SOLID, "take")):
        if values[at] > below:
            fill, ink = sign, of
    for trace in traces:
        if below < trace.values[at] <= below + step:
            if trace.through:
                return [Piece(trace.sign * cells, trace.ink)]
            return _centred(trace.sign, trace.ink, fill, ink, cells)
    if marked and fill == " ":
        return _centred(_CURSOR, "mark", fill, ink, cells)
    return [Piece(fill * cells, ink)]


def _centred(sign: str, ink: str, around: str, around_ink: str, cells: int) -> list[Piece]:
    before = (cells - 1) // 2
    return [Piece(around * before, around_ink), Piece(sign, ink), Piece(around * (cells - 1 - before), around_ink)]


def months(weeks: Sequence[int], edges: Sequence[int]) -> str:
    """The names of the months under the weeks they begin in, as far as there is room for them."""
    line = ""
    before = None
    for start, left in zip(weeks, edges[:-1], strict=False):
        day = date_of(start + 6)
        if day.month != before and len(line) <= left:
            line = line.ljust(left) + day.strftime("%b" if day.month != 1 else "%b %Y") + " "
        before = day.month
    return line[: edges[-1]].rstrip()


def week_at(x: int, weeks: int, width: int) -> int | None:
    """The week at a cell of the chart, None on the axis and beyond the weeks."""
    edges = cuts(weeks, width)
    if not 0 <= x - AXIS < edges[-1]:
        return None
    return bisect_right(edges, x - AXIS) - 1
