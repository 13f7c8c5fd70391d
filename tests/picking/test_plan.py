"""Plans against every plan there is, against bounds that hold by construction, and against common practice."""

from __future__ import annotations

from random import Random

import pytest

from stock.core.measure import IPS, MINUTE, SECOND, Speed, length_of, time_of
from stock.core.picking.candidates import Candidate, Free
from stock.core.picking.request import Request, footprint, footprints, gap
from stock.core.rules import Rules
from stock.planning.plan import Plan, plan
from tests.picking import exhaustive

FT = 3048
RULES = Rules()
SPEED = Speed(15 * IPS)


def candidate(
    reel: str,
    *stretches: tuple[int, int],
    batch: str | None = "b",
    acquired: int | None = 1,
    wipe: bool = False,
    wear: tuple[tuple[int, int, int], ...] = (),
    splices: tuple[int, ...] = (),
) -> Candidate:
    frees = tuple(
        Free(lo, hi, max((w for a, b, w in wear if a < hi and lo < b), default=0), None) for lo, hi in stretches
    )
    return Candidate(reel, "F", (batch,), acquired, "any" if wipe else None, None, frees, wear, splices, splices, 0)


def worn(found: Plan) -> int:
    return sum(placement.wear for placement in found.placements)


def checked(found: Plan, reels: list[Candidate], request: Request) -> Plan:
    """A plan as it must be: every take once, in a free stretch, a gap apart, none over another."""
    prints = footprints(request, RULES)
    between = gap(request, RULES)
    assert [placement.take for placement in found.placements] == list(range(len(request.takes)))
    by_reel = {each.reel: each for each in reels}
    for placement in found.placements:
        assert placement.hi - placement.lo == prints[placement.take].length
        assert any(free.lo <= placement.lo and placement.hi <= free.hi for free in by_reel[placement.reel].stretches)
    for reel in found.reels:
        mine = sorted((p.lo, p.hi) for p in found.placements if p.reel == reel)
        for (_, end), (start, _) in zip(mine, mine[1:], strict=False):
            same = any(free.lo <= start < free.hi and free.lo < end <= free.hi for free in by_reel[reel].stretches)
            assert start >= end + (between if same else 0)
    assert found.bound <= len(found.reels)
    assert found.proved_fewest == (found.bound == len(found.reels))
    return found


def test_a_fresh_reel_holds_three_nine_minute_takes_and_not_a_fourth() -> None:
    # common practice: a 2500 ft reel at 15 in/s; 15 s and 30 s are left unused at its ends, 105 s go to tones
    lo = length_of(15 * SECOND + 105 * SECOND, SPEED.actual)
    hi = 2500 * FT - length_of(30 * SECOND, SPEED.actual)
    assert time_of(hi - lo, SPEED.actual) // SECOND in (1849, 1850)
    reel = candidate("R", (lo, hi))
    nine = 9 * MINUTE
    three = plan([reel], Request((nine,) * 3, SPEED), RULES)
    assert three is not None
    checked(three, [reel], Request((nine,) * 3, SPEED))
    assert plan([reel], Request((nine,) * 4, SPEED), RULES) is None
    used = 3 * footprint(nine, SPEED.actual, RULES).length + 2 * length_of(5 * SECOND, SPEED.actual)
    assert time_of(used, SPEED.actual) == 1822 * SECOND


def test_at_thirty_it_holds_one() -> None:
    speed = Speed(30 * IPS)
    lo, hi = length_of(120 * SECOND, speed.actual), 2500 * FT - length_of(30 * SECOND, speed.actual)
    reel = candidate("R", (lo, hi))
    assert plan([reel], Request((9 * MINUTE,), speed), RULES) is not None
    assert plan([reel], Request((9 * MINUTE,) * 2, speed), RULES) is None


def test_a_take_never_straddles_two_stretches() -> None:
    need = footprint(9 * MINUTE, SPEED.actual, RULES).length
    short = candidate("R", (0, need - 1), (need, 2 * need - 1))
    assert plan([short], Request((9 * MINUTE,), SPEED), RULES) is None
    assert plan([candidate("R", (0, need))], Request((9 * MINUTE,), SPEED), RULES) is not None


def random_case(seed: int) -> tuple[list[Candidate], Request]:
    rng = Random(seed)
    minutes = [rng.choice((1, 2, 3, 4, 5)) for _ in range(rng.randint(1, 5))]
    request = Request(
        tuple(each * MINUTE for each in minutes),
        SPEED,
        grade=rng.choice(("critical", "standard")),
        any_order=rng.random() < 0.5,
    )
    needs = [print_.length for print_ in footprints(request, RULES)]
    reels = []
    for number in range(rng.randint(1, 4)):
        at, stretches, wear = rng.randrange(5000), [], []
        for _ in range(rng.randint(1, 3)):
            size = rng.choice(needs) * rng.choice((1, 1, 2)) + rng.choice(
                (0, 0, length_of(5 * SECOND, SPEED.actual), 9000)
            )
            stretches.append((at, at + size))
            wear.append((at, at + size, 10 * rng.randrange(4)))
            at += size + rng.randrange(1, 5000)
        reels.append(
            candidate(
                f"R{number}",
                *stretches,
                batch=rng.choice(("a", "b", None)),
                acquired=rng.choice((1, 2, 3, None)),
                wipe=rng.random() < 0.4,
                wear=tuple(wear),
            )
        )
    return reels, request


@pytest.mark.parametrize("chunk", range(6))
def test_small_cases_are_the_best_of_all_plans_in_the_whole_order(chunk: int) -> None:
    planned = 0
    for seed in range(chunk * 100, chunk * 100 + 100):
        reels, request = random_case(seed)
        asked = exhaustive.Asked(
            [print_.length for print_ in footprints(request, RULES)],
            gap(request, RULES),
            not request.any_order,
            RULES.number("splices_scratch"),
            request.grade == "critical",
        )
        shelves = [
            exhaustive.Shelf(
                each.reel,
                each.batches[0],
                each.wipe is not None,
                each.acquired,
                [(f.lo, f.hi, [w for w in each.wear if w[0] < f.hi and f.lo < w[1]], []) for f in each.stretches],
            )
            for each in reels
        ]
        wanted = exhaustive.best(shelves, asked)
        found = plan(reels, request, RULES)
        assert (found is None) == (wanted is None), seed
        if found is not None:
            planned += 1
            checked(found, reels, request)
            assert found.proved_fewest, seed
            laid = {placement.take: (placement.reel, placement.lo) for placement in found.placements}
            assert exhaustive.rank(shelves, asked, laid, worn(found)) == wanted, seed
    assert planned > 30


def triplets(count: int, seed: int) -> list[int]:
    """Items of which each bin of 1000 holds exactly three (the construction of Falkenauer, 1996)."""
    rng = Random(seed)
    items: list[int] = []
    for _ in range(count // 3):
        first = rng.randint(380, 490)
        second = rng.randint(250, 1000 - first - 250)
        items += [first, second, 1000 - first - second]
    rng.shuffle(items)
    return items


@pytest.mark.parametrize("seed", range(3))
def test_on_triplets_it_is_within_one_reel_and_its_bound_holds(seed: int) -> None:
    """Each item stands for a footprint of so many thousandths of a reel; the optimum is a third by construction."""
    items = triplets(60, seed)
    between = length_of(5 * SECOND, SPEED.actual)
    unit = length_of(SECOND, SPEED.actual)
    # a take whose footprint with the gap after it is `item` units long
    takes = tuple(_take_of(item * unit - between) for item in items)
    request = Request(takes, SPEED, any_order=True)
    slack = sum(
        abs(print_.length + between - item * unit)
        for print_, item in zip(footprints(request, RULES), items, strict=True)
    )
    reels = [candidate(f"R{number:02}", (0, 1000 * unit - between + slack)) for number in range(25)]
    found = plan(reels, request, RULES, limit_s=8)
    assert found is not None
    checked(found, reels, request)
    assert len(found.reels) <= 21
    assert found.bound <= 20


def _take_of(length: int) -> int:
    """A playing time whose footprint is about so long: 10 s before, and 30 s or a tenth after."""
    time_us = time_of(length, SPEED.actual)
    take = time_us - 40 * SECOND
    if take > 300 * SECOND:
        take = (time_us - 10 * SECOND) * 10 // 11
    return max(take, SECOND)


def test_the_same_facts_give_the_same_plan() -> None:
    reels, request = random_case(77)
    assert plan(reels, request, RULES) == plan(list(reversed(reels)), request, RULES)
