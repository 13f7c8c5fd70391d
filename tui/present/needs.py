"""What a forecast says of one stock item, in cells and words: rows of weeks, what lies behind them, what does not
count."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from stock.core.moments import date_of
from stock.edge.visible import safe
from tui.present.chart import DIAMOND, HALF, LEVEL, LIGHT, RING, SOLID, Band, Trace
from tui.present.line import Piece as Inked
from tui.present.readout import Said
from tui.present.row import Piece, fitted

if TYPE_CHECKING:
    from stock.desk.forecasting import Told
    from stock.planning.forecast.answer import ReelFlow
    from stock.planning.need import Need

LEGEND = (
    Piece("to have bought "),
    Piece(f"{SOLID} P10 {HALF} P50 ", "primary"),
    Piece(f"{LIGHT} P90", "quiet"),
    Piece(f"  {RING} shelf", "verdict-blank"),
    Piece(f"  {LEVEL} from orders", "success"),
)
LEGEND_BESIDE = Piece(f"  {DIAMOND} P90 what if", "accent")


class _Column(NamedTuple):
    """One column. may_go: whether a narrow screen does without it beside what is asked instead."""

    head: str
    cells: int
    may_go: bool = False


_COLUMNS = (
    _Column("week of", 10),
    _Column("P10", 4),
    _Column("P50", 4),
    _Column("P90", 4),
    _Column("mins", 5, may_go=True),
    _Column("short", 6),
    _Column("shelf", 6),
    _Column("out", 4),
    _Column("wait", 5, may_go=True),
    _Column("back", 5),
    _Column("worn", 5, may_go=True),
    _Column("come", 5),
)
_BESIDE = (("P50", 5), ("P90", 4), ("short", 6))
_PARTED = "  \u2502"
_ROOMY = 90


class Shown(NamedTuple):
    """One stock item of a forecast; beside: the same under what is asked instead, None where nothing is."""

    told: Told
    need: Need
    flow: ReelFlow
    beside: Need | None


def shown_of(told: Told, stock_item: str, beside: Told | None) -> Shown:
    """A stock item's part of a forecast (KeyError where it is not in it)."""
    flows = {flow.stock_item: flow for flow in told.forecast.flows}
    needs = {need.stock_item: need for need in told.forecast.needs}
    others = {need.stock_item: need for need in beside.forecast.needs} if beside is not None else {}
    return Shown(told, needs[stock_item], flows[stock_item], others.get(stock_item))


def band_of(shown: Shown) -> Band:
    """The need as the chart's band."""
    return Band(shown.need.p10, shown.need.p50, shown.need.p90)


def traces_of(shown: Shown) -> list[Trace]:
    """The lines over the band: what is asked instead, the shelf, what has come of the orders."""
    traces = [Trace(shown.beside.p90, DIAMOND, "mark", floor=True)] if shown.beside is not None else []
    traces.append(Trace(shown.flow.shelf.p50, RING, "blank", floor=True))
    traces.append(Trace(shown.flow.arrived, LEVEL, "yes", through=True))
    return traces


def percent(share: float) -> str:
    """A chance in whole percent; one that is not quite nothing, or not quite sure, is not rounded to it."""
    if 0 < share < 0.005:
        return "<1 %"
    if 0.995 <= share < 1:
        return ">99 %"
    return f"{share * 100:.0f} %"


def head_pieces(beside: bool, width: int) -> list[Piece]:
    """The heads of the rows of weeks in so many cells."""
    first, *others = _columns(beside, width)
    pieces = [Piece(f"{first.head:<{first.cells}}", "quiet")]
    pieces += [Piece(f"{column.head:>{column.cells}}", "quiet") for column in others]
    if beside:
        pieces += [Piece(_PARTED, "quiet"), *(Piece(f"{head:>{cells}}", "accent") for head, cells in _BESIDE)]
    return pieces


def week_pieces(shown: Shown, at: int, width: int) -> list[Piece]:
    """One week in a row of so many cells, under the heads."""
    need, flow = shown.need, shown.flow
    cells = {
        "week of": (date_of(need.weeks[at]).isoformat(), ""),
        "P10": (need.p10[at], ""),
        "P50": (need.p50[at], "primary"),
        "P90": (need.p90[at], ""),
        "mins": (need.minutes_only[at], "quiet"),
        "short": (percent(need.short[at]), _short_tone(need.short[at])),
        "shelf": (flow.shelf.p50[at], ""),
        "out": (flow.out.p50[at], ""),
        "wait": (flow.waiting.p50[at], ""),
        "back": (flow.back.p50[at], ""),
        "worn": (flow.worn_out.p50[at], ""),
        "come": (flow.arrived[at], ""),
    }
    pieces = []
    for column in _columns(shown.beside is not None, width):
        value, tone = cells[column.head]
        pieces.append(Piece(f"{value!s:>{column.cells}}", tone))
    if shown.beside is not None:
        other = (shown.beside.p50[at], shown.beside.p90[at], percent(shown.beside.short[at]))
        pieces.append(Piece(_PARTED, "quiet"))
        pieces += [Piece(f"{value!s:>{cells}}", "accent") for (_, cells), value in zip(_BESIDE, other, strict=True)]
    return pieces


def _columns(beside: bool, width: int) -> list[_Column]:
    """The columns there is room for."""
    return [column for column in _COLUMNS if not (beside and width < _ROOMY and column.may_go)]


def _short_tone(share: float) -> str:
    return "error" if share > 0.1 else "warning" if share > 0 else "quiet"


def source_pieces(shown: Shown, at: int, width: int) -> list[list[Piece]]:
    """Two lines under the weeks: which projects have taken how many reels by then, and how sure P90 is."""
    chances = {project.project: project.chance for project in shown.told.ahead}
    parts = [
        f"{name} {reels[at]}" + (f" ({chances[name] / 10:g} % sure)" if chances[name] < 1000 else "")
        for name, reels in shown.need.by_project.items()
        if reels[at]
    ]
    used, minutes = shown.flow.used.p50[at], shown.flow.by_minutes[at]
    words = f"{used} put to use by then, {minutes} by minutes per reel. "
    words += f"Standard error of P90: {shown.need.standard_error[at]:g}."
    return [
        [Piece(fitted("reels taken: " + (", ".join(parts) or "none yet"), width).rstrip())],
        [Piece(fitted(words, width).rstrip(), "quiet")],
    ]


def why_said(shown: Shown, standing: str) -> list[Said]:
    """All that lies behind a stock item's forecast. standing: what there is of it, in words."""
    return [Said(label, (Inked(safe(words)),)) for label, words in _why(shown, standing)]


def _why(shown: Shown, standing: str) -> Iterator[tuple[str, str]]:
    told, item = shown.told, shown.need.stock_item
    yield "stock", standing
    for project in told.ahead:
        if project.stock_item != item:
            continue
        reels = shown.need.by_project.get(project.project)
        words = f"{project.project}, {date_of(project.first).isoformat()} to {date_of(project.last).isoformat()}, "
        words += f"{project.titles} titles, {project.mode}, {project.grade}"
        words += f", {project.chance / 10:g} % sure" if project.chance < 1000 else ""
        words += f": {reels[-1]} reels where it happens (P50)" if reels else ": beyond these weeks"
        chance = told.forecast.too_long.get(project.project)
        words += f"; a take is longer than a whole reel in {percent(chance)} of the trials" if chance else ""
        yield "project", words
    for row in told.not_counted:
        if row.stock_item == item:
            yield "aside", f"not counted: {row.count} {row.says}: {', '.join(row.which)}"
    for left in told.left_out:
        if left.column is not None:
            yield "faulty", f"{left.project}: {left.says} ({left.column})"
    over = ", ".join(left.project for left in told.left_out if left.column is None)
    if over:
        yield "no need", over
    yield "trials", f"{told.question.trials}, seed {told.question.seed}; what is not sure does not count"
