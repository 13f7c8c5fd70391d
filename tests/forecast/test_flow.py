"""Reels in a forecast: none is lost or made of nothing, and each goes where the way of working sends it."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import pytest

from stock.core.measure import IPS, MINUTE
from stock.core.rules import RuleFact, Rules
from stock.planning.forecast.ahead import Ahead, Arrival, Pool, Question, Shelf, weeks_from
from stock.planning.forecast.answer import Forecast
from stock.planning.forecast.flow import MOST_WEARS, NEW, Flow, Limits, Wear, Week
from stock.planning.forecast.simulate import forecast
from tests.forecast.studios import LENGTH, RULES, TODAY, drawn_studio, question_of

SURE: dict[str, Any] = {
    "project": "inn",
    "first": TODAY,
    "last": TODAY + 6,
    "chance": 1000,
    "stock_item": "grey 2",
    "speed": 15 * IPS,
    "titles": 1,
    "lengths": (27 * MINUTE,) * 3,
    "takes": (4, 4, 4),
    "false_starts": 0,
    "mode": "keep-all",
    "cool_days": 7,
    "days_back": 14,
    "wear": 10_000,
    "grade": "standard",
}
"""Four takes, each of which fills a reel, in the first week."""


def project(**cells: Any) -> Ahead:
    return Ahead(**{**SURE, **cells})


def answer(
    *projects: Ahead,
    pools: tuple[Pool, ...] = (),
    on_order: tuple[Arrival, ...] = (),
    rules: Rules | None = None,
    **more: Any,
) -> Forecast:
    """The forecast of projects that need nothing of chance but the common factor, which is taken away."""
    asked = {"today": TODAY, "weeks": weeks_from(TODAY, 8, 1), "trials": 200, "seed": 1, **more}
    return forecast(Question(projects, (Shelf("grey 2", LENGTH, pools, on_order),), **asked), rules or steady(), 900)


def steady(**limits: int) -> Rules:
    """The house's rules without the common factor."""

    return Rules(
        [RuleFact(at, name, value, 0) for at, (name, value) in enumerate({"common_factor": 0, **limits}.items())]
    )


@pytest.mark.parametrize("seed", range(6))
def test_every_reel_is_somewhere_in_every_trial_and_week(seed: int) -> None:
    studio = drawn_studio(random.Random(seed), projects=10)
    weeks = 0

    def watch(item: str, flow: Flow, week: Week) -> None:
        nonlocal weeks
        weeks += 1
        there = week.shelf + week.out + week.waiting + week.retired
        assert (there == week.bought + flow.started).all()
        for reels in (week.shelf, week.out, week.waiting, week.retired, week.bought):
            assert (reels >= 0).all()
        assert (sum(week.by_project.values()) == week.opened).all()

    question = question_of(studio, 400, seed)
    back = Pool(3, 4000, 1, 0, TODAY + 17)
    (shelf,) = question.shelves
    forecast(question._replace(shelves=(shelf._replace(pools=(*shelf.pools, back)),)), RULES, 900, watch)
    assert weeks == 26


def test_with_nothing_on_the_shelf_every_reel_is_bought() -> None:
    (need,) = answer(project()).needs
    assert need.p10 == need.p50 == need.p90 == need.service == (4,) * 8
    assert need.short == (1.0,) * 8
    assert need.by_project == {"inn": (4,) * 8}


def test_what_is_on_the_shelf_is_used_first() -> None:
    found = answer(project(), pools=(Pool(3, 0, 0, 0),))
    assert found.needs[0].p50 == (1,) * 8
    assert found.flows[0].shelf.p50[0] == 0


def test_reels_on_order_cover_the_need_only_once_they_are_there() -> None:
    arrivals = (Arrival(TODAY + 8, 4),)
    (need,) = answer(project(first=TODAY + 7, last=TODAY + 13), on_order=arrivals).needs
    assert need.p90 == (0, *(4,) * 7)
    assert need.short == (0.0, 1.0, *(0.0,) * 6)


def test_reels_kept_wait_for_proof_and_come_back() -> None:
    flow = answer(project(days_back=15)).flows[0]
    # recorded in the first week, back 15 days after its end, and for the last 7 of those only waiting
    assert flow.out.p50 == (4, 4, *(0,) * 6)
    assert flow.waiting.p50 == (0, 0, 4, *(0,) * 5)
    assert flow.shelf.p50 == (0, 0, 0, *(4,) * 5)
    assert flow.back.p50[-1] == 4


def test_a_transfer_that_cools_longer_than_the_reels_are_away_keeps_them() -> None:
    flow = answer(project(days_back=0, cool_days=21)).flows[0]
    assert flow.waiting.p50 == (0, 4, 4, *(0,) * 5)
    assert flow.shelf.p50 == (0, 0, 0, *(4,) * 5)


def test_reels_nobody_said_are_coming_back_do_not() -> None:
    flow = answer(project(days_back=None)).flows[0]
    assert flow.shelf.p50 == (0,) * 8
    assert flow.waiting.p50[-1] == 4


def test_recorded_through_reels_serve_again_the_day_after() -> None:
    day_by_day = {"titles": 4, "takes": (1, 1, 1), "last": TODAY + 3}
    kept = answer(project(**day_by_day)).needs[0]
    through = answer(project(**day_by_day, mode="through", cool_days=0, days_back=0), rules=steady(leftover_reels=0))
    assert kept.p50[0] == 4
    assert through.needs[0].p50[0] == 2  # one in use while the one before is proved


def test_keeping_masters_frees_the_other_reels_the_day_after() -> None:
    twice = {"titles": 2, "takes": (3, 3, 3), "last": TODAY + 13}
    kept = answer(project(**twice)).needs[0]
    masters = answer(project(**twice, mode="keep-masters"), rules=steady(leftover_reels=0)).needs[0]
    assert kept.p50[-1] == 6
    # each title fills three reels and keeps the last: the first two serve the second title again
    assert masters.p50[-1] == 4


def test_reels_worn_past_every_grade_are_retired() -> None:
    worn = Pool(4, 395_000, 0, 2)
    found = answer(project(grade="scratch"), pools=(worn,))
    assert found.needs[0].p50[-1] == 0
    assert found.flows[0].worn_out.p50 == (0, 0, *(4,) * 6)
    fresh = answer(project(grade="scratch", wear=4000), pools=(worn,))
    assert fresh.flows[0].worn_out.p50[-1] == 0


def test_reels_wiped_past_every_grade_are_retired() -> None:
    found = answer(project(grade="scratch"), pools=(Pool(4, 0, 10, 0),))
    assert found.flows[0].worn_out.p50[-1] == 4


def test_a_grade_draws_only_what_is_fit_for_it() -> None:
    pools = (Pool(2, 31_000, 0, 0), Pool(1, 0, 2, 0), Pool(1, 0, 0, 1))
    assert answer(project(grade="critical"), pools=pools).needs[0].p50[0] == 4
    assert answer(project(grade="standard"), pools=pools).needs[0].p50[0] == 0


def test_good_tape_is_saved_and_critical_takes_get_the_best() -> None:
    pools = (Pool(4, 0, 0, 0), Pool(4, 20_000, 0, 0))
    other = project(project="late", first=TODAY + 7, last=TODAY + 13, grade="critical", wear=0)
    worn_first = answer(project(), other, pools=pools)
    assert worn_first.needs[0].p50[-1] == 0
    # had the standard takes been given the fresh reels, worn by 10 and wiped once, critical ones would still do;
    # with a limit of 5 passes only the fresh ones do
    strict = steady(passes_critical=5)
    assert answer(project(), other, pools=pools, rules=strict).needs[0].p50[-1] == 0
    assert answer(project(grade="critical"), other, pools=pools, rules=strict).needs[0].p50[-1] == 4


def test_a_project_that_is_not_sure_happens_as_often_as_it_should() -> None:
    (need,) = answer(project(chance=300), trials=4000).needs
    assert need.short[0] == pytest.approx(0.3, abs=4 * (0.3 * 0.7 / 4000) ** 0.5)
    assert need.p50[0] == 0
    assert need.p90[0] == 4
    assert need.by_project["inn"][0] == 4


def test_only_what_is_left_of_a_project_is_recorded() -> None:
    begun = project(first=TODAY - 7, last=TODAY + 6, titles=2, takes=(1, 1, 1))
    assert answer(begun).needs[0].p50[-1] == 1


def test_a_title_before_today_in_this_very_week_is_past() -> None:
    begun = project(titles=7, takes=(1, 1, 1))
    assert answer(begun, today=TODAY + 3).needs[0].p50[-1] == 4


def test_the_same_seed_gives_the_same_numbers_and_another_gives_others() -> None:
    question = question_of(drawn_studio(random.Random(3)), 500, 7)
    assert forecast(question, RULES, 900) == forecast(question, RULES, 900)
    assert forecast(question, RULES, 900) != forecast(question._replace(seed=8), RULES, 900)


def test_dropping_a_project_changes_nothing_in_what_the_others_draw() -> None:
    plans, _ = drawn_studio(random.Random(4))
    question = question_of((plans, []), 500, 7)
    whole = forecast(question, RULES, 900).needs[0].by_project
    less = forecast(question._replace(projects=question.projects[1:]), RULES, 900).needs[0].by_project
    assert less == {name: reels for name, reels in whole.items() if name != question.projects[0].project}


def test_the_service_level_is_a_quantile_of_its_own() -> None:
    question = question_of(drawn_studio(random.Random(5)), 2000, 7)
    (low,), (high,) = (forecast(question, RULES, service).needs for service in (500, 990))
    assert low.service == low.p50
    assert all(a >= b for a, b in zip(high.service, high.p90, strict=True))
    assert high.service[-1] > high.p90[-1]


def test_more_trials_make_the_quantile_surer() -> None:
    studio = drawn_studio(random.Random(6), projects=24)
    few, many = (forecast(question_of(studio, trials, 1), RULES, 900).needs[0] for trials in (200, 5000))
    assert many.standard_error[-1] < few.standard_error[-1]


def test_the_standard_error_is_that_of_repeated_forecasts() -> None:
    studio = drawn_studio(random.Random(7), projects=10)
    again = [forecast(question_of(studio, 200, seed, weeks=10), RULES, 900).needs[0] for seed in range(40)]
    spread = float(np.std([need.p90[9] for need in again], ddof=1))
    said = float(np.mean([need.standard_error[9] for need in again]))
    assert spread / 1.6 < said < spread * 1.6


def test_minutes_alone_understate_what_long_takes_need() -> None:
    long = project(titles=6, lengths=(16 * MINUTE,) * 3, takes=(2, 2, 2))
    found = answer(long)
    # 192 minutes on reels of 33:20 make six; one whole take fits a reel
    assert found.needs[0].minutes_only[-1] == found.flows[0].by_minutes[-1] == 6
    assert found.needs[0].p50[-1] == 12


def test_a_take_longer_than_a_reel_is_told_with_its_chance() -> None:
    found = answer(project(lengths=(40 * MINUTE,) * 3), project(project="short", lengths=(MINUTE,) * 3))
    assert found.too_long == {"inn": 1.0}


def test_nothing_ahead_needs_nothing() -> None:
    (need,) = answer(pools=(Pool(2, 0, 0, 0),)).needs
    assert need.p90 == (0,) * 8
    assert need.short == (0.0,) * 8
    assert need.by_project == {}


def test_one_week_is_a_forecast_too() -> None:
    (need,) = answer(project(), weeks=weeks_from(TODAY, 1, 1)).needs
    assert need.p50 == (4,)


def test_limits_are_the_house_rules_own() -> None:
    limits = Limits(Rules())
    assert limits.best(NEW) == 0
    assert limits.best(Wear(0, 30_000, 1)) == 0
    assert limits.best(Wear(0, 30_001, 1)) == 1
    assert limits.best(Wear(0, 0, 5)) == 2
    assert limits.best(Wear(2, 0, 0)) == 2
    assert limits.best(Wear(0, 400_001, 0)) == 3


def test_more_wears_than_are_told_apart_count_as_worse_ones() -> None:
    pools = tuple(Pool(1, 100 * at, 0, 0) for at in reversed(range(MOST_WEARS + 30)))
    flow = Flow(5, pools, Rules())
    assert flow.shelf.total().tolist() == [len(pools)] * 5
    held = sorted(flow.shelf.by_wear)
    assert max(wear.passes for wear in held) == 100 * (len(pools) - 1)
    assert len(held) == MOST_WEARS
