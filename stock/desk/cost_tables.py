"""The tables of cost in words and amounts: the same for the page, the CSV and the PDF."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from stock.core.measure import FOOT
from stock.core.moments import date_of
from stock.desk.costing import Costs
from stock.edge.cells import amount_of


class Sheet(NamedTuple):
    """One table. right: places of the columns of numbers. rows: the last ones may be totals, one for each currency."""

    name: str
    title: str
    heads: tuple[str, ...]
    right: frozenset[int]
    rows: tuple[tuple[str, ...], ...]
    totals: tuple[tuple[str, ...], ...]
    note: str = ""


def _amount(units: int, currency: str) -> str:
    return f"{amount_of(units, currency):f}"


def _day(day: int | None) -> str:
    return "" if day is None else date_of(day).isoformat()


def _totals(rows: Iterable[tuple[str, tuple[int, ...]]]) -> list[tuple[str, tuple[int, ...]]]:
    """Sums by currency, which are never added up with each other."""
    sums: dict[str, tuple[int, ...]] = {}
    for currency, amounts in rows:
        held = sums.get(currency, (0,) * len(amounts))
        sums[currency] = tuple(a + b for a, b in zip(held, amounts, strict=True))
    return sorted(sums.items())


def value_sheet(costs: Costs) -> Sheet:
    """What the reels in use cost and are still worth."""
    note = (
        f"A reel's life is taken as {costs.life_passes} passes over all of it, the house's own limit for scratch use."
    )
    if costs.unpriced:
        note += f" {len(costs.unpriced)} reels have no price and are left out: {', '.join(costs.unpriced[:6])}"
        note += " and others." if len(costs.unpriced) > 6 else "."
    return Sheet(
        "value",
        "The shelf at what was paid, less what is worn",
        ("stock item", "reels", "paid", "worn", "left", "currency"),
        frozenset({1, 2, 3, 4}),
        tuple(
            (
                row.stock_item,
                str(row.reels),
                *(_amount(each, row.currency) for each in (row.cost, row.cost - row.value, row.value)),
                row.currency,
            )
            for row in costs.values
        ),
        tuple(
            ("in all", str(reels), *(_amount(each, currency) for each in (cost, cost - value, value)), currency)
            for currency, (reels, cost, value) in _totals(
                (row.currency, (row.reels, row.cost, row.value)) for row in costs.values
            )
        ),
        note,
    )


def projects_sheet(costs: Costs) -> Sheet:
    """What each project costs in tape."""
    return Sheet(
        "projects",
        "Tape by project: what it wore, and what it keeps",
        ("project", "reels", "wears", "keeps", "charge", "currency"),
        frozenset({1, 2, 3, 4}),
        tuple(
            (
                "(no project)" if row.project is None else row.project,
                str(row.reels),
                *(_amount(each, row.currency) for each in (row.worn, row.kept, row.amount)),
                row.currency,
            )
            for row in costs.charges
        ),
        tuple(
            ("in all", "", *(_amount(each, currency) for each in amounts), currency)
            for currency, amounts in _totals((row.currency, (row.worn, row.kept, row.amount)) for row in costs.charges)
        ),
        "Kept are masters, safeties and reels that went back for good: at their price, less what others wore of them.",
    )


def retired_sheet(costs: Costs) -> Sheet:
    """What was written off."""
    return Sheet(
        "retired",
        "Written off: reels retired or lost with some of their life left",
        ("reel", "how", "day", "paid", "written off", "currency"),
        frozenset({3, 4}),
        tuple(
            (row.reel, row.end, _day(row.day), *(_amount(each, row.currency) for each in row[4:]), row.currency)
            for row in costs.write_offs
        ),
        tuple(
            ("in all", "", "", *(_amount(each, currency) for each in amounts), currency)
            for currency, amounts in _totals((row.currency, (row.cost, row.amount)) for row in costs.write_offs)
        ),
    )


def months_sheet(costs: Costs) -> Sheet:
    """Spent and committed by month, against the budget."""
    rows = []
    for row in costs.months:
        over = row.budget is not None and amount_of(row.spent + row.committed, row.currency) > row.budget
        rows.append(
            (
                f"{row.month // 12}-{row.month % 12 + 1:02}",
                _amount(row.spent, row.currency),
                _amount(row.committed, row.currency),
                "" if row.budget is None else str(row.budget),
                "over" if over else "",
                row.currency,
            )
        )
    return Sheet(
        "months",
        "By month: tape that came, and orders still open by the month they were placed",
        ("month", "spent", "committed", "budget", "", "currency"),
        frozenset({1, 2, 3}),
        tuple(rows),
        tuple(
            ("in all", *(_amount(each, currency) for each in amounts), "", "", currency)
            for currency, amounts in _totals((row.currency, (row.spent, row.committed)) for row in costs.months)
        ),
        "The budget is the house rule budget_month." if any(row.budget for row in costs.months) else "",
    )


def prices_sheet(costs: Costs) -> Sheet:
    """What was paid over time."""
    return Sheet(
        "prices",
        "What was paid for a reel, and how it changed",
        ("day", "stock item", "came", "reels", "each", "change", "currency", "supplier"),
        frozenset({3, 4, 5}),
        tuple(
            (
                _day(row.day) or "not said",
                row.stock_item,
                "new" if row.new else "used",
                str(row.reels),
                _amount(row.price, row.currency),
                "" if row.since is None else f"{row.since / 10:+.1f} %",
                row.currency,
                row.supplier or "",
            )
            for row in costs.paid
        ),
        (),
    )


def rates_sheet(costs: Costs) -> Sheet:
    """What a minute and a pass cost."""
    return Sheet(
        "rates",
        "A minute and a pass of new tape, at the newest price paid",
        ("stock item", "a reel", "a minute", "a pass", "currency"),
        frozenset({1, 2, 3}),
        tuple(
            (
                row.stock_item,
                _amount(row.price, row.currency),
                *(f"{amount_of(each, row.currency) / 100:.4f}" for each in (row.minute, row.pass_)),
                row.currency,
            )
            for row in costs.rates
        ),
        (),
        "A minute of all its tape at the usual speed, recorded once; a pass is the price over a life of passes.",
    )


def reels_sheet(costs: Costs) -> Sheet:
    """Each reel's price, what is worn of it, what is left."""
    worn: dict[str, int] = {}
    rest: dict[str, tuple[str, int]] = {}
    for share in costs.shares:
        if share.what == "worn":
            worn[share.reel] = worn.get(share.reel, 0) + share.amount
        else:
            rest[share.reel] = share.what, share.amount
    return Sheet(
        "reels",
        "Each reel: its price, what is worn of it, and the rest",
        ("reel", "stock item", "feet", "paid", "worn", "rest", "is", "currency"),
        frozenset({2, 3, 4, 5}),
        tuple(
            (
                reel.reel,
                reel.stock_item,
                str(reel.length // FOOT),
                _amount(reel.price, reel.currency),
                _amount(worn.get(reel.reel, 0), reel.currency),
                _amount(rest[reel.reel][1], reel.currency),
                rest[reel.reel][0],
                reel.currency,
            )
            for reel in costs.reels
        ),
        (),
    )


SHEETS: dict[str, Callable[[Costs], Sheet]] = {
    "value": value_sheet,
    "projects": projects_sheet,
    "retired": retired_sheet,
    "months": months_sheet,
    "prices": prices_sheet,
    "rates": rates_sheet,
    "reels": reels_sheet,
}
"""The tables there are, by name."""

USUAL = ("value", "projects", "retired", "months", "prices", "rates")
"""Those shown where none is named: all but the reel by reel one."""
