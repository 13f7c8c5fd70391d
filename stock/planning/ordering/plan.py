"""The order plan: needs, offers and budgets made into an ordering task, and its answer into lines to order."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from stock.core.moments import date_of
from stock.planning.ordering.ask import Ask, BadLock, Coming, Line, Lock
from stock.planning.ordering.because import Short, covers, shorts
from stock.planning.ordering.making import task_of
from stock.planning.ordering.model import Solved, Task, money, objective
from stock.planning.ordering.offers import Offer, breaks_on, last_day, tiers
from stock.planning.ordering.solve import reachable, solve


@dataclass
class OrderPlan:
    """The plan. total: minor units, the sum of the lines. gap: how much cheaper, at most, as a share of the total; None
    where it is not known. shortages: where the need is not met. weighed: in thousandths of a minor unit."""

    lines: list[Line]
    total: int
    optimal: bool
    gap: float | None
    shortages: list[Short]
    weighed: int


def plan(ask: Ask) -> OrderPlan:
    """The cheapest plan that never falls below the need, or the least short. Raises BadLock."""
    offers = [offer for offer in ask.offers if not _barred(offer, ask.locks)]
    locked = [_locked(lock, ask) for lock in ask.locks if lock.quantity]
    needs = [need for need in ask.needs if need.weeks]
    task = reachable(task_of(needs, offers, locked, ask))
    solved = solve(task, limit_s=ask.limit_s, stop=ask.stop)
    lines = [*locked, *_lines(task, solved, offers, ask)]
    lines.sort(key=lambda line: (line.order_by, line.supplier, line.stock_item))
    lines = _fees_once(lines)
    covering = covers(needs, [(each.stock_item, each.day, each.quantity) for each in ask.coming], lines_of(lines))
    lines = [
        line._replace(need_by=cover.need_by, reasons=cover.reasons) for line, cover in zip(lines, covering, strict=True)
    ]
    return OrderPlan(
        lines,
        sum(line.cost for line in lines),
        solved.optimal,
        _gap(task, solved),
        shorts(needs, coming_and(lines, ask.coming)),
        objective(task, solved.bought),
    )


def lines_of(lines: Iterable[Line]) -> list[tuple[str, int, int]]:
    """Each line as stock item, arrival, reels."""
    return [(line.stock_item, line.arrives, line.quantity) for line in lines]


def coming_and(lines: Iterable[Line], coming: Iterable[Coming]) -> list[tuple[str, int, int]]:
    """All that arrives: what is planned and what is on order."""
    return [*lines_of(lines), *((each.stock_item, each.day, each.quantity) for each in coming)]


def _barred(offer: Offer, locks: Iterable[Lock]) -> bool:
    return any(
        not lock.quantity and (lock.supplier, lock.stock_item) == (offer.supplier, offer.stock_item) for lock in locks
    )


def _locked(lock: Lock, ask: Ask) -> Line:
    found = [each for each in ask.offers if (each.supplier, each.stock_item) == (lock.supplier, lock.stock_item)]
    if not found:
        raise BadLock(lock, f"{lock.supplier} does not offer {lock.stock_item}")
    offer = found[0]
    if lock.day < ask.today:
        raise BadLock(lock, "an order cannot be placed before today")
    last = last_day(offer, ask.scenario)
    if last is not None and lock.day > last:
        raise BadLock(lock, f"the quote holds until {date_of(last).isoformat()} only")
    bands = tiers(offer, lock.day, ask.scenario)
    if lock.quantity % offer.case or not any(tier.first <= lock.quantity // offer.case <= tier.last for tier in bands):
        least = bands[0].first * offer.case if bands else 0
        raise BadLock(lock, f"it is sold in cases of {offer.case}, at least {least}")
    return _line(offer, lock.day, lock.quantity, ask, locked=True)


def _line(offer: Offer, day: int, reels: int, ask: Ask, *, locked: bool = False) -> Line:
    cases = reels // offer.case
    goods = next(
        tier.base + tier.unit * reels for tier in tiers(offer, day, ask.scenario) if tier.first <= cases <= tier.last
    )
    return Line(
        offer.stock_item,
        offer.supplier,
        reels,
        day,
        day + offer.lead_high,
        day + offer.lead_likely,
        (goods * 2 + reels) // (2 * reels),
        goods,
        offer.fee,
        breaks_on(offer, day, ask.scenario),
        locked,
        None,
        (),
    )


def _lines(task: Task, solved: Solved, offers: Sequence[Offer], ask: Ask) -> Iterable[Line]:
    of = {(offer.supplier, offer.stock_item): offer for offer in offers}
    for choice, cases in zip(task.choices, solved.bought, strict=True):
        if cases:
            offer = of[choice.supplier, task.items[choice.item].name]
            yield _line(offer, choice.day, cases * choice.case, ask)


def _fees_once(lines: Sequence[Line]) -> list[Line]:
    """The fee of each order on its first line only: the largest of its lines'."""
    largest: dict[tuple[str, int], int] = {}
    for line in lines:
        key = line.supplier, line.order_by
        largest[key] = max(largest.get(key, 0), line.fee)
    return [line._replace(fee=largest.pop((line.supplier, line.order_by), 0)) for line in lines]


def _gap(task: Task, solved: Solved) -> float | None:
    if solved.optimal:
        return 0.0
    if solved.bound is None:
        return None
    over = objective(task, solved.bought) - solved.bound
    return over / max(1, 1000 * money(task, solved.bought))
