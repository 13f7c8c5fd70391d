"""Losses and reels made from the formulas, with reading noise, for the tests and the benches of wear."""

from __future__ import annotations

from random import Random

from stock.core.losses import azimuth_loss_at, spacing_loss, wavelength
from stock.wear.life import Track

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


def made_track(reel: str, loss: float, checks: int, random: Random, noise_db: float = 0.2) -> Track:
    """A reel checked so many times that loses so much a pass; each reading is off by noise.

    The checks lie 5 to 25 passes apart, closer where there are more than ten.
    """
    passes = [float(random.randint(0, 20))]
    while len(passes) < checks:
        passes.append(passes[-1] + random.randint(5, 25) * min(1.0, 10 / checks))
    levels = [0.3 - loss * (p - passes[0]) + random.gauss(0, noise_db) for p in passes]
    return Track(reel, tuple(passes), tuple(levels), passes[-1] + random.randint(0, 10))


def true_left(track: Track, loss: float, limit_db: float) -> float:
    """The passes left until the true fall since the first check is at a limit."""
    return max(0.0, limit_db / loss - (track.now - track.passes[0]))
