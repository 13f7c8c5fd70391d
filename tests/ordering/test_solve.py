"""Order plans of small tasks equal the best of all there are; each item alone and all at once agree."""

from __future__ import annotations

from random import Random

import pytest

from stock.planning.ordering.model import Choice, Item, Task, Tier, objective, shortage, within_budget
from stock.planning.ordering.solve import reachable, running, solve

from .exhaustive import best, judged


def tiers(random: Random, case: int) -> tuple[tuple[Tier, ...], int]:
    """One to three bands, for all units or by increment, and the lowest price."""
    first = random.choice([1, 1, 1, 2])
    prices = sorted((random.randint(5, 30) for _ in range(random.randint(1, 3))), reverse=True)
    starts = [first]
    while len(starts) < len(prices):
        starts.append(starts[-1] + random.randint(1, 2))
    ends = [*(start - 1 for start in starts[1:]), 99]
    found, base = [], 0
    incremental = random.random() < 0.4
    for at, (start, end, price) in enumerate(zip(starts, ends, prices, strict=True)):
        if incremental and at:
            base += (prices[at - 1] - price) * (start - 1) * case
        found.append(Tier(start, end, price, base))
    return tuple(found), prices[-1]


def task(random: Random, *, budgets: bool) -> Task:
    """One or two items, two to four weeks, at most four choices."""
    weeks = random.randint(2, 4)
    items, choices = [], []
    for item in range(random.choice([1, 1, 2])):
        lowest = 99
        for _ in range(random.choice([1, 2])):
            case = random.choice([1, 1, 2])
            bands, low = tiers(random, case)
            lowest = min(lowest, low)
            day = random.randint(0, 1)
            choices.append(
                Choice(
                    item, random.choice("AB"), day, random.randrange(weeks), case, bands, random.choice([0, 8, 25]), day
                )
            )
        need = running([random.randint(0, 5) for _ in range(weeks)])
        items.append(Item(f"tape {item}", need, random.choice([0, 300, 2500]), random.choice([0, 500 * lowest])))
    months = {month: random.randint(0, 120) for month in (0, 1) if random.random() < 0.7} if budgets else {}
    return reachable(Task(tuple(items), tuple(choices), months))


def key(asked: Task, bought: tuple[int, ...]) -> tuple[int, int]:
    assert within_budget(asked, bought)
    return sum(map(sum, shortage(asked, bought))), objective(asked, bought)


def shared_of(seed: int) -> set[int]:
    """The items of a case that can share an order's fee."""
    asked = task(Random(seed), budgets=False)
    groups: dict[tuple[str, int], set[int]] = {}
    for choice in asked.choices:
        if choice.fee:
            groups.setdefault(choice.group, set()).add(choice.item)
    return {item for items in groups.values() if len(items) > 1 for item in items}


@pytest.mark.parametrize("seed", range(150))
def test_each_item_alone_is_the_best_of_all(seed: int) -> None:
    random = Random(seed)
    asked = task(random, budgets=False)
    # fees nobody shares: each order is a supplier's own
    alone = asked._replace(
        choices=tuple(choice._replace(supplier=f"{choice.supplier}{at}") for at, choice in enumerate(asked.choices))
    )
    found = solve(alone)
    assert found.optimal
    assert found.bound == objective(alone, found.bought)
    assert key(alone, found.bought) == best(alone)


@pytest.mark.parametrize("seed", range(12))
def test_all_at_once_is_the_best_of_all(seed: int) -> None:
    asked = task(Random(1000 + seed), budgets=True)
    found = solve(asked, apart=False)
    assert found.optimal
    assert key(asked, found.bought) == best(asked)


@pytest.mark.parametrize("seed", [seed for seed in range(300) if len(shared_of(seed)) > 1][:8])
def test_items_that_share_fees_are_the_best_of_all(seed: int) -> None:
    asked = task(Random(seed), budgets=False)
    found = solve(asked)
    assert found.optimal
    assert key(asked, found.bought) == best(asked)


def test_shared_fees_are_paid_once() -> None:
    """Two items, each cheaper by itself from B; together from A they pay one fee."""
    bands = (Tier(1, 99, 100),)
    dear = (Tier(1, 99, 110),)
    items = (Item("one", (1,)), Item("two", (1,)))
    choices = (
        Choice(0, "A", 0, 0, 1, bands, 30, 0),
        Choice(1, "A", 0, 0, 1, bands, 40, 0),
        Choice(0, "B", 0, 0, 1, dear, 15, 0),
        Choice(1, "C", 0, 0, 1, dear, 15, 0),
    )
    found = solve(Task(items, choices, {}))
    assert found.bought == (1, 1, 0, 0)
    assert found.optimal
    assert objective(Task(items, choices, {}), found.bought) == 240_000
    assert judged(Task(items, choices, {}), found.bought) == (0, 240_000)


def test_a_budget_that_buys_too_little_buys_what_it_can() -> None:
    bands = (Tier(1, 99, 100),)
    asked = Task((Item("one", (2, 4)),), tuple(Choice(0, "A", day, day, 1, bands, 10, day) for day in (0, 1)), {0: 215})
    found = solve(asked)
    assert found.bought == (2, 2)
    starved = solve(asked._replace(budgets={0: 115, 1: 210}))
    assert starved.bought == (1, 2)
    assert starved.optimal
    assert shortage(asked, starved.bought) == [[1, 1]]


def test_without_a_solver_there_is_still_an_answer_and_its_gap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("stock.planning.ordering.solve.answers", lambda *_: [])
    bands = (Tier(1, 99, 100),)
    choices = tuple(Choice(item, "A", 0, 0, 1, bands, 30, 0) for item in (0, 1))
    found = solve(Task((Item("one", (1,)), Item("two", (1,))), choices, {}))
    assert found.bought == (1, 1)
    assert not found.optimal
    assert found.bound == 200_000
    bought = solve(Task((Item("one", (1,)), Item("two", (1,))), choices, {0: 140})).bought
    assert sum(bought) == 1


def test_need_before_the_first_order_can_be_there_is_left_out() -> None:
    bands = (Tier(1, 99, 100),)
    asked = reachable(Task((Item("one", (3, 3, 5)),), (Choice(0, "A", 0, 2, 1, bands, 0, 0),), {}))
    assert asked.items[0].need == (0, 0, 5)
    assert solve(asked).bought == (5,)
    assert reachable(asked._replace(choices=())).items[0].need == (0, 0, 0)
