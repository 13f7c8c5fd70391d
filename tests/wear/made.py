"""Losses and reels made from the formulas, with reading noise, for the tests and the benches of wear."""

from __future__ import annotations

from random import Random

from stock.core.losses import azimuth_loss_at, spacing_loss, wavelength

TONES = (100, 1_000, 10_000, 15_000)
CAUSES = ("contact", "azimuth", "flat")
SPEED = 381_000
"""15 in/s in micrometres per second."""


def made_falls(cause: str, size_db: float, noise_db: float, random: Random) -> dict[int, float]:
    """Falls by tone of one cause, so many decibels at the top tone, each reading off by noise."""
    waves = {tone: wavelength(SPEED, tone) for tone in TONES}
    top = waves[TONES[-1]]
    if cause == "contact":
        spacing = size_db / spacing_loss(1, top)
        true = {tone: spacing_loss(spacing, wave) for tone, wave in waves.items()}
    elif cause == "azimuth":
        lean = lean_for(size_db, top)
        true = {tone: azimuth_loss_at(lean, wave) for tone, wave in waves.items()}
    else:
        true = dict.fromkeys(waves, size_db)
    return {tone: fall + random.gauss(0, noise_db) for tone, fall in true.items()}


def lean_for(size_db: float, wave: float) -> float:
    """The lean that loses so much at a wavelength, by halving."""
    lo, hi = 0.0, wave
    for _ in range(60):
        middle = (lo + hi) / 2
        lo, hi = (middle, hi) if azimuth_loss_at(middle, wave) < size_db else (lo, middle)
    return hi
