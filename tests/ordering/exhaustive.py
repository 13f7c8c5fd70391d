"""Every answer to a small ordering task, tried one after another; written apart from the product's programmes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from stock.planning.ordering.model import Choice, Task


def amounts(task: Task, choice: Choice) -> list[int]:
    """Nothing, or any number of cases that is sold, up to the whole need or the first of the last band."""
    most_reels = max(task.items[choice.item].need[-1] + choice.case - 1, choice.tiers[-1].first * choice.case)
    return [0] + [
        cases
        for cases in range(1, most_reels // choice.case + 1)
        if any(tier.first <= cases <= tier.last for tier in choice.tiers)
    ]


def paid(task: Task, bought: tuple[int, ...]) -> dict[int, int]:
    """Minor units by month."""
    months: dict[int, int] = {}
    fee_of: dict[tuple[str, int], tuple[int, int]] = {}
    for choice, cases in zip(task.choices, bought, strict=True):
        if not cases:
            continue
        (tier,) = [tier for tier in choice.tiers if tier.first <= cases <= tier.last]
        months[choice.month] = months.get(choice.month, 0) + tier.base + tier.unit * cases * choice.case
        key = choice.supplier, choice.day
        fee_of[key] = choice.month, max(choice.fee, fee_of.get(key, (0, 0))[1])
    for month, fee in fee_of.values():
        months[month] += fee
    return months


def judged(task: Task, bought: tuple[int, ...]) -> tuple[int, int] | None:
    """Reels short by the week, and what it weighs (a week at a time); None where it is beyond a budget."""
    months = paid(task, bought)
    if any(month in task.budgets and cost > task.budgets[month] for month, cost in months.items()):
        return None
    short, cost = 0, 1000 * sum(months.values())
    for at, item in enumerate(task.items):
        there = 0
        for week, need in enumerate(item.need):
            there += sum(
                cases * choice.case
                for choice, cases in zip(task.choices, bought, strict=True)
                if choice.item == at and choice.week == week
            )
            short += max(0, need - there)
            cost += item.holding * (there - need)
        cost -= item.worth * (there - (item.need[-1] if item.need else 0))
    return short, cost


def every_answer(task: Task) -> Iterator[tuple[int, ...]]:
    yield from product(*(amounts(task, choice) for choice in task.choices))


def best(task: Task) -> tuple[int, int]:
    """The least shortage, and the least weight with it."""
    return min(found for bought in every_answer(task) if (found := judged(task, bought)) is not None)
