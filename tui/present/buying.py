"""The order plan as lines: what to order, why, what other prices would make of it, and what tape costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

from stock.desk.order_words import (
    day_words,
    ledger_words,
    line_words,
    money_of,
    plan_words,
    proof_words,
    reels_words,
    short_words,
    then_words,
)
from tui.present.line import Line as Drawn
from tui.present.row import Piece, fitted

if TYPE_CHECKING:
    from stock.desk.cost_tables import Sheet
    from stock.desk.ordering import Planned, Row
    from stock.desk.purchases import Standing
    from stock.planning.ordering.ask import Line

LOCKED = "\u25a0"
LATE, HERE = "!", "\u2713"
BAR = "\u2501"
_HALF = "\u2578"
_COLUMNS = (("order by", 10), ("there by", 10), ("stock item", 12), ("reels", 5), ("each", 8), ("fee", 6), ("cost", 9))
_NARROW = 100
"""Lines narrower than this leave the fee to the words under them, so that the supplier can be read."""
_NUMBERS = frozenset({"reels", "each", "fee", "cost"})
_BAR_MOST = 40


def _columns(cells: Sequence[str], last: str, width: int) -> str:
    shown, taken = [], 0
    for (name, wide), cell in zip(_COLUMNS, cells, strict=True):
        if name != "fee" or width >= _NARROW:
            shown.append(fitted(cell, wide, right=name in _NUMBERS))
            taken += wide + 1
    return " ".join([*shown, fitted(last, max(4, width - taken))])


def head_words(width: int) -> str:
    """The heads over the lines of a plan."""
    return f"  {_columns([name for name, _ in _COLUMNS], 'supplier', width - 2)}"


def line_pieces(line: Line, currency: str, width: int) -> list[Piece]:
    """One line of a plan; one set by hand is marked."""
    cells = [
        day_words(line.order_by),
        day_words(line.arrives),
        line.stock_item,
        str(line.quantity),
        money_of(line.unit_price, currency),
        money_of(line.fee, currency) if line.fee else "",
        money_of(line.cost, currency),
    ]
    # no colours: the line under the cursor is drawn on one of its own
    mark = f"{LOCKED} " if line.locked else "  "
    return [Piece(mark + _columns(cells, line.supplier, width - 2))]


def plan_pieces(made: Planned) -> list[Piece]:
    """The plan in a sentence, in the colour of how it stands."""
    tone = "verdict-keep" if made.plan.shortages else "verdict-clear" if made.plan.lines else ""
    return [Piece(plan_words(made), tone)]


def why_words(line: Line | None, made: Planned) -> str:
    """Why the line under the cursor is there."""
    return "" if line is None else line_words(line, made)


def note_lines(made: Planned) -> list[list[Piece]]:
    """What is short, the need of each item against what is on order and planned, and what was left out."""
    lines = [[Piece("x ", "verdict-keep"), Piece(short_words(short))] for short in made.plan.shortages]
    lines += [
        [Piece(f"{LOCKED} ", "accent"), Piece(f"none of {lock.stock_item} from {lock.supplier}, by hand", "quiet")]
        for lock in made.ask.locks
        if not lock.quantity
    ]
    lines += [[Piece(f"= {words}", "quiet")] for words in ledger_words(made)]
    lines += [[Piece(f"- {note}", "quiet")] for note in made.notes]
    return lines


def beside_lines(
    made: Planned, rows: Sequence[Row], others: tuple[Planned | None, Planned | None], width: int
) -> list[list[Piece]]:
    """Plans at other prices, each with a bar of what it costs, then the next cheaper and the next safer plan."""
    most = max((row.plan.total for row in rows), default=0)
    room = min(_BAR_MOST, max(8, width - _BESIDE))
    lines = [[Piece(f"{'total':>10} {'reels':>5} {'short':>5} {'this plan then':>14}  {'if':30}", "quiet")]]
    for row in rows:
        short = sum(each.reels for each in row.plan.shortages)
        lines.append(
            [
                Piece(f"{money_of(row.plan.total, made.currency):>10}", "sorted" if row.plan is made.plan else ""),
                Piece(f" {sum(line.quantity for line in row.plan.lines):5}"),
                Piece(f" {short:5}" if short else f" {'':5}", "verdict-keep"),
                Piece(f" {then_words(row, made.currency):>14}  ", "verdict-keep" if row.lost else ""),
                Piece(f"{fitted(row.says, 34)}  "),
                Piece(bar(row.plan.total, most, room) if width >= _WIDE else "", "tape-free"),
            ]
        )
        if width < _WIDE:
            lines.append([Piece(f"{'':10} {bar(row.plan.total, most, room)}", "tape-free")])
    lines.append([])
    for words, other in zip(("cheaper", "safer"), others, strict=True):
        if other is not None and other.service is not None:
            count = sum(line.quantity for line in other.plan.lines)
            lines.append(
                [
                    Piece(f"The next {words} plan: "),
                    Piece(f"{money_of(other.plan.total, made.currency)} {made.currency}", "sorted"),
                    Piece(
                        f" for {reels_words(count)}, never short with odds of {other.service / 10:g} %; "
                        f"{proof_words(other.plan)}"
                    ),
                ]
            )
    return lines


_BESIDE = 12
_WIDE = 110


def bar(amount: int, most: int, cells: int) -> str:
    """A bar as long as the amount is of the most, to half a cell; something where there is something."""
    if most <= 0 or amount <= 0 or cells <= 0:
        return ""
    halves = max(1, (amount * cells * 2 + most // 2) // most)
    return BAR * (halves // 2) + (_HALF if halves % 2 else "")


_ORDER = (("order", 10), ("placed", 10), ("stock item", 12), ("reels", 5), ("here", 4), ("expected", 10), ("late", 8))
_HEADS = {"late": "days"}


def _order_line(cells: Sequence[str], last: str, width: int) -> str:
    shown = [
        fitted(cell, wide, right=name in ("reels", "here")) for (name, wide), cell in zip(_ORDER, cells, strict=True)
    ]
    taken = sum(wide for _, wide in _ORDER) + len(_ORDER)
    return " ".join([*shown, fitted(last, max(4, width - taken))])


def order_head(width: int) -> str:
    """The heads over the orders."""
    return f"  {_order_line([_HEADS.get(name, name) for name, _ in _ORDER], 'supplier', width - 2)}"


def order_pieces(row: Standing, width: int) -> list[Piece]:
    """One order as a line, signed where it is late or all here."""
    placed = row.order
    cells = [
        placed.order,
        "" if placed.day is None else day_words(placed.day),
        placed.stock_item,
        str(placed.quantity),
        str(row.received),
        "not said" if placed.expected is None else day_words(placed.expected),
        f"{row.late} late" if row.late else "",
    ]
    sign = HERE if not row.open else LATE if row.late else " "
    return [Piece(f"{sign} {_order_line(cells, placed.supplier, width - 2)}")]


def orders_words(rows: Sequence[Standing]) -> str:
    """What is on order, in a sentence."""
    waiting = [row for row in rows if row.open]
    if not waiting:
        return "Nothing is on order."
    late = sum(1 for row in waiting if row.late)
    count = f"{reels_words(sum(row.open for row in waiting))} on order"
    return f"{count}, {late} of {len(waiting)} orders late" if late else f"{count}, none late"


_TONES = {
    "plain": "",
    "strong": "reel",
    "take": "primary",
    "mark": "accent",
    "wear": "secondary",
    "no": "error",
    "proved": "tape-proved",
}
"""The colours of a chart's inks, in the words of the lines here."""


def cost_lines(
    sheets: Sequence[Sheet], width: int, charts: Mapping[str, Sequence[Drawn]] = MappingProxyType({})
) -> list[list[Piece]]:
    """The tables of cost under each other, and under its heading the chart of a table that has one."""
    lines: list[list[Piece]] = []
    for sheet in sheets:
        lines += [[Piece(sheet.title, "sorted")]]
        drawn = charts.get(sheet.name, ())
        lines += [[Piece(piece.text, _TONES.get(piece.ink, piece.ink)) for piece in line] for line in drawn]
        lines += [[]] if drawn else []
        every = [sheet.heads, *sheet.rows, *sheet.totals]
        wide = [max(len(row[at]) for row in every) for at in range(len(sheet.heads))]
        if not sheet.rows:
            lines += [[Piece("  nothing", "quiet")], []]
            continue
        for number, row in enumerate(every):
            cells = [fitted(cell, wide[at], right=at in sheet.right) for at, cell in enumerate(row)]
            tone = "quiet" if number == 0 else "reel" if number > len(sheet.rows) else ""
            lines.append([Piece(fitted("  ".join(cells), width), tone)])
        lines += [*([Piece(part, "quiet")] for part in _folded(sheet.note, width)), []]
    return lines


def _folded(text: str, width: int) -> list[str]:
    from textwrap import wrap

    return wrap(text, max(20, width - 2))
