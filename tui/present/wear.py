"""Measured wear as charts: a response over passes or over time, and how the reels of a formulation last."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING, Literal

from stock.core.moments import date_of
from stock.core.rules import GRADES
from stock.desk.wear_words import (
    CHECK_HEADS,
    check_cells,
    lasting_words,
    level_of,
    life_words,
    shape_words,
    tone_of,
    trim_words,
    worn_words,
)
from stock.edge.visible import safe
from tui.present.curve import Band, Curve, Level, Mark
from tui.present.line import Line, Piece

if TYPE_CHECKING:
    from stock.desk.measuring import Measured

Chart = Literal["passes", "time", "lasting"]
CHARTS: dict[Chart, str] = {
    "passes": "response over passes",
    "time": "response over time",
    "lasting": "how reels last",
}
"""The charts, by the words one is chosen with."""

READING = "\u25cf"
OTHER_READING = "\u25cb"
_GRADE_INKS = {"critical": "yes", "standard": "doubt", "scratch": "no"}


def curve_of(measured: Measured, chart: Chart) -> Curve | None:
    """The chart asked for; None where there is nothing to draw."""
    if chart == "lasting":
        return _lasting(measured)
    return _response(measured, over_time=chart == "time")


def empty_words(measured: Measured, chart: Chart) -> str:
    """Why a chart is empty."""
    if chart == "lasting":
        gathering = measured.lasting is None and measured.formulation is not None
        return "Being gathered \u2026" if gathering else "No reel of its formulation is retired yet."
    return "No 10 kHz check was made at a place on this tape. `l` enters one.".replace("`", "")


def _response(measured: Measured, *, over_time: bool) -> Curve | None:
    top = measured.top
    if top is None:
        return None
    readings = [reading for reading in top.readings if not over_time or reading.day is not None]
    if not readings:
        return None
    first = readings[0].level_db / 1000
    limits = [
        Level(first - measured.limits[grade], f"{grade}, {measured.limits[grade]:g} dB", _GRADE_INKS[grade])
        for grade in GRADES
    ]
    levels = [reading.level_db / 1000 for reading in readings]
    y = min(*levels, first - max(measured.limits.values())) - 0.4, max(levels) + 0.4
    marks = [
        Mark(float(reading.day or 0) if over_time else reading.passes / 10, reading.level_db / 1000, READING, "strong")
        for reading in readings
    ]
    if over_time:
        today = float(measured.advice.view.house.as_of.day)
        x = min(mark.x for mark in marks) - 1, max(today, *(mark.x for mark in marks)) + 1
        return Curve(x, y, limits, (), (), marks, lambda day: f"{date_of(int(day)):%Y-%m}", _db, "", today)
    return _over_passes(measured, marks, limits, y)


def _over_passes(measured: Measured, marks: list[Mark], limits: list[Level], y: tuple[float, float]) -> Curve:
    assert measured.top is not None
    start, now = marks[0].x, measured.top.passes_now / 10
    loss = measured.life.loss
    # as far as the last limit, where that is not out of all proportion
    last = measured.life.left.get("scratch")
    far = 0.6 * (now - start) if last is None else min(1.1 * (last.high or 2 * last.likely), 2 * (now - start) + 40)
    end = now + max(10.0, far)
    bands: list[Band] = []
    lines: list[Band] = []
    if loss is not None:
        begin = median(mark.y + loss.value * (mark.x - start) for mark in marks)
        value, low, high = loss.value, loss.low, loss.high
        lines.append(Band(lambda p: (begin - value * (p - start),) * 2 if p >= start else None, "\u00b7", "strong"))
        if measured.life.left:
            bands.append(
                Band(
                    lambda p: (begin - high * (p - start), begin - low * (p - start)) if p >= now else None,
                    "\u2591",
                    "hatch",
                )
            )
    x = start - max(1.0, 0.03 * (end - start)), end
    return Curve(x, y, limits, bands, lines, marks, lambda p: f"{p:g}", _db, "passes", now)


def _db(value: float) -> str:
    return level_of(round(1000 * value))


def _lasting(measured: Measured) -> Curve | None:
    lasting = measured.lasting
    if lasting is None or not lasting.steps:
        return None
    steps = lasting.steps

    def reached(p: float) -> tuple[float, float, float]:
        past = [step for step in steps if step.passes <= p]
        return (past[-1].share, past[-1].low, past[-1].high) if past else (1.0, 1.0, 1.0)

    end = max(max(each.until for each in lasting.lived), steps[-1].passes) * 1.05
    marks = [Mark(step.passes, step.share, "\u25bc", "no") for step in steps]
    own = measured.advice.fitness.wear_most / 10
    return Curve(
        (0.0, max(end, 10.0)),
        (0.0, 1.0),
        (Level(0.5, "half in use", "quiet"),),
        (Band(lambda p: reached(p)[1:] if p >= steps[0].passes else None, "\u2591", "hatch"),),
        (Band(lambda p: (reached(p)[0],) * 2, "\u2501", "strong"),),
        marks,
        lambda p: f"{p:g}",
        lambda share: f"{share:.0%}",
        "passes",
        own or None,
    )


def heading(measured: Measured, chart: Chart) -> Line:
    """What the chart shows, in a line."""
    reel = Piece(f"{safe(measured.advice.reel)}  ", "strong")
    if chart == "lasting":
        lasting = measured.lasting
        name = safe(lasting.formulation) if lasting else "formulation not known"
        return reel, Piece(f"reels of {name} still in use; \u2591 the range of 95 %, \u2502 this reel", "quiet")
    top = measured.top
    if top is None:
        return reel, Piece("measured wear", "quiet")
    parts = [tone_of(top.frequency_hz), top.machine or "", f"track {top.track}" if top.track else "", top.tone or ""]
    said = ", ".join(safe(part) for part in parts if part)
    more = "; \u2591 the range of 80 %, \u2502 now" if chart == "passes" and measured.life.left else "; \u2502 now"
    return reel, Piece(said, "plain"), Piece(more, "quiet")


def said_lines(measured: Measured) -> tuple[list[Line], list[str]]:
    """All that is said under the chart, and the word before each."""
    lines: list[Line] = []
    labels: list[str] = []

    def add(label: str, words: list[str], ink: str = "plain") -> None:
        for number, sentence in enumerate(words):
            lines.append((Piece(safe(sentence), ink),))
            labels.append("" if number else label)

    add("life", life_words(measured))
    add("passes", worn_words(measured))
    add("loss", shape_words(measured))
    add("cutting", trim_words(measured))
    add("others", lasting_words(measured))
    if measured.series:
        rows = [CHECK_HEADS, *(check_cells(measured, series) for series in measured.series)]
        widths = [max(len(row[at]) for row in rows) for at in range(len(CHECK_HEADS) - 1)]
        for number, row in enumerate(rows):
            cells = [cell.ljust(wide) for cell, wide in zip(row, widths, strict=False)]
            lines.append((Piece(safe("  ".join([*cells, row[-1]])), "plain" if number else "quiet"),))
            labels.append("" if number else "checks")
    return lines, labels
