"""The order plan: needs, offers and budgets made into an ordering task, and its answer into lines to order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from stock.core.moments import date_of
from stock.planning.need import Need
from stock.planning.ordering.because import Reason, Short, covers, shorts
from stock.planning.ordering.model import Choice, Item, Solved, Task, money, objective
from stock.planning.ordering.offers import Offer, Scenario, Trouble, breaks_on, last_day, tiers
from stock.planning.ordering.solve import LIMIT_S, reachable, running, solve

_DAYS_A_YEAR = 365


class Lock(NamedTuple):
    """A line set by hand: so many reels on that day, or, with no reels, none of that item from that supplier."""

    supplier: str
    stock_item: str
    quantity: int
    day: int


class Coming(NamedTuple):
    """Reels on order, and the day from which they are counted on."""

    order: str
    stock_item: str
    quantity: int
    day: int


class Line(NamedTuple):
    """One order to place. order_by: the last safe day. arrives: by when it is surely there; likely: the usual day.

    unit_price: what each costs, rounded to the minor unit where bands are mixed. cost: goods and fee. breaks: the
    bands it was bought by. need_by: the first day of the week it is needed in; reasons: the projects it is for.
    """

    stock_item: str
    supplier: str
    quantity: int
    order_by: int
    arrives: int
    likely: int
    unit_price: int
    goods: int
    fee: int
    breaks: tuple[tuple[int, int], ...]
    locked: bool
    need_by: int | None
    reasons: tuple[Reason, ...]

    @property
    def cost(self) -> int:
        return self.goods + self.fee


@dataclass
class Ask:
    """What is to be planned. budgets: minor units by month (year * 12 + month - 1). committed: ordered already, so too.

    holding_share: a year, in thousandths of the price; end_share: what a reel left over is worth, so too. stop: says
    whether nobody waits for the plan any more.
    """

    needs: Sequence[Need]
    offers: Sequence[Offer]
    today: int
    coming: Sequence[Coming] = ()
    budgets: Mapping[int, int] = field(default_factory=dict)
    committed: Mapping[int, int] = field(default_factory=dict)
    locks: Sequence[Lock] = ()
    scenario: Scenario = Scenario()
    holding_share: int = 100
    end_share: int = 800
    limit_s: float = LIMIT_S
    stop: Callable[[], bool] = lambda: False


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


class BadLock(Exception):
    """A line set by hand that cannot be ordered. lock: which. says: why."""

    def __init__(self, lock: Lock, says: str) -> None:
        super().__init__(says)
        self.lock = lock
        self.says = says


def month_of(day: int) -> int:
    """The month of a day number."""
    date = date_of(day)
    return date.year * 12 + date.month - 1


def budget_troubles(ask: Ask) -> list[Trouble]:
    """Months in which more is ordered, or set by hand, than the budget."""
    return [
        Trouble("over-budget", f"{month // 12}-{month % 12 + 1:02}", "more is ordered already than the budget allows")
        for month, limit in sorted(ask.budgets.items())
        if ask.committed.get(month, 0) > limit
    ]


def plan(ask: Ask) -> OrderPlan:
    """The cheapest plan that never falls below the need, or the least short. Raises BadLock."""
    offers = [offer for offer in ask.offers if not _barred(offer, ask.locks)]
    locked = [_locked(lock, ask) for lock in ask.locks if lock.quantity]
    coming = [
        *((each.stock_item, each.day, each.quantity) for each in ask.coming),
        *((line.stock_item, line.arrives, line.quantity) for line in locked),
    ]
    needs = [need for need in ask.needs if need.weeks]
    asked = Task(
        tuple(_item(need, coming, offers, ask) for need in needs),
        tuple(_choices(needs, offers, locked, ask)),
        _budgets_left(ask, locked),
    )
    task = reachable(asked)
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


def _item(need: Need, coming: Iterable[tuple[str, int, int]], offers: Sequence[Offer], ask: Ask) -> Item:
    """The need that is left once what is on order is counted, and what a reel weighs."""
    own = [(day, reels) for item, day, reels in coming if item == need.stock_item]
    left = [
        wanted - sum(reels for day, reels in own if day <= week)
        for week, wanted in zip(need.weeks, need.service, strict=True)
    ]
    days = (ask.today, *(change.day for change in ask.scenario.changes if change.day is not None))
    lowest = min(
        (
            price
            for offer in offers
            if offer.stock_item == need.stock_item
            for day in days
            for _, price in breaks_on(offer, day, ask.scenario)
        ),
        default=0,
    )
    lengths = (*(after - before for before, after in pairwise(need.weeks)), 7)
    return Item(
        need.stock_item,
        running(left),
        lowest * ask.holding_share // _DAYS_A_YEAR,
        lowest * min(ask.end_share, 1000),
        lengths,
    )


def _choices(needs: Sequence[Need], offers: Sequence[Offer], locked: Sequence[Line], ask: Ask) -> Iterable[Choice]:
    paid: dict[tuple[str, int], int] = {}
    for line in locked:
        key = line.supplier, line.order_by
        paid[key] = max(paid.get(key, 0), line.fee)
    days_of: dict[str, set[int]] = {}
    wanted = [
        (at, need, offer) for at, need in enumerate(needs) for offer in offers if offer.stock_item == need.stock_item
    ]
    for _, need, offer in wanted:
        days_of.setdefault(offer.supplier, set()).update(_days(need, offer, ask))
    days_paid: dict[str, set[int]] = {}
    for supplier, day in paid:
        days_paid.setdefault(supplier, set()).add(day)
    for at, need, offer in wanted:
        last = last_day(offer, ask.scenario)
        days = days_of[offer.supplier] if offer.fee else _days(need, offer, ask)
        for day in sorted(days | days_paid.get(offer.supplier, set())):
            week = next((week for week, start in enumerate(need.weeks) if start >= day + offer.lead_high), None)
            if week is None or day < ask.today or (last is not None and day > last):
                continue
            fee = max(0, offer.fee - paid.get((offer.supplier, day), 0))
            bands = tiers(offer, day, ask.scenario)
            if bands:
                yield Choice(at, offer.supplier, day, week, offer.case, bands, fee, month_of(day))


def _days(need: Need, offer: Offer, ask: Ask) -> set[int]:
    """The days worth ordering on: for each week the last that does, and before each change of price, end or month.

    Ordering on any other day costs no less than on the next of these.
    """
    last = last_day(offer, ask.scenario)
    latest = min(need.weeks[-1] - offer.lead_high, need.weeks[-1] if last is None else last)
    days = {start - offer.lead_high for start in need.weeks}
    days |= {change.day - 1 for change in ask.scenario.changes if change.day is not None}
    days |= set() if last is None else {last}
    if ask.budgets:
        days |= {day for day in range(ask.today, latest + 1) if month_of(day) != month_of(day + 1)}
    return {day for day in days if ask.today <= day <= latest}


def _budgets_left(ask: Ask, locked: Iterable[Line]) -> dict[int, int]:
    left = {month: limit - ask.committed.get(month, 0) for month, limit in ask.budgets.items()}
    seen: set[tuple[str, int]] = set()
    for line in sorted(locked, key=lambda line: -line.fee):
        month, key = month_of(line.order_by), (line.supplier, line.order_by)
        if month in left:
            left[month] -= line.goods + (0 if key in seen else line.fee)
        seen.add(key)
    return {month: max(0, limit) for month, limit in left.items()}


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
