"""A loss per pass: a published slope, and a range that covers the truth as often as it says."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes  # type: ignore[import-untyped]

from stock.wear.slope import slope_of

# Sen, Journal of the American Statistical Association 63 (1968): the example, as scipy's own tests quote it.
SEN_X = (1, 2, 3, 4, 10, 12, 18)
SEN_Y = (9, 15, 19, 20, 45, 55, 78)


def test_sens_example() -> None:
    slope = slope_of(SEN_X, SEN_Y, cover=0.93)
    assert slope.value == 4
    # the published ranks, 4 and 18, are the first that cover at least 93 of 100: 26/7 and 35/8
    assert 26 / 7 - 1e-9 <= slope.low <= slope.value <= slope.high <= 35 / 8 + 1e-9


@pytest.mark.parametrize("readings", [5, 6, 8, 12])
def test_the_range_covers_the_truth_four_times_of_five(readings: int) -> None:
    random = Random(readings)
    hits, times = 0, 600
    for _ in range(times):
        passes = [0.0]
        while len(passes) < readings:
            passes.append(passes[-1] + random.randint(5, 25))
        slope = slope_of(passes, [0.02 * p + random.gauss(0, 0.2) for p in passes])
        hits += slope.low <= 0.02 <= slope.high
    # three standard deviations of a share of 0.8 in 600 are 0.05
    assert 0.75 <= hits / times <= 0.86


@given(
    st.lists(st.integers(0, 500), min_size=5, max_size=12, unique=True),
    st.lists(st.floats(-5, 5), min_size=12, max_size=12),
)
def test_it_lies_within_a_librarys_range_which_rounds_outwards(x: list[int], y: list[float]) -> None:
    levels = y[: len(x)]
    slope = slope_of(x, levels)
    wide = theilslopes(levels, x, alpha=0.95)
    assert wide.low_slope - 1e-9 <= slope.low <= slope.high <= wide.high_slope + 1e-9
    assert slope.value == theilslopes(levels, x).slope


def test_readings_at_the_same_passes_are_borne() -> None:
    slope = slope_of([0, 0, 10, 10, 20, 30], [0.0, 0.1, 1.0, 1.1, 2.0, 3.0])
    assert slope.value == pytest.approx(0.1, abs=0.01)
    assert slope.told
