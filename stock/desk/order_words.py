"""Order plans in plain words, for screens and commands alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stock.core.moments import date_of
from stock.edge.cells import amount_of
from stock.edge.words import money_words

if TYPE_CHECKING:
    from stock.desk.ordering import Planned, Row
    from stock.planning.ordering.ask import Line
    from stock.planning.ordering.because import Short
    from stock.planning.ordering.plan import OrderPlan


def day_words(day: int) -> str:
    """A day as it is written everywhere: `2026-12-01`."""
    return date_of(day).isoformat()


def money_of(units: int, currency: str) -> str:
    """An amount without its currency, with all its places."""
    return f"{amount_of(units, currency):f}"


def reels_words(count: int) -> str:
    """`1 reel`, `12 reels`."""
    return f"{count} reel{'' if count == 1 else 's'}"


def proof_words(plan: OrderPlan) -> str:
    """How sure it is that no plan is cheaper."""
    if plan.optimal:
        return "proved"
    return "not proved" if plan.gap is None else f"within {plan.gap * 100:.1f} %"


def _proved(plan: OrderPlan) -> str:
    if plan.optimal:
        return "proved the cheapest" if not plan.shortages else "proved the least short"
    return "not proved the cheapest" if plan.gap is None else f"{proof_words(plan)} of the cheapest"


def plan_words(made: Planned) -> str:
    """The plan in a sentence."""
    plan = made.plan
    odds = "for the need typed" if made.service is None else f"never short with odds of {made.service / 10:g} %"
    count = reels_words(sum(line.quantity for line in plan.lines))
    if plan.shortages:
        need = "the need typed" if made.service is None else f"odds of {made.service / 10:g} %"
        act = f"order {count} for {money_words(plan.total, made.currency)}" if plan.lines else "nothing helps"
        return f"Short of {need}: {act}, {_proved(plan)}."
    if not plan.lines:
        return f"Nothing is to be ordered, {odds}."
    return f"Order {count} for {money_words(plan.total, made.currency)}, {odds}; {_proved(plan)}."


def line_words(line: Line, made: Planned) -> str:
    """Why a line is there: for whom, from when, and what its price hangs on."""
    parts = []
    if line.locked:
        parts.append("set by hand")
    if line.need_by is None:
        parts.append("more than is needed in these weeks")
    else:
        parts.append(f"needed in the week of {day_words(line.need_by)}")
    if line.reasons:
        parts.append("for " + ", ".join(f"{reason.project} {reason.reels}" for reason in line.reasons[:3]))
    parts.append(f"usually there by {day_words(line.likely)}")
    words = [_price_words(line, made.currency)]
    if line.fee:
        words.append(f"with {money_of(line.fee, made.currency)} for the order")
    return f"{line.supplier}, {line.stock_item}: {'; '.join([*parts, *filter(None, words)])}."


def _price_words(line: Line, currency: str) -> str:
    """Where the price stands among its bands, and what the next one would take."""
    held = [(start, unit) for start, unit in line.breaks if start <= line.quantity]
    after = [(start, unit) for start, unit in line.breaks if start > line.quantity]
    words = []
    if len(held) > 1:
        words.append(f"from {held[-1][0]} the price is {money_of(held[-1][1], currency)}")
    if after:
        start, unit = after[0]
        words.append(f"{start - line.quantity} more would bring {money_of(unit, currency)}")
    return ", ".join(words)


def short_words(short: Short) -> str:
    """What is short, when, and whose work it hits."""
    span = f"week of {day_words(short.week)}"
    if short.until != short.week:
        span = f"weeks of {day_words(short.week)} to {day_words(short.until)}"
    hits = f": {', '.join(short.projects)}" if short.projects else ""
    return f"{short.stock_item}: up to {reels_words(short.reels)} short in the {span}{hits}"


def ledger_words(made: Planned) -> list[str]:
    """For each item that is needed: the need, what is on order, what the plan buys."""
    found = []
    for need in made.needs:
        item, wanted = need.stock_item, need.service[-1] if need.service else 0
        coming = sum(each.quantity for each in made.ask.coming if each.stock_item == item)
        bought = sum(line.quantity for line in made.plan.lines if line.stock_item == item)
        if wanted or bought:
            found.append(
                f"{item}: {wanted} needed until {day_words(need.weeks[-1])}, {coming} on order, {bought} in this plan"
            )
    return found


def then_words(row: Row, currency: str) -> str:
    """What the present plan would cost in a scenario."""
    if row.unchanged is None:
        return "not to be had" if row.lost else ""
    return money_of(row.unchanged, currency)


def scenario_cells(row: Row, currency: str) -> list[str]:
    """One scenario as the cells of a table: total, reels, short, what the present plan would cost then."""
    return [
        f"{money_of(row.plan.total, currency):>9}",
        f"{sum(line.quantity for line in row.plan.lines):5}",
        f"{sum(short.reels for short in row.plan.shortages):5}",
        f"{then_words(row, currency):>14}",
    ]
