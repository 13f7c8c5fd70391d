"""Losses at the head against figures computed from their definitions (dB = 20 log10 of a ratio, inch = 25.4 mm)."""

from __future__ import annotations

from math import inf, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.losses import (
    SPACING_DB,
    azimuth_loss,
    azimuth_loss_at,
    gap_loss,
    spacing_loss,
    thickness_loss,
    wavelength,
)
from stock.core.measure import IPS


def test_a_spacing_of_one_wavelength_loses_54_575_db() -> None:
    # Wallace, Bell System Technical Journal, October 1951; computed: 20 * 2 pi * log10(e)
    assert pytest.approx(54.575, abs=5e-4) == SPACING_DB


@pytest.mark.parametrize(
    ("ips", "hertz", "loss"),
    [
        (30, 10_000, 0.716),
        (15, 10_000, 1.432),
        (7.5, 10_000, 2.865),
        (30, 15_000, 1.074),
        (15, 15_000, 2.149),
        (7.5, 15_000, 4.297),
    ],
)
def test_the_loss_of_one_micrometre_of_spacing(ips: float, hertz: int, loss: float) -> None:
    assert spacing_loss(1, wavelength(int(ips * IPS), hertz)) == pytest.approx(loss, abs=5e-4)


@pytest.mark.parametrize(("wave", "loss"), [(25.4, 12.86), (50.8, 7.78), (381, 1.23)])
def test_the_loss_of_a_coating_of_17_53_micrometres(wave: float, loss: float) -> None:
    assert thickness_loss(17.53, wave) == pytest.approx(loss, abs=5e-3)


def test_the_loss_of_a_gap() -> None:
    # the form with 1.11: Eargle, Handbook of Recording Engineering
    assert gap_loss(6.35, 25.4) == pytest.approx(1.13, abs=5e-3)


@pytest.mark.parametrize(("minutes", "loss"), [(1, 0.07), (3, 0.67), (5, 1.91)])
def test_the_loss_of_azimuth_over_6_25_mm(minutes: int, loss: float) -> None:
    assert azimuth_loss(6250, minutes, 25.4) == pytest.approx(loss, abs=5e-3)


def test_nothing_between_loses_nothing_and_a_null_loses_all() -> None:
    assert spacing_loss(0, 25.4) == thickness_loss(0, 25.4) == gap_loss(0, 25.4) == azimuth_loss(6250, 0, 25.4) == 0
    assert azimuth_loss_at(25.4, 25.4) > 300 or azimuth_loss_at(25.4, 25.4) == inf


@given(st.floats(0.01, 50), st.floats(1, 2000))
def test_a_thin_coating_loses_as_half_its_depth_of_spacing_would_at_most(depth: float, wave: float) -> None:
    # a coating is layers of spacings 0 to its depth: it loses less than if all of it lay at its far side
    assert 0 <= thickness_loss(depth, wave) <= 20 * 2 * pi * depth / wave * 0.4342944819 + 1e-9
