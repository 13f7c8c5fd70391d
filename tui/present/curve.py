"""A chart drawn in cells: readings, lines, bands and levels over an axis."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby
from math import ceil, floor, log10
from typing import NamedTuple

from rich.cells import cell_len

from tui.present.line import Line, Piece

GUTTER = 7
"""Cells at the left for the words of the upright axis."""
_APART = 12


class Mark(NamedTuple):
    """One point with a sign."""

    x: float
    y: float
    sign: str
    ink: str


class Level(NamedTuple):
    """A line straight across, with words at its right end."""

    y: float
    words: str
    ink: str


class Band(NamedTuple):
    """What lies between two curves; None where there is nothing. sign: what it is filled with."""

    between: Callable[[float], tuple[float, float] | None]
    sign: str
    ink: str


class Curve(NamedTuple):
    """A chart. x, y: the least and the most of each axis (y upwards). x_words, y_words: how a value is written.

    lines: curves, each with the sign it is drawn in. now: an x to mark by an upright line, or None. about: what the
    axis along the bottom counts.
    """

    x: tuple[float, float]
    y: tuple[float, float]
    levels: Sequence[Level]
    bands: Sequence[Band]
    lines: Sequence[Band]
    marks: Sequence[Mark]
    x_words: Callable[[float], str]
    y_words: Callable[[float], str]
    about: str
    now: float | None = None


def draw_curve(curve: Curve, width: int, height: int) -> list[Line]:
    """The chart in so many cells and lines: the last line is the axis."""
    columns, rows = max(width - GUTTER, 10), max(height - 1, 3)
    grid = [[(" ", "plain")] * columns for _ in range(rows)]
    (left, right), (low, high) = curve.x, curve.y

    def column(x: float) -> int:
        return round((x - left) / (right - left) * (columns - 1))

    def row(y: float) -> int:
        return round((high - y) / (high - low) * (rows - 1))

    def at(number: int) -> float:
        return left + (right - left) * number / (columns - 1)

    for band in curve.bands:
        for number in range(columns):
            between = band.between(at(number))
            if between is not None:
                first, last = sorted(row(max(low, min(high, y))) for y in between)
                for down in range(first, last + 1):
                    grid[down][number] = (band.sign, band.ink)
    if curve.now is not None and 0 <= column(curve.now) < columns:
        for line in grid:
            line[column(curve.now)] = ("\u2502", "quiet")
    for level in curve.levels:
        if 0 <= row(level.y) < rows:
            line = grid[row(level.y)]
            for number in range(columns):
                if line[number][0] == " " or line[number][1] == "hatch":
                    line[number] = ("\u2504", level.ink)
    for drawn in curve.lines:
        for number in range(columns):
            between = drawn.between(at(number))
            if between is not None and low <= between[0] <= high:
                grid[row(between[0])][number] = (drawn.sign, drawn.ink)
    for level in curve.levels:
        if 0 <= row(level.y) < rows and level.words:
            _write(grid[row(level.y)], columns - cell_len(level.words) - 2, f" {level.words} ", level.ink)
    for mark in curve.marks:
        if 0 <= row(mark.y) < rows and 0 <= column(mark.x) < columns:
            grid[row(mark.y)][column(mark.x)] = (mark.sign, mark.ink)
    words = {row(y): curve.y_words(y) for y in _ticks(low, high, max(2, rows // 3)) if 0 <= row(y) < rows}
    lines = [
        (Piece(f"{words.get(number, ''):>{GUTTER - 2}} \u2502", "quiet"), *_pieces(cells))
        for number, cells in enumerate(grid)
    ]
    return [*lines, _axis(curve, columns, column)]


def _write(line: list[tuple[str, str]], start: int, words: str, ink: str) -> None:
    for offset, sign in enumerate(words):
        if 0 <= start + offset < len(line):
            line[start + offset] = (sign, ink)


def _pieces(cells: list[tuple[str, str]]) -> list[Piece]:
    return [Piece("".join(sign for sign, _ in run), ink) for ink, run in groupby(cells, key=lambda cell: cell[1])]


def _axis(curve: Curve, columns: int, column: Callable[[float], int]) -> Line:
    cells = [" "] * columns
    free = 0
    end = columns - cell_len(curve.about) - 1
    for x in _ticks(*curve.x, max(2, columns // _APART)):
        words = curve.x_words(x)
        start = max(0, min(column(x) - len(words) // 2, columns - len(words)))
        if start >= free and start + len(words) < end:
            cells[start : start + len(words)] = words
            free = start + len(words) + 2
    cells[end + 1 :] = curve.about
    return (Piece(" " * (GUTTER - 1) + "\u2514", "quiet"), Piece("".join(cells), "quiet"))


def _ticks(low: float, high: float, most: int) -> list[float]:
    """Round values from low to high, at most about so many."""
    span = (high - low) / most
    power = 10 ** floor(log10(span))
    step = next(power * times for times in (1, 2, 5, 10) if power * times >= span * 0.999)
    first = ceil(low / step - 1e-9)
    return [number * step for number in range(first, floor(high / step + 1e-9) + 1)]
