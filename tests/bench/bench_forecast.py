"""How fast the forecast is, and whether its quantiles hold: by hand, `python -m tests.bench.bench_forecast`.

Calibration: studios drawn by chance live once each in the event loop of the tests, which shares no code with the
forecast; the share of them whose cumulative need lies within the stated quantile is printed. A need is a whole number,
so the share within a quantile lies a little above it: by half the chance of that very number, on average.
"""

from __future__ import annotations

import random
import sys
import time

from stock.core.measure import MINUTE
from stock.core.rules import GRADES
from stock.planning.forecast.ahead import MODES, Ahead, Pool, Question, Shelf, weeks_from
from stock.planning.forecast.simulate import forecast
from tests.forecast.studios import LENGTH, RULES, drawn_studio, lived, question_of, told

WEEKS = (4, 13, 26)
TODAY = 18_267


def busy_house(projects: int) -> Question:
    """Projects of ten titles on five stock items, with twenty reels of each on the shelf."""
    ahead = tuple(
        Ahead(
            f"project {at}",
            TODAY + at * 150 // projects,
            TODAY + at * 150 // projects + 30,
            800,
            f"item {at % 5}",
            381_000,
            10,
            (3 * MINUTE, 4 * MINUTE, 6 * MINUTE),
            (2, 4, 8),
            250,
            MODES[at % 3],
            14,
            30,
            8000,
            GRADES[at % 3],
        )
        for at in range(projects)
    )
    pools = tuple(Pool(1, wear * 5000, wear % 3, 0) for wear in range(20))
    shelves = tuple(Shelf(f"item {at}", LENGTH, pools) for at in range(5))
    return Question(ahead, shelves, TODAY, weeks_from(TODAY, 26, 1), 10_000, 1)


def speed() -> None:
    print(f"{'projects':>9} {'trials':>7} {'seconds':>8}")
    for projects in (5, 50, 500):
        question = busy_house(projects)
        began = time.perf_counter()
        forecast(question, RULES, 900)
        print(f"{projects:>9} {question.trials:>7} {time.perf_counter() - began:>8.2f}")


def calibration(studios: int, trials: int = 2000) -> None:
    within = {(week, share): 0 for week in WEEKS for share in ("p50", "p90")}
    needs = dict.fromkeys(WEEKS, 0)
    for seed in range(studios):
        dice = random.Random(seed)
        studio = drawn_studio(dice, projects=24)
        answer, _ = told(question_of(studio, trials, seed))
        (need,) = answer.needs
        for week, bought in zip(WEEKS, lived(studio, dice, WEEKS), strict=True):
            needs[week] += bought
            within[week, "p50"] += bought <= need.p50[week - 1]
            within[week, "p90"] += bought <= need.p90[week - 1]
    print(f"{studios} studios, {trials} trials each")
    print(f"{'weeks':>6} {'mean need':>10} {'within P50':>11} {'within P90':>11}")
    for week in WEEKS:
        shares = (within[week, name] / studios for name in ("p50", "p90"))
        print(f"{week:>6} {needs[week] / studios:>10.1f} " + " ".join(f"{share:>10.1%} " for share in shares))


if __name__ == "__main__":
    speed()
    calibration(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
