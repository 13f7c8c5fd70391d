"""The forecast against the event loop: what is said to happen so often happens so often.

The bench does the same with 2 000 studios (`tests.bench.bench_forecast`).
"""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy import stats

from tests.forecast.event_loop import Studio
from tests.forecast.studios import COMMON, LEFTOVERS, drawn_studio, lived, question_of, told

STUDIOS = 80


def test_stated_quantiles_hold_in_studios_that_live_once() -> None:
    within = {"p50": 0, "p90": 0}
    for seed in range(STUDIOS):
        dice = random.Random(1000 + seed)
        studio = drawn_studio(dice, projects=8)
        (need,) = told(question_of(studio, 300, seed, weeks=13))[0].needs
        (bought,) = lived(studio, dice, (13,))
        within["p50"] += bought <= need.p50[12]
        within["p90"] += bought <= need.p90[12]
    # three binomial standard deviations of so many studios either side
    for name, share in (("p50", 0.5), ("p90", 0.9)):
        assert within[name] / STUDIOS == pytest.approx(share, abs=3 * (share * (1 - share) / STUDIOS) ** 0.5)


@pytest.mark.parametrize("mode", ["keep-all", "keep-masters", "through"])
def test_one_studio_living_often_buys_as_the_trials_do(mode: str) -> None:
    dice = random.Random(mode)
    studio = drawn_studio(dice, projects=12, modes=(mode,))
    _, trials = told(question_of(studio, 4000, 5))
    lives = np.array([lived(studio, random.Random(seed), (4, 13, 26)) for seed in range(250)])
    for at, week in enumerate((4, 13, 26)):
        assert stats.ks_2samp(lives[:, at], trials[week - 1]).pvalue > 0.002


def test_the_comparison_would_notice_a_wrong_rule() -> None:
    """A studio in which nothing ever comes back buys more than the trials do, and the test above can tell."""
    dice = random.Random("wrong")
    studio = drawn_studio(dice, projects=12, modes=("through",))
    plans, shelf = studio
    _, trials = told(question_of(studio, 2000, 5))
    wrong = []
    for seed in range(60):
        other = Studio(plans, shelf, LEFTOVERS, COMMON, random.Random(seed))
        other.put_away = lambda reel, passes: None  # type: ignore[method-assign]
        wrong.append(other.run(7 * 26)[-1])
    assert stats.ks_2samp(wrong, trials[25]).pvalue < 1e-6
