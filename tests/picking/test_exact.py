"""Small cases against every plan there is, in the whole order of preference."""

from __future__ import annotations

from random import Random

import pytest

from stock.planning.model import UNDATED, Option, Room, Task
from stock.planning.plan import Outcome, solve

from .exhaustive import Asked, Shelf, Stretch, best

CASES = 1600
PARTS = 8


def stretches(random: Random, spliced: bool) -> list[Stretch]:
    """One to three stretches head to tail, some touching."""
    found: list[Stretch] = []
    at = random.randint(0, 5)
    for _ in range(random.choice([1, 1, 1, 2, 2, 3])):
        lo = at
        hi = lo + random.choice([random.randint(4, 30), random.randint(10, 30), random.randint(20, 60)])
        at = hi + random.randint(0, 4)
        wear: list[tuple[int, int, int]] = []
        place = 0
        while place < hi:
            more = random.randint(3, 30)
            wear.append((place, place + more, random.choice([0, 0, 10, 20, 30])))
            place += more
        joints = {random.randint(lo, hi - 1) for _ in range(random.randint(0, 8))} if spliced else set()
        found.append((lo, hi, wear, sorted(joints)))
    return found


def case(random: Random) -> tuple[list[Shelf], Asked]:
    """Up to six takes and four reels, tight enough that many need several reels, and some more than there are."""
    while True:
        spliced = random.random() < 0.3
        needs = [
            random.choice([random.randint(3, 20), random.choice([5, 10])])
            for _ in range(random.choice([1, 2, 3, 3, 4, 4, 5, 6]))
        ]
        reels = [
            Shelf(
                f"R{random.randint(0, 99):02d}{number}",
                random.choice(["a", "a", "b", None]),
                random.random() < 0.4,
                random.choice([None, 1, 2, 3]),
                stretches(random, spliced),
            )
            for number in range(random.randint(1, 4))
        ]
        in_order = random.random() < 0.5
        splices = random.choice([1, 2]) if spliced else 4
        asked = Asked(needs, random.choice([0, 1, 3]), in_order, splices, random.random() < 0.5)
        # so that trying everything takes no more than some milliseconds
        if in_order or len(needs) <= 4 or sum(len(reel.stretches) for reel in reels) <= 6:
            return reels, asked


def solved(reels: list[Shelf], asked: Asked) -> Outcome | None:
    task = Task(tuple(asked.needs), asked.gap, asked.in_order, asked.splices, asked.critical)
    options = [
        Option(
            reel.number,
            "f",
            frozenset([reel.batch or f"\0{reel.number}"]),
            reel.wipe,
            UNDATED if reel.bought is None else reel.bought,
            tuple(
                Room(
                    lo,
                    hi,
                    tuple(part for part in wear if part[0] < hi and lo < part[1]),
                    tuple(joints) if len(joints) > asked.splices else (),
                )
                for lo, hi, wear, joints in reel.stretches
            ),
        )
        for reel in reels
    ]
    return solve(task, options, None, 0)


@pytest.mark.parametrize("part", range(PARTS))
def test_the_plan_is_the_best_of_all_plans(part: int) -> None:
    random = Random(part)
    several = none = 0
    for _ in range(CASES // PARTS):
        reels, asked = case(random)
        wanted = best(reels, asked)
        outcome = solved(reels, asked)
        if wanted is None:
            none += 1
            assert outcome is None, (reels, asked)
            continue
        assert outcome is not None and outcome.key is not None, (reels, asked)
        key = outcome.key
        days = [1 << 60 if day == UNDATED else day for day in key[4]]
        found = (*key[:4], days, list(key[5]), [(laid.reel, laid.start) for laid in key[6]])
        assert (found, outcome.bound, outcome.settled) == (wanted, wanted[0], True), (reels, asked)
        several += key[0] > 1
    # a comparison of single reels alone would prove little
    assert several >= 10 and none >= 10
