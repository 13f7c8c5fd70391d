"""`order`: what to order, from whom, how many, by when, and what it costs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, table, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.ordering import Planned, Row
    from stock.planning.ordering.ask import Line


@house_command("order", dated=True, has_json=True)
@click.option("--service", metavar="SHARE", help="The odds of never running short, `0.9`, `90 %`; else the house's.")
@click.option("--need", metavar="ITEM=REELS@DATE", multiple=True, help="A need you know of, in place of the forecast.")
@click.option("--budget", metavar="MONTH=AMOUNT", multiple=True, help="`2026-12=2400`; again for more months.")
@click.option("--lock", metavar="SUPPLIER:ITEM=REELS@DATE", multiple=True, help="A line set by hand; 0: not from them.")
@click.option("--without", metavar="SUPPLIER[@DATE]", multiple=True, help="A supplier that does not sell (after DATE).")
@click.option("--rise", metavar="DATE=PERCENT", multiple=True, help="All prices rise from a day on.")
@click.option("--price", metavar="ITEM=AMOUNT", multiple=True, help="What a reel costs, whatever the quotes say.")
@click.option("--currency", metavar="CODE", help="The quotes to use; else the currency most are in.")
@click.option("--beside", is_flag=True, help="Other prices, and the next cheaper and safer plans, side by side.")
@click.pass_obj
def order(settings: Settings, /, beside: bool, **given: Any) -> None:
    """What to order, from whom, how many and by when: the cheapest plan that is never short at the service level.

    Exit status 1 when the service level cannot be met.
    """
    from stock.desk.ordering import Buyer, scenarios

    with settings.asking() as desk:
        buyer = Buyer(desk)
        asked = buyer.asked(given)
        made = buyer.plan(asked)
        rows = [*scenarios(made), *buyer.other_work(made)] if beside else []
        others = buyer.beside(asked, made) if beside else (None, None)
    if settings.as_json:
        say_json({**plan_json(made), **({"scenarios": [_row_json(row, made) for row in rows]} if beside else {})})
    else:
        for line in _page(made, rows, others, width()):
            say(line)
    if made.plan.shortages:
        click.get_current_context().exit(1)


def _amount(units: int, currency: str) -> float:
    from stock.edge.cells import amount_of

    return float(amount_of(units, currency))


def plan_json(made: Planned) -> dict[str, Any]:
    """A plan in JSON; amounts are plain numbers with the currency's own places."""
    plan = made.plan
    return {
        "lines": [_line_json(line, made.currency) for line in plan.lines],
        "total": _amount(plan.total, made.currency),
        "optimal": plan.optimal,
        "gap": plan.gap,
        "currency": made.currency or None,
        "service": None if made.service is None else made.service / 1000,
        "short": [
            {
                "stock_item": short.stock_item,
                "week": _day(short.week),
                "until": _day(short.until),
                "reels": short.reels,
                "projects": list(short.projects),
            }
            for short in plan.shortages
        ],
        "notes": made.notes,
    }


def _line_json(line: Line, currency: str) -> dict[str, Any]:
    return {
        "stock_item": line.stock_item,
        "supplier": line.supplier,
        "quantity": line.quantity,
        "order_by": _day(line.order_by),
        "arrives": _day(line.arrives),
        "unit_price": _amount(line.unit_price, currency),
        "cost": _amount(line.cost, currency),
        "order_fee": _amount(line.fee, currency),
        "arrives_likely": _day(line.likely),
        "need_by": None if line.need_by is None else _day(line.need_by),
        "projects": {reason.project: reason.reels for reason in line.reasons},
        "locked": line.locked,
    }


def _row_json(row: Row, made: Planned) -> dict[str, Any]:
    return {
        "says": row.says,
        "total": _amount(row.plan.total, made.currency),
        "reels": sum(line.quantity for line in row.plan.lines),
        "short": sum(short.reels for short in row.plan.shortages),
        "optimal": row.plan.optimal,
        "gap": row.plan.gap,
        "unchanged": None if row.unchanged is None else _amount(row.unchanged, made.currency),
    }


def _day(day: int) -> str:
    from stock.core.moments import date_of

    return date_of(day).isoformat()


def _page(made: Planned, rows: list[Row], others: tuple[Planned | None, Planned | None], columns: int) -> Iterator[str]:
    from stock.desk.order_words import ledger_words, line_words, plan_words, short_words

    plan = made.plan
    yield from wrapped(plan_words(made), columns)
    if plan.lines:
        yield ""
        heads = [
            "order by",
            "there by",
            "stock item",
            "reels",
            f"{'each':>8}",
            f"{'fee':>6}",
            f"{'cost':>9}",
            "supplier",
        ]
        yield from table(heads, [_cells(line, made.currency) for line in plan.lines], columns)
        yield ""
        for number, line in enumerate(plan.lines, 1):
            yield from wrapped(line_words(line, made), columns, f"{number:2}. ")
    for says in ledger_words(made):
        yield from wrapped(says, columns, "= ")
    for short in plan.shortages:
        yield from wrapped(short_words(short), columns, "x ")
    for note in made.notes:
        yield from wrapped(note, columns, "- ")
    if rows:
        yield ""
        yield from _beside(made, rows, others, columns)


def _cells(line: Line, currency: str) -> list[str]:
    from stock.desk.order_words import day_words, money_of

    return [
        day_words(line.order_by),
        day_words(line.arrives),
        line.stock_item,
        f"{line.quantity:5}",
        f"{money_of(line.unit_price, currency):>8}",
        f"{money_of(line.fee, currency) if line.fee else '':>6}",
        f"{money_of(line.cost, currency):>9}",
        line.supplier,
    ]


def _beside(
    made: Planned, rows: list[Row], others: tuple[Planned | None, Planned | None], columns: int
) -> Iterator[str]:
    from stock.desk.order_words import proof_words, scenario_cells

    heads = [f"{'total':>9}", "reels", "short", f"{'this plan then':>14}", "proof", "if"]
    yield from table(
        heads, [[*scenario_cells(row, made.currency), proof_words(row.plan), row.says] for row in rows], columns
    )
    for words, other in zip(("cheaper", "safer"), others, strict=True):
        if other is not None and other.service is not None:
            reels = sum(line.quantity for line in other.plan.lines)
            yield from wrapped(
                f"The next {words} plan, never short with odds of {other.service / 10:g} %: {reels} reels, "
                f"{_amount(other.plan.total, made.currency):.2f} {made.currency}",
                columns,
            )
