"""Studios drawn by chance, told both to the event loop and to the forecast, and what each makes of them."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from stock.core.rules import GRADES, Rules
from stock.planning.forecast.ahead import Ahead, Pool, Question, Shelf
from stock.planning.forecast.answer import Forecast
from stock.planning.forecast.flow import Flow, Week
from stock.planning.forecast.simulate import forecast
from tests.forecast.event_loop import Plan, Reel, Studio

TODAY = 18_267
"""A Monday, so that the first week is whole."""
LENGTH = 2500 * 3048
LEFTOVERS, COMMON = 2, 0.15
RULES = Rules()

Shape = tuple[list[Plan], list[Reel]]


def drawn_studio(
    dice: random.Random, projects: int = 14, modes: Sequence[str] = ("keep-all", "keep-masters", "through")
) -> Shape:
    """A busy studio: projects that begin within a few months, some of them in the first weeks, and a shelf of reels."""
    plans = []
    for number in range(projects):
        first = dice.choice((0, 0, 3, 10, 40, 80))
        low = dice.randint(100, 260)
        likely = low + dice.randint(10, 120)
        takes = dice.randint(1, 4)
        plans.append(
            Plan(
                name=f"project {number}",
                first=first,
                last=first + dice.randint(6, 50),
                chance=dice.choice((1.0, 0.9, 0.7)),
                ips=dice.choice((15.0, 30.0)),
                titles=dice.randint(6, 16),
                lengths=(low, likely, likely + dice.randint(10, 200)),
                takes=(takes, takes + dice.randint(1, 2), takes + dice.randint(3, 6)),
                false_starts=dice.choice((0.0, 0.2, 0.35)),
                mode=dice.choice(list(modes)),
                cool_days=dice.choice((0, 7, 14)),
                days_back=dice.choice((5, 20, 45)),
                passes=dice.choice((3, 8, 20)),
                grade=dice.choice(GRADES),
            )
        )
    shelf = [Reel(dice.choice((0, 0, 12, 40, 120, 390)), dice.choice((0, 1, 3))) for _ in range(dice.randint(0, 12))]
    return plans, shelf


def question_of(studio: Shape, trials: int, seed: int, weeks: int = 26) -> Question:
    """The same studio as a forecast is asked about it."""
    plans, shelf = studio
    projects = tuple(
        Ahead(
            plan.name,
            TODAY + plan.first,
            TODAY + plan.last,
            round(plan.chance * 1000),
            "grey 2",
            round(plan.ips * 25_400),
            plan.titles,
            tuple(round(seconds * 1_000_000) for seconds in plan.lengths),  # type: ignore[arg-type]
            plan.takes,
            round(plan.false_starts * 1000),
            plan.mode,  # type: ignore[arg-type]
            plan.cool_days,
            plan.days_back,
            plan.passes * 1000,
            plan.grade,  # type: ignore[arg-type]
        )
        for plan in plans
    )
    pools = tuple(Pool(1, reel.passes * 1000, reel.wipes, 0) for reel in shelf)
    starts = tuple(TODAY + 7 * week for week in range(weeks))
    return Question(projects, (Shelf("grey 2", LENGTH, pools),), TODAY, starts, trials, seed)


def told(question: Question, service: int = 900) -> tuple[Forecast, npt.NDArray[np.int32]]:
    """The forecast, and the reels bought by week and trial."""
    bought: list[npt.NDArray[np.int32]] = []

    def watch(item: str, flow: Flow, week: Week) -> None:
        bought.append(week.bought.copy())

    return forecast(question, RULES, service, watch), np.array(bought)


def lived(studio: Shape, dice: random.Random, weeks: Sequence[int]) -> list[int]:
    """What one life of the studio bought by the end of some weeks, counted from 1, by the event loop."""
    plans, shelf = studio
    bought = Studio(plans, shelf, LEFTOVERS, COMMON, dice).run(7 * max(weeks))
    return [bought[7 * week - 1] for week in weeks]
