"""Published examples of ordering (their sources are in tests/data/ordering/SOURCE.md)."""

from __future__ import annotations

import json
from math import ceil, sqrt
from pathlib import Path
from typing import Any

import pytest

from stock.planning.ordering.model import Choice, Item, Task, Tier, objective
from stock.planning.ordering.solve import reachable, running, solve

EXAMPLES = json.loads((Path(__file__).parents[1] / "data" / "ordering" / "worked_examples.json").read_text("utf-8"))


def lots(example: dict[str, Any], scale: int = 1) -> Task:
    """A lot-sizing example: one order may come each period, and costs its setup. scale: minor units of a unit."""
    demand = example["demand"]
    setup = example["setup"] if isinstance(example["setup"], list) else [example["setup"]] * len(demand)
    need = running([sum(demand[: at + 1]) for at in range(len(demand))])
    choices = tuple(
        Choice(0, "works", at, at, 1, (Tier(1, sum(demand), 0),), cost * scale, at) for at, cost in enumerate(setup)
    )
    return Task((Item("goods", need, round(example["holding"] * scale * 1000)),), choices, {})


@pytest.mark.parametrize(
    ("name", "cost"),
    [
        ("wagner_whitin_1958", "cost"),
        ("factory_physics", "ww_cost"),
        ("snyder_ex3_9", "ww_cost"),
        ("snyder_p3_29", "ww_cost"),
    ],
)
def test_dynamic_lot_sizes(name: str, cost: str) -> None:
    asked = lots(EXAMPLES[name])
    found = solve(asked)
    assert found.optimal
    assert objective(asked, found.bought) == EXAMPLES[name][cost] * 1000


def test_wagner_and_whitin_by_the_mixed_integer_programme() -> None:
    asked = lots(EXAMPLES["wagner_whitin_1958"])
    found = solve(asked, apart=False)
    assert found.optimal
    assert objective(asked, found.bought) == 864_000


def test_no_worse_than_a_heuristic() -> None:
    example = EXAMPLES["silver_meal_nahmias"]
    asked = lots(example)
    assert objective(asked, solve(asked).bought) <= example["cost"] * 1000


def test_newsvendor_with_poisson_demand() -> None:
    """One period: the plan buys the quantile at the critical ratio p / (p + h), Snyder and Shen problem 4.8a."""
    from scipy.stats import poisson

    example = EXAMPLES["newsvendor_poisson_4_8a"]
    ratio = example["p"] / (example["p"] + example["h"])
    assert bought_at(int(poisson.ppf(ratio, example["mu"]))) == example["S"]


def test_newsvendor_with_normal_demand() -> None:
    """Snyder and Shen example 4.1: S is 56.6, in whole reels 57."""
    from scipy.stats import norm

    example = EXAMPLES["newsvendor_4_1"]
    ratio = example["p"] / (example["p"] + example["h"])
    assert bought_at(ceil(norm.ppf(ratio, example["mu"], example["sd"]))) == ceil(example["S"])


def bought_at(need: int) -> int:
    asked = Task((Item("goods", (need,), 180),), (Choice(0, "works", 0, 0, 1, (Tier(1, 999, 1000),), 0, 0),), {})
    return sum(solve(asked).bought)


def test_base_stock_covers_lead_time_and_review() -> None:
    """Snyder and Shen example 4.4: with a lead of 4 periods, what is ordered now must do until the end of the fifth."""
    from scipy.stats import norm

    example = EXAMPLES["base_stock_4_4"]
    ratio = example["p"] / (example["p"] + example["h"])
    need = running(
        [ceil(norm.ppf(ratio, example["mu"] * periods, example["sd"] * sqrt(periods))) for periods in range(1, 8)]
    )
    choices = tuple(
        Choice(0, "works", day, day + example["lead"], 1, (Tier(1, 999, 1000),), 0, 0)
        for day in range(7 - example["lead"])
    )
    found = solve(reachable(Task((Item("goods", need, 180),), choices, {})))
    assert found.bought[0] == ceil(example["S"])


def test_all_units_discount() -> None:
    """Snyder and Shen example 3.5: 800 at a time, 978.60 a year; here over the one cycle they last, 32 weeks of 25.

    Holding at the ends of weeks leaves out half a week's demand, which is added to compare.
    """
    example = EXAMPLES["all_units_3_5"]
    weekly, weeks, scale = example["lambda"] // 52, 32, 10_000
    unit = [round(price * scale) for price in example["unit"]]
    holding = round(example["i"] * unit[2] * 1000 / 52)
    bands = (Tier(1, 399, unit[0]), Tier(400, 799, unit[1]), Tier(800, 9999, unit[2]))
    choices = tuple(Choice(0, "works", week, week, 1, bands, example["K"] * scale, week) for week in range(weeks))
    asked = Task((Item("goods", tuple(weekly * (week + 1) for week in range(weeks)), holding),), choices, {})
    found = solve(asked)
    assert found.bought == (example["Q"], *[0] * (weeks - 1))
    cost = (objective(asked, found.bought) + holding * weekly * weeks / 2) / (1000 * scale)
    assert cost == pytest.approx(example["cost"] * weeks / 52, abs=0.001)
