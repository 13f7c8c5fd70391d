"""The tape map drawn: one line of cells for each ruler and lane of the window."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import NamedTuple

from rich.cells import cell_len

from stock.core.map_signs import (
    ALONG,
    LEFT_END,
    PROOF,
    RIGHT_END,
    SHADES,
    TIMECODE,
    UNUSED,
    ZERO,
    Proof,
    splice,
)
from stock.core.measure import FOOT, SECOND, length_of, time_of
from stock.core.tracks import spell
from stock.core.words import clock
from tui.present.legend import PROOF_INKS, legend
from tui.present.line import Line, Piece
from tui.present.tape import Bar, Tape, lanes_of
from tui.present.window import Window

GUTTER = 6
"""Columns at the left that name each line."""
MOST_LANES = 4
LANES = {
    "feet": "the ruler in feet",
    "takes": "takes where they are live, with their tracks",
    "proof": "what is proved, and what is not",
    "wear": "passes along the tape",
    "marks": "splices, findings, zero mark, timecode",
    "legend": "the signs in words",
}
"""What can be left out of the map, and what it is; the ruler in time stays."""

_TIME_STEPS_S = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200)
_FEET_STEPS = (1, 2, 5, 10, 25, 50, 100, 250, 500, 1000, 2500, 5000)
_APART = 9


class _Cell(NamedTuple):
    text: str
    ink: str


def draw(tape: Tape, window: Window, cursor: int, speed: int, hidden: frozenset[str] = frozenset()) -> list[Line]:
    """All lines of the map: rulers, lanes, proof, wear, marks, and the legend of the signs in them.

    cursor: a reel place. speed: micrometres per second. hidden: lanes left out. Each line but the legend is GUTTER and
    the window wide.
    """
    lanes, left = lanes_of(tape.bars, MOST_LANES)
    at = window.column(min(cursor, tape.length - 1) if cursor >= tape.length else cursor)
    rows: list[tuple[str, list[_Cell]]] = [("time", _time_ruler(tape, window, speed, at))]
    if "feet" not in hidden:
        rows.append(("feet", _feet_ruler(window)))
    if "takes" not in hidden:
        for number, lane in enumerate(lanes or [[]]):
            name = "takes" if not number else f"+{left}" if left and number == len(lanes) - 1 else ""
            rows.append((name, _lane(tape, window, lane)))
    for name, drawn in (("proof", _proof), ("wear", _wear), ("marks", _marks)):
        if name not in hidden:
            rows.append((name, drawn(tape, window)))
    lines = [_line(name, cells, at) for name, cells in rows]
    return lines if "legend" in hidden else [*lines, (Piece(" " * GUTTER), *legend(tape, hidden))]


def height_of(tape: Tape, hidden: frozenset[str] = frozenset()) -> int:
    """How many lines `draw` makes."""
    takes = 0 if "takes" in hidden else max(1, len(lanes_of(tape.bars, MOST_LANES)[0]))
    return 1 + takes + len(LANES.keys() - hidden - {"takes"})


def _line(name: str, cells: list[_Cell], cursor: int) -> Line:
    pieces = [Piece(f"{name:<{GUTTER}}", "quiet")]
    column = 0
    marked: list[tuple[_Cell, bool]] = []
    for cell in cells:
        size = max(cell_len(cell.text), 1)
        marked.append((cell, column <= cursor < column + size))
        column += size
    for (ink, under), run in groupby(marked, key=lambda pair: (pair[0].ink, pair[1])):
        pieces.append(Piece("".join(cell.text for cell, _ in run), ink, under))
    return tuple(pieces)


def _blank(tape: Tape, window: Window, sign: str = " ") -> list[_Cell]:
    """A lane with nothing in it: the unused head and tail hatched."""
    cells = []
    for column in range(window.width):
        lo, hi = window.place(column), window.place(column + 1)
        unused = hi <= tape.usable[0] or lo >= tape.usable[1]
        edge = lo < tape.usable[0] or hi > tape.usable[1]
        cells.append(_Cell(UNUSED, "hatch") if unused or (edge and sign == " ") else _Cell(sign, "quiet"))
    return cells


def _time_ruler(tape: Tape, window: Window, speed: int, cursor: int) -> list[_Cell]:
    """Times as the counter shows them: from the zero mark."""
    span_s = time_of(window.hi - window.lo, speed) // SECOND
    step = _step(_TIME_STEPS_S, span_s, window.width)
    first = time_of(window.lo - tape.zero, speed) // (step * SECOND) - 1
    ticks: list[tuple[int, str]] = []
    for number in range(first, first + span_s // step + 4):
        time_us = number * step * SECOND
        ticks.append((window.column(tape.zero + length_of(time_us, speed)), clock(time_us)))
    cells = _ruler(ticks, window.width)
    if 0 <= cursor < window.width and cells[cursor].text in " ╷":
        cells[cursor] = _Cell("▼", "mark")
    return cells


def _feet_ruler(window: Window) -> list[_Cell]:
    span = (window.hi - window.lo) // FOOT
    step = _step(_FEET_STEPS, span, window.width)
    first = window.lo // (step * FOOT)
    marks = range(first * step, (first + span // step + 3) * step, step)
    return _ruler([(window.column(mark * FOOT), f"{mark} ft") for mark in marks], window.width)


def _step(steps: tuple[int, ...], span: int, width: int) -> int:
    """The smallest step whose ticks stand far enough apart for their labels."""
    return next((step for step in steps if span * _APART <= step * width), steps[-1])


def _ruler(ticks: Iterable[tuple[int, str]], width: int) -> list[_Cell]:
    cells = [_Cell(" ", "quiet")] * width
    for column, words in ticks:
        if not 0 <= column < width:
            continue
        cells[column] = _Cell("╷", "quiet")
        if column + len(words) < width:
            for offset, sign in enumerate(words, 1):
                cells[column + offset] = _Cell(sign, "plain")
    return cells


def _lane(tape: Tape, window: Window, lane: list[Bar]) -> list[_Cell]:
    cells = _blank(tape, window)
    for bar in lane:
        words, tracks = bar.label, f" {spell(bar.mask)}"
        for lo, hi in bar.spans:
            first, last = _columns(window, lo, hi)
            if first > last:
                continue
            ink = "unlogged" if bar.take is None else "take"
            drawn = _bar(last - first + 1, _shortened(words, last - first - 1) + tracks, ink)
            words = tracks = ""
            cells[first : first + len(drawn)] = drawn
            if len(drawn) < last - first + 1:  # a wide character fills two columns
                del cells[first + len(drawn) : last + 1]
    return cells


def _shortened(label: str, room: int) -> str:
    """A take's label so cut that its number stays: `Break…/12`."""
    title, slash, number = label.rpartition("/")
    if cell_len(label) <= room or not slash:
        return label
    room -= cell_len(number) + 2
    if room < 1:
        return number
    while cell_len(title) > room:
        title = title[:-1]
    return f"{title}…/{number}"


def _bar(width: int, words: str, ink: str) -> list[_Cell]:
    """A bar with ends and its words, cut to fit; cells of wide characters stand for two columns."""
    if width == 1:
        return [_Cell("▌", ink)]
    room = width - 2
    inside: list[_Cell] = []
    used = 0
    for sign in words:
        size = cell_len(sign)
        if not size and inside:
            inside[-1] = _Cell(inside[-1].text + sign, ink)
            continue
        if used + size > room:
            break
        inside.append(_Cell(sign, ink))
        used += size
    inside += [_Cell(ALONG, ink)] * (room - used)
    return [_Cell(LEFT_END, ink), *inside, _Cell(RIGHT_END, ink)]


def _columns(window: Window, lo: int, hi: int) -> tuple[int, int]:
    """The first and last drawn column of a stretch; first above last where it is not drawn."""
    first = window.column(lo)
    # the column of the last place, so that neighbours share one only where they really do
    last = max(window.column(hi - 1), first)
    return max(first, 0), min(last, window.width - 1)


def _proof(tape: Tape, window: Window) -> list[_Cell]:
    """How it stands; a column shows the worst of what lies in it."""
    cells = _blank(tape, window, PROOF["none"])
    order: tuple[Proof, ...] = ("let-go", "proved", "unproved")
    for state in order:
        for lo, hi, here in tape.proof:
            if here == state:
                first, last = _columns(window, lo, hi)
                for column in range(first, last + 1):
                    cells[column] = _Cell(PROOF[state], PROOF_INKS[state])
    return cells


def _wear(tape: Tape, window: Window) -> list[_Cell]:
    """Wear as shading against the next limit above it, with the passes at each step they fit in."""
    most = max((tenths for _, _, tenths in tape.wear), default=0)
    full = max(next((limit for limit in tape.limits if most <= 10 * limit), most // 10), 1) * 10
    cells = [_Cell(" ", "wear")] * window.width
    numbers: list[tuple[int, int, str]] = []
    for lo, hi, tenths in tape.wear:
        first, last = _columns(window, lo, hi)
        shade = SHADES[min(tenths * len(SHADES) // full, len(SHADES) - 1)] if tenths else PROOF["none"]
        for column in range(first, last + 1):
            cells[column] = _Cell(shade, "wear")
        numbers.append((first, last, str(tenths // 10)))
    free = 0
    for first, last, words in numbers:
        # a shade before and behind it, so that two numbers never read as one
        if first >= free and last - first >= len(words):
            cells[first : first + len(words)] = [_Cell(sign, "strong") for sign in words]
            free = first + len(words) + 1
    return cells


def _marks(tape: Tape, window: Window) -> list[_Cell]:
    """Splices, findings, zero mark, stripe; in one column the weightiest."""
    cells = [_Cell(" ", "quiet")] * window.width
    found: list[tuple[int, str, str]] = []
    for damage in tape.damage:
        first, last = _columns(window, damage.lo, damage.hi)
        for column in range(first, last + 1):
            if cells[column].text in " ~":
                cells[column] = _Cell("~", "doubt")
        if first <= last:
            found.append((first, str(damage.severity), "doubt"))
    if tape.stripe is not None:
        found.append((window.column(tape.stripe.at), TIMECODE, "mark"))
    if tape.zero_set:
        found.append((window.column(tape.zero), ZERO, "mark"))
    for state in ("sound", "doubtful", "failed"):
        for joint in tape.joints:
            if joint.state == state:
                firm = state != "sound"
                sign = splice(joint.state, joint.kind)
                found.append((window.column(joint.at), sign, "no" if firm else "mark"))
    for column, sign, ink in found:
        last_place = column == window.width
        if 0 <= column < window.width or last_place:
            cells[column - last_place] = _Cell(sign, ink)
    return cells
