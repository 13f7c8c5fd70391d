"""Survival against an independent library, a textbook example, and by hand where reels were bought used."""

from __future__ import annotations

from math import exp
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import CensoredData, ecdf  # type: ignore[import-untyped]

from stock.wear.survival import Lived, early_batches, median, survival

# Remission times in weeks of the 6-MP arm of a leukaemia trial, a standard textbook example; values from memory.
SIX_MP = ((6, 1), (6, 1), (6, 1), (6, 0), (7, 1), (9, 0), (10, 1), (10, 0), (11, 0), (13, 1), (16, 1), (17, 0), (19, 0),
          (20, 0), (22, 1), (23, 1), (25, 0), (32, 0), (32, 0), (34, 0), (35, 0))  # fmt: skip
SIX_MP_LEFT = {6: 0.8571, 7: 0.8067, 10: 0.7529, 13: 0.6902, 16: 0.6275, 22: 0.5378, 23: 0.4482}


def _lived(ends: list[tuple[int, int]] | tuple[tuple[int, int], ...], batch: str = "") -> list[Lived]:
    return [Lived(f"{batch}{n}", 0, until, bool(gone), batch) for n, (until, gone) in enumerate(ends)]


def test_the_textbook_example() -> None:
    steps = survival(_lived(SIX_MP))
    assert {step.passes: step.share for step in steps} == pytest.approx(SIX_MP_LEFT, abs=5e-5)
    assert median(steps) == 23


@pytest.mark.filterwarnings("ignore:The confidence interval is undefined")
@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(1, 40), st.sampled_from([0, 1])), min_size=2, max_size=30))
def test_it_is_a_librarys_estimate_and_band_where_nothing_is_truncated(ends: list[tuple[int, int]]) -> None:
    steps = survival(_lived(ends))
    gone = [until for until, retired in ends if retired]
    if not gone:
        assert steps == []
        return
    theirs = ecdf(CensoredData(gone, right=[until for until, retired in ends if not retired])).sf
    band = theirs.confidence_interval(0.95, method="log-log")
    for step in steps:
        assert step.share == pytest.approx(float(theirs.evaluate(step.passes)), abs=1e-12)
        if 0 < step.share < 1:
            assert step.low == pytest.approx(float(band.low.evaluate(step.passes)), abs=1e-9)
            assert step.high == pytest.approx(float(band.high.evaluate(step.passes)), abs=1e-9)


def test_a_reel_bought_used_counts_only_from_the_passes_it_came_with() -> None:
    lived = [
        Lived("A", 0, 10, True),
        Lived("B", 0, 30, True),
        Lived("C", 20, 40, False),  # nobody would have seen it, had it failed before 20
    ]
    steps = survival(lived)
    # by hand: at 10 two are at risk, at 30 two (B and C)
    assert [(s.passes, s.at_risk, s.share) for s in steps] == [(10, 2, 0.5), (30, 2, 0.25)]
    naive = survival([lived[0], lived[1], Lived("C", 0, 40, False)])
    assert naive[0].share == pytest.approx(2 / 3)
    assert naive[0].share > steps[0].share


def test_nobody_left_leaves_the_band_open_upwards() -> None:
    (first, last) = survival(_lived(((5, 1), (9, 1))))
    assert last.share == last.low == 0
    assert last.high == first.high > 0


def test_one_batch_that_fails_early_is_told() -> None:
    bad = _lived(tuple((20 + n, 1) for n in range(6)), "bad")
    good = _lived(tuple((150 + 10 * n, n % 2) for n in range(10)), "good")
    (early,) = early_batches([*bad, *good])
    assert (early.batch, early.reels, early.retired) == ("bad", 6, 6)
    assert early.chance < 0.01


def test_batches_alike_are_not_warned_of_nor_one_retired_reel() -> None:
    ends = tuple((40 + 12 * n, n % 2) for n in range(10))
    assert early_batches([*_lived(ends, "a"), *_lived(ends, "b")]) == []
    assert early_batches([*_lived(((3, 1), (90, 0)), "a"), *_lived(ends, "b")]) == []
    assert early_batches(_lived(((3, 1), (5, 1)), "only")) == []


def test_truncated_reels_are_counted_so_that_life_is_neither_short_nor_long() -> None:
    random = Random(31)
    true_share = exp(-100 / 150)  # lives of 150 passes on the average: this share outlasts 100
    known: list[Lived] = []
    for number in range(1500):
        life, came = random.expovariate(1 / 150), random.choice([0.0, random.uniform(20, 120)])
        if life > came:  # a reel retired before it could be bought is never seen
            seen = came + random.uniform(50, 400)
            known.append(Lived(str(number), came, min(life, seen), life <= seen))
    at_100 = [step for step in survival(known) if step.passes <= 100][-1]
    assert at_100.share == pytest.approx(true_share, abs=0.04)
    assert at_100.low < true_share < at_100.high
    as_if_new = [each._replace(came=0.0) for each in known]
    assert [step for step in survival(as_if_new) if step.passes <= 100][-1].share > true_share + 0.06


def test_batches_alike_are_seldom_warned_of() -> None:
    random = Random(32)
    warned = 0
    for _ in range(150):
        lived = [
            Lived(f"{batch}{n}", 0, min(life := random.expovariate(1 / 100), 150), life <= 150, batch)
            for batch in ("a", "b", "c")
            for n in range(8)
        ]
        warned += bool(early_batches(lived))
    # a chance of 5 in 100 for all batches together, and three standard deviations of 150 tries
    assert warned <= 150 * 0.05 + 3 * (150 * 0.05 * 0.95) ** 0.5
