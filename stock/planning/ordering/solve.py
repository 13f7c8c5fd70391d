"""The cheapest answer to an ordering task: each item by itself where nothing is shared, all at once where it is."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from itertools import accumulate

from stock.planning.apart import answers
from stock.planning.ordering.dynamic import cheapest, most_reels, steps
from stock.planning.ordering.model import (
    THOUSAND,
    Bought,
    Choice,
    Solved,
    Task,
    Tier,
    constant,
    objective,
    shortage,
    weight,
    within_budget,
)

LIMIT_S = 20.0
"""How long the solver may take."""

MOST_TIERS = 1500
"""Bands of all choices that the solver is asked about: of more, some choices are left out, and nothing is proved."""

MOST_STEPS = 200_000_000
"""Work of the dynamic programme for one item: some tenths of a second."""


def reachable(task: Task) -> Task:
    """The task with only so much need as can be met at all: none before the first order can be there."""
    items = []
    for at, item in enumerate(task.items):
        first = min((choice.week for choice in task.choices if choice.item == at), default=len(item.need))
        items.append(item._replace(need=(0,) * min(first, len(item.need)) + item.need[first:]))
    return task._replace(items=tuple(items))


def _never() -> bool:
    return False


def solve(task: Task, *, limit_s: float = LIMIT_S, apart: bool = True, stop: Callable[[], bool] = _never) -> Solved:
    """The answer that is least short, and of those the cheapest.

    The need must be `reachable`, and no reel may be worth more at the end than the lowest price it is sold for. apart:
    whether items that share nothing may be answered each by itself, which is exact and fast. stop: says whether nobody
    waits for the best answer any more.
    """
    small = apart and all(
        steps(own, most_reels(item.need[-1] if item.need else 0, own)) <= MOST_STEPS
        for item, own in ((item, _own(task, at)) for at, item in enumerate(task.items))
    )
    if not small:
        return _mixed(task, _plain(task), _no_less(task), limit_s, stop)
    together = _shared(task)
    answer, floor = [0] * len(task.choices), constant(task)
    for at in range(len(task.items)):
        own = _required(task, cheapest(task, at))
        answer = [mine or held for mine, held in zip(own, answer, strict=True)]
        lone = at not in together
        least = own if lone else _required(task, cheapest(task, at, with_fees=False))
        floor += _weight_of_item(task, least, with_fees=lone)
    if not together and within_budget(task, answer):
        return Solved(tuple(answer), floor, True)
    return _mixed(task, answer, floor, limit_s, stop)


def _required(task: Task, found: Bought | None) -> Bought:
    if found is None:
        raise ValueError("the need of an item cannot be met by its choices")
    return found


def _own(task: Task, item: int) -> list[Choice]:
    return [choice for choice in task.choices if choice.item == item]


def _shared(task: Task) -> frozenset[int]:
    """The items that may share a fee with another."""
    of_group: dict[tuple[str, int], set[int]] = {}
    for choice in task.choices:
        if choice.fee:
            of_group.setdefault(choice.group, set()).add(choice.item)
    return frozenset(item for items in of_group.values() if len(items) > 1 for item in items)


def _weight_of_item(task: Task, bought: Sequence[int], *, with_fees: bool) -> int:
    return sum(
        THOUSAND * (choice.goods(cases) + (choice.fee if with_fees else 0)) + weight(task, choice) * cases * choice.case
        for choice, cases in zip(task.choices, bought, strict=True)
        if cases
    )


def _mixed(task: Task, known: Sequence[int], floor: int, limit_s: float, stop: Callable[[], bool]) -> Solved:
    """The answer of the solver, or the best there is without it. floor: no answer that is never short is below it."""
    best = _affordable(task, known)
    kept = _thinned(task.choices, MOST_TIERS)
    bound: int | None = None
    optimal = False
    for line in answers("stock.planning.ordering.hard", _question(task, kept, limit_s), limit_s, stop):
        found = [0] * len(task.choices)
        for at, cases in zip(kept, line["cases"], strict=True):
            found[at] = cases
        if not _sold(task, found) or not within_budget(task, found):
            continue
        better = _key(task, found) <= _key(task, best)
        best = tuple(found) if better else best
        if len(kept) == len(task.choices) and line["bound"] is not None:
            # the solver counts in minor units, and to about a millionth of them
            bound = int(line["bound"] * THOUSAND - 0.5) + constant(task)
            optimal = line["proved"] and better
    if not any(map(any, shortage(task, best))):
        bound = floor if bound is None else max(bound, floor)
        optimal = optimal or objective(task, best) <= bound
    if bound is not None:
        bound = objective(task, best) if optimal else min(bound, objective(task, best))
    return Solved(best, bound, optimal)


def _plain(task: Task) -> Bought:
    """An answer that is never short, made without any search: all of an item at once, as soon as may be."""
    found = [0] * len(task.choices)
    for at, item in enumerate(task.items):
        wanted = item.need[-1] if item.need else 0
        places = [place for place, choice in enumerate(task.choices) if choice.item == at]
        if wanted and places:
            place = min(places, key=lambda place: (task.choices[place].week, place))
            choice = task.choices[place]
            enough = -(-wanted // choice.case)
            found[place] = min(max(tier.first, enough) for tier in choice.tiers if tier.last >= enough)
    return tuple(found)


def _no_less(task: Task) -> int:
    """A bound that needs no search: every reel at its lowest price, none kept."""
    total = constant(task)
    for at, item in enumerate(task.items):
        prices = [
            THOUSAND * tier.unit + weight(task, choice)
            for choice in task.choices
            if choice.item == at
            for tier in choice.tiers
        ]
        total += min(prices, default=0) * (item.need[-1] if item.need else 0)
    return total


def _key(task: Task, bought: Sequence[int]) -> tuple[int, int]:
    return sum(map(sum, shortage(task, bought))), objective(task, bought)


def _sold(task: Task, bought: Sequence[int]) -> bool:
    return all(
        not cases or any(tier.first <= cases <= tier.last for tier in choice.tiers)
        for choice, cases in zip(task.choices, bought, strict=True)
    )


def _affordable(task: Task, bought: Sequence[int]) -> Bought:
    """As much of an answer as the budgets allow, earliest first; not the best, but there without a solver."""
    kept = [0] * len(task.choices)
    for at in sorted(range(len(kept)), key=lambda at: (task.choices[at].week, at)):
        if bought[at]:
            kept[at] = bought[at]
            if not within_budget(task, kept):
                kept[at] = 0
    return tuple(kept)


def _thinned(choices: Sequence[Choice], most: int) -> list[int]:
    """Places of the choices to ask about: where there are too many, only every second or third week of them."""
    every = 1
    while True:
        kept = [at for at, choice in enumerate(choices) if choice.week < every or choice.week % every == 0]
        if every > 64 or sum(len(choices[at].tiers) for at in kept) <= most:
            return kept[:most]
        every += 1


def _question(task: Task, kept: Sequence[int], limit_s: float) -> str:
    groups: dict[tuple[str, int], int] = {}
    return json.dumps(
        {
            "need": [list(item.need) for item in task.items],
            "choices": [
                {
                    "item": choice.item,
                    "week": choice.week,
                    "case": choice.case,
                    "tiers": _tight(choice, task.items[choice.item].need),
                    "fee": choice.fee,
                    "group": groups.setdefault(choice.group, len(groups)),
                    "month": choice.month,
                    "weight": weight(task, choice),
                }
                for choice in (task.choices[at] for at in kept)
            ],
            "budgets": sorted(task.budgets.items()),
            "seconds": limit_s * 0.9,
        }
    )


def _tight(choice: Choice, need: Sequence[int]) -> list[Tier]:
    """The bands as far as a best answer may use them: one never orders above the need but for a band's first."""
    most = -(-(need[-1] if need else 0) // choice.case)
    return [tier._replace(last=min(tier.last, max(tier.first, most))) for tier in choice.tiers]


def running(values: Sequence[int]) -> tuple[int, ...]:
    """The running maximum, from 0 up."""
    return tuple(accumulate((max(0, value) for value in values), max))
