"""Pictures of cost: what was paid for a reel over time, and each month's tape against the budget."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, TypeVar

from stock.core.moments import date_of
from stock.edge.cells import amount_of
from stock.edge.visible import safe
from tui.present.curve import Curve, Mark, draw_curve
from tui.present.line import Line, Piece

if TYPE_CHECKING:
    from stock.core.costing import Bought
    from stock.desk.costing import Costs, Month

T = TypeVar("T", "Month", "Bought")

SIGNS = ("\u25cf", "\u25cb", "\u25c6", "\u25b2", "\u25a0")
_INKS = ("take", "mark", "proved", "wear", "strong")
SPENT, COMMITTED, BUDGET = "\u2588", "\u2592", "\u2502"
_CHART_HIGH = 10
_MOST_MONTHS = 24
_MONTH_WIDE, _SUM_WIDE = 9, 11


def cost_charts(costs: Costs, width: int) -> dict[str, list[Line]]:
    """The charts by the name of the table each belongs to; one for each currency, none where there is nothing."""
    return {
        "months": [line for rows in _by_currency(costs.months) for line in month_lines(rows, width)],
        "prices": [line for rows in _by_currency(costs.paid) for line in price_lines(rows, width)],
    }


def _by_currency(rows: Iterable[T]) -> list[list[T]]:
    found: dict[str, list[T]] = {}
    for row in rows:
        found.setdefault(row.currency, []).append(row)
    return [found[currency] for currency in sorted(found)]


def month_lines(months: Sequence[Month], width: int) -> list[Line]:
    """A bar for each of the newest months of one currency: spent, then committed, and where the budget lies."""
    shown = [row for row in months if row.spent + row.committed][-_MOST_MONTHS:]
    if not shown:
        return []
    currency = shown[0].currency
    sums = [float(amount_of(row.spent + row.committed, currency)) for row in shown]
    most = max(*sums, *(row.budget or 0 for row in shown), 1)
    room = max(width - _MONTH_WIDE - _SUM_WIDE - 6, 10)
    has_budget = any(row.budget for row in shown)
    legend = f"{SPENT} spent  {COMMITTED} committed{f'  {BUDGET} budget' if has_budget else ''}, {currency}"
    lines: list[Line] = [(Piece(legend, "quiet"),)]
    for row, whole in zip(shown, sums, strict=True):
        # something is drawn of what is there, however little
        spent = max(round(float(amount_of(row.spent, currency)) / most * room), 1 if row.spent else 0)
        end = min(max(round(whole / most * room), spent + (1 if row.committed else 0)), room)
        spent = min(spent, end - (1 if row.committed else 0))
        cells = [SPENT] * spent + [COMMITTED] * (end - spent) + [" "] * (room - end)
        inks = ["take"] * spent + ["mark"] * (end - spent) + ["plain"] * (room - end)
        if row.budget:
            at = min(round(row.budget / most * room), room - 1)
            cells[at], inks[at] = BUDGET, "strong"
        over = bool(row.budget) and whole > (row.budget or 0)
        lines.append(
            (
                Piece(f"{row.month // 12}-{row.month % 12 + 1:02}  ", "quiet"),
                *(Piece(cell, ink) for cell, ink in zip(cells, inks, strict=True)),
                Piece(f"{amount_of(row.spent + row.committed, currency):>{_SUM_WIDE}f}"),
                Piece(" over" if over else "", "no"),
            )
        )
    return lines


def price_lines(paid: Sequence[Bought], width: int) -> list[Line]:
    """What new reels of one currency cost, by day: the stock items bought most often, each by its own sign."""
    new = [row for row in paid if row.new and row.day is not None and row.price]
    times: dict[str, int] = {}
    for row in new:
        times[row.stock_item] = times.get(row.stock_item, 0) + 1
    items = sorted((item for item, count in times.items() if count > 1), key=lambda item: (-times[item], item))
    items = items[: len(SIGNS)]
    if not items:
        return []
    currency = new[0].currency
    marks = [
        Mark(float(row.day or 0), float(amount_of(row.price, currency)), SIGNS[at], _INKS[at])
        for at, item in enumerate(items)
        for row in new
        if row.stock_item == item
    ]
    first, last = min(mark.x for mark in marks), max(mark.x for mark in marks)
    curve = Curve(
        (first - 15, max(last, first + 30) + 15),
        (0.0, max(mark.y for mark in marks) * 1.08),
        (),
        (),
        (),
        marks,
        lambda day: f"{date_of(int(day)):%Y-%m}",
        lambda price: f"{price:g}",
        "",
    )
    legend = [Piece(f"{currency} a reel, new:  ", "quiet")]
    for at, item in enumerate(items):
        legend += [Piece(SIGNS[at], _INKS[at]), Piece(f" {safe(item)}  ", "quiet")]
    return [tuple(legend), *draw_curve(curve, width, _CHART_HIGH)]
