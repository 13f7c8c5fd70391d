"""What the shape of a loss across frequencies tells of its cause: contact, azimuth, a flat fault, or nothing for sure.

Each cause has a shape of one unknown: a spacing (falls grow as the frequency), a lean of the gap (as its square, while
small), a change of level (the same at every frequency). Each is fitted by least squares. A cause is named only where
the best fit beats the next by so much that a wrong name is given at most five times of a hundred, where the fall is
more than reading noise, and where the shape fits at all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import log, sqrt
from typing import Literal, NamedTuple

from scipy.optimize import minimize_scalar  # type: ignore[import-untyped]
from scipy.stats import chi2  # type: ignore[import-untyped]

from stock.core.losses import azimuth_loss_at, spacing_loss, wavelength

Cause = Literal["contact", "azimuth", "flat", "cannot tell"]

READING_DB = 0.2
"""How far one reading of a level may be off (one standard deviation). From memory: a studio meter read by hand."""
FALL_DB = READING_DB * sqrt(2)
"""A fall is the difference of two readings."""

_SURE = log(9)
"""The log-likelihood by which the best must beat the next."""
_SLOPING_DB = 2.0
"""The least fall at the top tone for which contact and azimuth are told apart. With this and the two limits beside it a
name is right at least 95 times of 100 at every size of loss: measured by `tests/bench/bench_shape.py`."""
_SEEN = float(chi2.isf(0.001, 1))
_FEWEST = 3

ADVICE: dict[Cause, tuple[str, ...]] = {
    "contact": (
        "clean the heads and guides and check again: dirt holds the tape off the head",
        "look at tension and wrap at the head",
        "if the loss stays, the tape itself is held off: shed oxide, a curled edge, or a worn surface",
    ),
    "azimuth": (
        "clean the heads and guides and check again",
        "set the playback head's azimuth by a reference tape, then by this reel's own tones",
        "if it stays, the tape skews: look for a stretched or curled edge",
    ),
    "flat": (
        "check the playback level against a reference tape",
        "check that the tone, the track and the reference are those of the first check",
        "if it stays, the whole recording has weakened: think of a stray field or an erase head left magnetised",
    ),
    "cannot tell": (
        "clean the heads and guides and check again",
        "then azimuth by a reference tape, then level",
        "check at 100 Hz, 1 kHz, 10 kHz and 15 kHz: the shape across them tells the cause",
    ),
}
"""What to rule out, in order, before the tape is blamed (common practice)."""


class Fit(NamedTuple):
    """One cause fitted. size: spacing or lean in micrometres, or decibels. misfit: in squares of the noise."""

    cause: Cause
    size: float
    misfit: float


class Shape(NamedTuple):
    """What a loss looks like. spacing_um: the spacing that would lose as much. why: why no cause is named, or empty.

    lost: whether there is a loss beyond reading noise at all.
    """

    cause: Cause
    why: str
    spacing_um: float
    fits: tuple[Fit, ...]
    lost: bool


def shape_of(falls: Mapping[int, float], speed: int, noise_db: float = FALL_DB) -> Shape:
    """The cause of falls by frequency (hertz to dB, positive is lost) at a speed in micrometres per second.

    noise_db: one standard deviation of a fall. A cause is named from falls at three frequencies or more.
    """
    waves = {frequency: wavelength(speed, frequency) for frequency in sorted(falls)}
    nothing = sum((fall / noise_db) ** 2 for fall in falls.values())
    fits = sorted(
        (
            _line("contact", falls, {f: spacing_loss(1, wave) for f, wave in waves.items()}, noise_db),
            _azimuth(falls, waves, noise_db),
            _line("flat", falls, dict.fromkeys(waves, 1.0), noise_db),
        ),
        key=lambda fit: (fit.misfit, fit.cause),
    )
    spacing = next(fit.size for fit in fits if fit.cause == "contact")
    best, second = fits[0], fits[1]
    why = ""
    lost = nothing - best.misfit >= _SEEN and best.size > 0
    if not lost:
        why = "no loss beyond what a reading may be off"
    elif len(falls) < _FEWEST:
        why = "tones at three frequencies or more are needed"
    elif best.misfit > float(chi2.isf(0.05, len(falls) - 1)):
        why = "no single cause fits: there may be two at once"
    elif (second.misfit - best.misfit) / 2 < _SURE or (best.cause != "flat" and falls[max(falls)] < _SLOPING_DB):
        why = f"too small a loss to tell {best.cause} from {second.cause}"
    return Shape("cannot tell" if why else best.cause, why, max(spacing, 0.0), tuple(fits), lost)


def _misfit(falls: Mapping[int, float], model: Callable[[int], float], noise_db: float) -> float:
    return sum(((fall - model(frequency)) / noise_db) ** 2 for frequency, fall in falls.items())


def _line(cause: Cause, falls: Mapping[int, float], unit: Mapping[int, float], noise_db: float) -> Fit:
    """Falls in proportion to a unit's: least squares through nothing."""
    size = sum(falls[f] * unit[f] for f in falls) / sum(unit[f] ** 2 for f in falls)
    return Fit(cause, size, _misfit(falls, lambda f: size * unit[f], noise_db))


def _azimuth(falls: Mapping[int, float], waves: Mapping[int, float], noise_db: float) -> Fit:
    """A lean below the first null of the shortest wavelength: further out no tone is left to measure."""
    shortest = min(waves.values())

    def misfit(lean: float) -> float:
        return _misfit(falls, lambda f: azimuth_loss_at(lean, waves[f]), noise_db)

    found = minimize_scalar(misfit, bounds=(0.0, 0.95 * shortest), method="bounded", options={"xatol": shortest / 1e4})
    return Fit("azimuth", float(found.x), float(found.fun))
