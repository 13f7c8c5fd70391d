"""The order plan in its own words: items with their need, choices to order, and what a choice of them costs.

Money is in minor units of one currency; what is weighed by the week is in thousandths of a minor unit, so that all sums
are whole numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

THOUSAND = 1000


class Tier(NamedTuple):
    """A band of a price. first, last: cases. unit: minor units a reel. base: minor units added once."""

    first: int
    last: int
    unit: int
    base: int = 0


class Choice(NamedTuple):
    """An order that may be placed. item: its place among the items. week: place of the first week it surely serves.

    day: when it is placed, as a day number. case: reels a case. fee: per order; choices of one supplier and day share
    it, the largest counts. month: year * 12 + month - 1 of the day.
    """

    item: int
    supplier: str
    day: int
    week: int
    case: int
    tiers: tuple[Tier, ...]
    fee: int
    month: int

    def goods(self, cases: int) -> int:
        """What so many cases cost without the fee (ValueError where so many are not sold)."""
        for tier in self.tiers:
            if tier.first <= cases <= tier.last:
                return tier.base + tier.unit * cases * self.case
        raise ValueError(cases)

    @property
    def group(self) -> tuple[str, int]:
        """What shares one fee."""
        return self.supplier, self.day


class Item(NamedTuple):
    """What is needed of one stock item. need: cumulative reels by the end of each week, never falling.

    holding: a reel for one unit of time; worth: a reel left at the end; both in thousandths of a minor unit. lengths:
    units of time in each week, one each where it is empty.
    """

    name: str
    need: tuple[int, ...]
    holding: int = 0
    worth: int = 0
    lengths: tuple[int, ...] = ()

    def kept(self, week: int) -> int:
        """The time from a week's beginning to the end."""
        return sum(self.lengths[week:]) if self.lengths else len(self.need) - week


class Task(NamedTuple):
    """The whole question. budgets: minor units by month; months that are not named have no limit."""

    items: tuple[Item, ...]
    choices: tuple[Choice, ...]
    budgets: Mapping[int, int]


Bought = tuple[int, ...]
"""Cases of each choice; 0 where it is not taken."""


class Solved(NamedTuple):
    """An answer. bound: no answer with so little shortage is weighed below it; None where none is known.

    optimal: whether it is proved that none is less short, or as short and cheaper.
    """

    bought: Bought
    bound: int | None
    optimal: bool


def weight(task: Task, choice: Choice) -> int:
    """What each reel of a choice weighs beside its price: kept from its week on, less its worth at the end."""
    item = task.items[choice.item]
    return item.holding * item.kept(choice.week) - item.worth


def constant(task: Task) -> int:
    """What the need takes off every answer's weight: reels used are not kept, and are worth nothing at the end."""
    total = 0
    for item in task.items:
        lengths = item.lengths or (1,) * len(item.need)
        used = sum(reels * length for reels, length in zip(item.need, lengths, strict=True))
        total += item.worth * (item.need[-1] if item.need else 0) - item.holding * used
    return total


def fees(task: Task, bought: Sequence[int]) -> dict[tuple[str, int], int]:
    """The fee of each order, minor units, by supplier and day."""
    found: dict[tuple[str, int], int] = {}
    for choice, cases in zip(task.choices, bought, strict=True):
        if cases:
            found[choice.group] = max(found.get(choice.group, 0), choice.fee)
    return found


def money(task: Task, bought: Sequence[int]) -> int:
    """What is paid, goods and fees."""
    goods = sum(choice.goods(cases) for choice, cases in zip(task.choices, bought, strict=True) if cases)
    return goods + sum(fees(task, bought).values())


def objective(task: Task, bought: Sequence[int]) -> int:
    """What an answer is weighed by, in thousandths: paid, kept, less what is left at the end is worth."""
    reels = sum(
        weight(task, choice) * cases * choice.case for choice, cases in zip(task.choices, bought, strict=True) if cases
    )
    return THOUSAND * money(task, bought) + reels + constant(task)


def arrived(task: Task, bought: Sequence[int]) -> list[list[int]]:
    """Cumulative reels there for each week, by item."""
    there = [[0] * len(item.need) for item in task.items]
    for choice, cases in zip(task.choices, bought, strict=True):
        if cases:
            row = there[choice.item]
            for week in range(choice.week, len(row)):
                row[week] += cases * choice.case
    return there


def shortage(task: Task, bought: Sequence[int]) -> list[list[int]]:
    """Reels short at the end of each week, by item."""
    return [
        [max(0, need - got) for need, got in zip(item.need, row, strict=True)]
        for item, row in zip(task.items, arrived(task, bought), strict=True)
    ]


def spent(task: Task, bought: Sequence[int]) -> dict[int, int]:
    """What is paid in each month, fees included."""
    months = {choice.group: choice.month for choice in task.choices}
    found: dict[int, int] = {}
    for choice, cases in zip(task.choices, bought, strict=True):
        if cases:
            found[choice.month] = found.get(choice.month, 0) + choice.goods(cases)
    for group, fee in fees(task, bought).items():
        found[months[group]] = found.get(months[group], 0) + fee
    return found


def within_budget(task: Task, bought: Sequence[int]) -> bool:
    """Whether no month costs more than its budget."""
    return all(cost <= task.budgets.get(month, cost) for month, cost in spent(task, bought).items())
