"""What a playback head loses of a short wavelength, in decibels above nothing: spacing, thickness, gap, azimuth.

Lengths are in micrometres unless named otherwise, frequencies in hertz. A loss is a positive number of decibels.
"""

from __future__ import annotations

from math import e, expm1, inf, log10, pi, radians, sin, tan

SPACING_DB = 20 * 2 * pi * log10(e)
"""Decibels lost for a spacing of one wavelength: 20 * 2 pi * log10(e) = 54.575 (Wallace, Bell System Technical
Journal, October 1951; the constant is computed, the page was not seen)."""


def wavelength(speed: int, frequency: float) -> float:
    """The recorded wavelength, micrometres. speed: micrometres per second. frequency: hertz, above 0."""
    return speed / frequency


def spacing_loss(spacing: float, wave: float) -> float:
    """The loss of a spacing between tape and head: 54.575 d / wavelength."""
    return SPACING_DB * spacing / wave


def thickness_loss(depth: float, wave: float) -> float:
    """The loss of a coating recorded all through: -20 log10((1 - e^-x) / x) with x = 2 pi depth / wavelength."""
    x = 2 * pi * depth / wave
    return 20 * log10(x / -expm1(-x)) if x else 0.0


def gap_loss(gap: float, wave: float) -> float:
    """The loss of a gap's length, taken 1.11 times as long (Eargle, Handbook of Recording Engineering)."""
    return _sinc_loss(1.11 * pi * gap / wave)


def azimuth_loss(width: float, minutes: float, wave: float) -> float:
    """The loss of a gap that leans against the recorded one by so many minutes of arc, over a track's width.

    The form sinc(pi width tan(angle) / wavelength) is from memory.
    """
    return _sinc_loss(pi * width * tan(radians(minutes / 60)) / wave)


def azimuth_loss_at(lean: float, wave: float) -> float:
    """As `azimuth_loss`, from the lean itself: how far the two ends of the gap lie apart along the tape."""
    return _sinc_loss(pi * lean / wave)


def _sinc_loss(x: float) -> float:
    """The loss -20 log10 |sin x / x|; endless at its nulls."""
    if not x:
        return 0.0
    left = abs(sin(x) / x)
    return -20 * log10(left) if left else inf
