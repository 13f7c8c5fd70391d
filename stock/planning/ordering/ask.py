"""What is to be planned, as it is asked: needs, offers, budgets, lines set by hand; and the lines a plan is made of."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from stock.core.moments import date_of
from stock.planning.need import Need
from stock.planning.ordering.because import Reason
from stock.planning.ordering.offers import Offer, Scenario, Trouble
from stock.planning.ordering.solve import LIMIT_S


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
