"""Lengths, speeds and times are exact, and agree with the figures of the trade."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.measure import FOOT, HOUR, INCH, IPS, METRE, MINUTE, SECOND, Speed, length_of, time_of

INCHES_PER_SECOND = {30: 30 * IPS, 15: 15 * IPS, 7.5: 15 * IPS // 2, 3.75: 15 * IPS // 4}

# Computed from exact definitions (1 in = 25.4 mm): seconds = feet x 12 / (in/s). Minutes and seconds at each speed.
PLAYING_TIMES = [
    (600, "182.88", "4:00", "8:00", "16:00", "32:00"),
    (1200, "365.76", "8:00", "16:00", "32:00", "64:00"),
    (1250, "381.00", "8:20", "16:40", "33:20", "66:40"),
    (1800, "548.64", "12:00", "24:00", "48:00", "96:00"),
    (2400, "731.52", "16:00", "32:00", "64:00", "128:00"),
    (2500, "762.00", "16:40", "33:20", "66:40", "133:20"),
    (3600, "1097.28", "24:00", "48:00", "96:00", "192:00"),
    (5000, "1524.00", "33:20", "66:40", "133:20", "266:40"),
]


def microseconds(clock: str) -> int:
    minutes, seconds = clock.split(":")
    return int(minutes) * MINUTE + int(seconds) * SECOND


@pytest.mark.parametrize(("feet", "metres", "at_30", "at_15", "at_7_5", "at_3_75"), PLAYING_TIMES)
def test_playing_times(feet: int, metres: str, at_30: str, at_15: str, at_7_5: str, at_3_75: str) -> None:
    length = feet * FOOT
    assert length == Fraction(metres) * METRE
    for speed, clock in zip(INCHES_PER_SECOND.values(), (at_30, at_15, at_7_5, at_3_75), strict=True):
        assert time_of(length, speed) == microseconds(clock)
        assert length_of(microseconds(clock), speed) == length


def test_units_are_whole_tenths_of_a_millimetre() -> None:
    # by definition 1 in = 25.4 mm, 1 ft = 12 in
    assert (INCH, FOOT, METRE) == (254, 3048, 10_000)
    assert FOOT == 12 * INCH
    assert HOUR == 60 * MINUTE == 3600 * SECOND


def test_speeds_in_inches_are_speeds_in_centimetres() -> None:
    # computed: 30 / 15 / 7.5 / 3.75 in/s = 76.2 / 38.1 / 19.05 / 9.525 cm/s
    assert list(INCHES_PER_SECOND.values()) == [762_000, 381_000, 190_500, 95_250]


def test_a_reel_of_2500_ft_is_nearly_half_a_mile() -> None:
    # common practice; 1 mile is 5280 ft
    half_a_mile = 5280 * FOOT // 2
    assert 0.94 < 2500 * FOOT / half_a_mile < 1
    assert 16 * MINUTE < time_of(2500 * FOOT, 30 * IPS) < 17 * MINUTE
    assert 30 * MINUTE < time_of(2500 * FOOT, 15 * IPS) < 34 * MINUTE


def test_a_piece_of_nine_minutes_fits_three_times_at_15_and_once_at_30() -> None:
    # common practice: three times with some minutes to spare
    piece = 9 * MINUTE
    times, spare = divmod(time_of(2500 * FOOT, 15 * IPS), piece)
    assert times == 3
    assert 5 * MINUTE < spare < 7 * MINUTE
    assert time_of(2500 * FOOT, 30 * IPS) // piece == 1


def test_alignment_tones_take_a_small_share_of_a_reel() -> None:
    # IASA: at least 30 s each of 1 kHz, 10 kHz and 100 Hz; computed: 112.5 ft at 15, 225 ft at 30 in/s
    tones = 3 * 30 * SECOND
    assert length_of(tones, 15 * IPS) == Fraction("112.5") * FOOT
    assert length_of(tones, 30 * IPS) == 225 * FOOT
    assert Fraction(length_of(tones, 15 * IPS), 2500 * FOOT) == Fraction("0.045")


@pytest.mark.parametrize(
    ("nominal", "vary", "actual"),
    [
        (15 * IPS, 0, 381_000),
        (15 * IPS, 300, 392_430),
        (15 * IPS, -300, 369_570),
        (15 * IPS, 1, 381_038),  # 381 038.1
        (7_500, 1, 7_501),  # 7500.75
        (5_000, 1, 5_001),  # 5000.5: halves go up
        (5_000, -1, 5_000),  # 4999.5
        (381_000, -10_000, 0),
    ],
)
def test_varied_speed_is_rounded_to_the_nearest(nominal: int, vary: int, actual: int) -> None:
    assert Speed(nominal, vary).actual == actual


@pytest.mark.parametrize(
    ("time_us", "speed", "length"),
    [(100, 1_000_000, 1), (49, 1_000_000, 0), (50, 1_000_000, 1), (-49, 1_000_000, 0), (-50, 1_000_000, -1)],
)
def test_half_a_tenth_of_a_millimetre_goes_away_from_zero(time_us: int, speed: int, length: int) -> None:
    assert length_of(time_us, speed) == length


SPEEDS = st.sampled_from([*INCHES_PER_SECOND.values(), 190_000, 392_430, 762_001])


@given(st.integers(-(10**10), 10**10), SPEEDS)
def test_a_length_and_its_time_are_one_rounding_apart(length: int, speed: int) -> None:
    time_us = time_of(length, speed)
    assert abs(Fraction(length * 100 * SECOND, speed) - time_us) <= Fraction(1, 2)
    # a microsecond is less than a tenth of a millimetre at any speed of tape, so nothing is lost on the way back
    assert length_of(time_us, speed) == length
    assert time_of(-length, speed) == -time_us


@given(st.lists(st.integers(0, 10**9), min_size=1, max_size=20))
def test_lengths_add_up_with_no_rounding(inches: list[int]) -> None:
    assert sum(INCH * part for part in inches) == INCH * sum(inches)
    whole = sum(INCH * part for part in inches)
    assert Fraction(whole, METRE) == sum((Fraction(part) * Fraction("0.0254") for part in inches), Fraction(0))
