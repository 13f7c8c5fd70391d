"""The wound roll against figures computed from L = pi (D^2 - d^2) / (4 t); the core sizes in them are from memory."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.measure import FOOT, IPS, MINUTE, SECOND
from stock.core.roll import (
    UNSTATED_THICKNESS_NM,
    Range,
    brim_full,
    diameter_of,
    length_by_counter,
    length_by_mass,
    length_of_roll,
    outer_at_depth,
    turns_of,
)

INCH_UM = 25_400

# reel and core in inches, feet, thickness in micrometres; wound diameter and flange left in mm, turns, brim-full feet
ROLLS = [
    (5, 1.75, 600, 50, 116.7, 5.2, 722, 729),
    (7, 2.25, 1200, 50, 162.9, 7.4, 1058, 1461),
    (7, 2.25, 1800, 35, 166.5, 5.7, 1562, 2087),
    (10.5, 4.5, 2500, 50, 248.1, 9.3, 1338, 2992),
    (10.5, 4.5, 2500, 54.1, 256.0, 5.3, 1310, 2766),
    (10.5, 4.5, 3600, 35, 248.9, 8.9, 1923, 4275),
    (14, 4.5, 5000, 50, 331.8, 11.9, 2175, 5843),
    (14, 4.5, 5000, 54.1, 343.6, 6.0, 2119, 5401),
]


def _exact(value: int) -> Range:
    return Range(value, value)


@pytest.mark.parametrize(("reel", "core", "ft", "um", "wound", "left", "turns", "full"), ROLLS)
def test_the_table(
    reel: float, core: float, ft: int, um: float, wound: float, left: float, turns: int, full: int
) -> None:
    flange_um, core_um, nm = round(reel * INCH_UM), round(core * INCH_UM), round(um * 1000)
    outer = diameter_of([(ft * FOOT, nm)], core_um)
    assert outer / 1000 == pytest.approx(wound, abs=0.05)
    assert (flange_um - outer) / 2000 == pytest.approx(left, abs=0.05)
    assert turns_of(outer, core_um, nm) == pytest.approx(turns, abs=1)
    assert brim_full(flange_um, core_um, nm) / FOOT == pytest.approx(full, abs=0.5)
    back = length_of_roll(_exact(outer), _exact(core_um), _exact(nm))
    assert back.low / FOOT == pytest.approx(ft, abs=0.1)


def test_a_thickness_not_known_gives_a_range_that_covers_both() -> None:
    outer, core = _exact(round(250.0 * 1000)), _exact(round(4.5 * INCH_UM))
    thin, thick = (length_of_roll(outer, core, _exact(nm)).low for nm in UNSTATED_THICKNESS_NM)
    # computed: 54.1 / 50 moves a length from a diameter by 8.2 %
    assert thin / thick == pytest.approx(1.082, abs=5e-4)
    assert length_of_roll(outer, core, UNSTATED_THICKNESS_NM) == (thick, thin)


@given(
    st.integers(60_000, 370_000),
    st.integers(0, 2000),
    st.integers(30_000, 59_000),
    st.integers(0, 1000),
    st.integers(18_000, 60_000),
    st.integers(0, 4000),
    st.lists(st.floats(0, 1), min_size=3, max_size=3),
)
def test_the_range_holds_every_roll_within_its_measures(
    outer: int, wide: int, core: int, off: int, nm: int, more: int, parts: list[float]
) -> None:
    ranges = Range(outer, outer + wide), Range(core, core + off), Range(nm, nm + more)
    one = [_exact(round(each.low + part * (each.high - each.low))) for each, part in zip(ranges, parts, strict=True)]
    found = length_of_roll(*ranges)
    assert found.low <= length_of_roll(*one).low <= found.high


def test_depth_on_the_flange_is_the_same_roll() -> None:
    assert outer_at_depth(266_700, 9_300) == 248_100
    assert outer_at_depth(10_000, 9_300) == 0


def test_a_roll_no_larger_than_its_core_holds_nothing() -> None:
    assert length_of_roll(_exact(100_000), _exact(114_300), _exact(50_000)) == (0, 0)


@pytest.mark.parametrize(
    ("ft", "ips", "minutes", "seconds"), [(2500, 15, 33, 20), (2500, 30, 16, 40), (1800, 15, 24, 0)]
)
def test_counter_readings(ft: int, ips: int, minutes: int, seconds: int) -> None:
    # computed: seconds = feet x 12 / (in/s)
    found = length_by_counter(0, minutes * MINUTE + seconds * SECOND, ips * IPS)
    assert found.low <= ft * FOOT <= found.high
    assert found.high - found.low == pytest.approx(0.004 * ft * FOOT, rel=0.01)


@pytest.mark.parametrize(("width_in", "grams_a_metre"), [(0.25, 0.582), (0.5, 1.173), (1, 2.356), (2, 4.722)])
def test_mass_is_a_rough_check(width_in: float, grams_a_metre: float) -> None:
    # computed from 93 g/m2, which is from memory, and slit widths a little under the nominal ones
    found = length_by_mass(_exact(round(762_000 * grams_a_metre)), round(width_in * INCH_UM))
    assert found.low <= 762 * 10_000 <= found.high
    assert found.high / found.low > 1.2


def test_pieces_of_unlike_tape_add_up_by_their_area() -> None:
    whole = diameter_of([(2000 * FOOT, 50_000)], 114_300)
    assert diameter_of([(1000 * FOOT, 50_000), (500 * FOOT, 100_000)], 114_300) == whole
