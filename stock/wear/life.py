"""How many passes a reel has left before each grade's limit on the fall at 10 kHz: a range, or why there is none.

The loss per pass is a Theil–Sen slope. A reel with five checks or more stands for itself. One with fewer is seen
together with the other reels of its formulation, and several tracks of a reel with one another: how much those differ
is not known, so that every spread the readings allow is weighed by how well it explains them (a random-effects model,
the spread on a grid).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import pi
from typing import Literal, NamedTuple

import numpy as np
from scipy.optimize import brentq  # type: ignore[import-untyped]
from scipy.stats import norm  # type: ignore[import-untyped]

from stock.wear.shape import READING_DB
from stock.wear.slope import COVER, Slope, slope_of

FEWEST_CHECKS = 5
_FEWEST_COUNTS = 3
"""Different counts of passes at which the checks of a reel that stands for itself must lie."""
FEWEST_OTHERS = 3
"""Other reels of the formulation, each with a slope of its own, for which readings are pooled."""
_SPREADS = 60
_MEDIAN_LOSS = pi / 3
"""The variance of a Theil–Sen slope over that of least squares, for many readings with normal noise (Sen, 1968)."""

Basis = Literal["own", "pooled", "none"]


class Track(NamedTuple):
    """Readings of one tone on one track of one reel: passes and levels in dB, in step. now: passes made by now."""

    reel: str
    passes: tuple[float, ...]
    levels: tuple[float, ...]
    now: float


class Left(NamedTuple):
    """Passes left before a limit. high: None where the range has no upper end."""

    low: int
    likely: int
    high: int | None


class Life(NamedTuple):
    """What is known of a loss per pass. basis: whose readings it rests on. worst: the number of the track it is of.

    loss: dB per pass. why: why nothing can be said, or how it was found. others: how many other reels were pooled.
    """

    basis: Basis
    why: str
    loss: Slope | None
    worst: int | None
    left: Mapping[str, Left]
    others: int = 0


def life_of(tracks: Sequence[Track], others: Sequence[Track], limits: Mapping[str, float]) -> Life:
    """The passes left by the readings of a reel's tracks, and of other reels of its formulation.

    limits: dB by grade. The worst track holds for the reel: the one with the fewest passes left.
    """
    if not tracks:
        return Life("none", "no 10 kHz check was made at a place on the tape", None, None, {})
    standing = [
        (number, track)
        for number, track in enumerate(tracks)
        if len(track.passes) >= FEWEST_CHECKS and len(set(track.passes)) >= _FEWEST_COUNTS
    ]
    if not standing:
        return _pooled(tracks, others, limits)
    if len(standing) == 1:
        number, track = standing[0]
        fitted = [(number, slope_of(track.passes, [-level for level in track.levels]))]
    else:
        # the worst of many readings is worse than the worst track: seen together, each is drawn towards the others by
        # as much as reading noise may have moved it
        estimates = [_estimate(track) for _, track in standing]
        fitted = [(number, predicted(estimates, own)) for (number, _), own in zip(standing, estimates, strict=True)]
    told = [(number, slope) for number, slope in fitted if slope.told]
    if not told:
        number, slope = max(fitted, key=lambda each: each[1].value)
        return Life("none", "the loss per pass cannot be told from none", slope, number, {})
    number, slope = min(told, key=lambda each: _room(tracks[each[0]], each[1], limits))
    together = f", {len(fitted)} tracks seen together" if len(fitted) > 1 else ""
    why = f"by {len(tracks[number].passes)} checks of its own{together}"
    return Life("own", why, slope, number, _left(tracks[number], slope, limits))


def _pooled(tracks: Sequence[Track], others: Sequence[Track], limits: Mapping[str, float]) -> Life:
    sloped = [track for track in others if len(set(track.passes)) > 1]
    reels = {track.reel for track in sloped}
    most = max(len(track.passes) for track in tracks)
    few = f"{most} check{'s' if most != 1 else ''} of the same place and track, of {FEWEST_CHECKS} needed"
    if most >= FEWEST_CHECKS:
        few = f"its {most} checks lie at too few different counts of passes"
    if len(reels) < FEWEST_OTHERS:
        return Life("none", f"{few}, and {len(reels)} other reels of its formulation to go by", None, None, {})
    known = [_estimate(track) for track in sloped]
    best: tuple[float, int, Slope] | None = None
    for number, track in enumerate(tracks):
        own = _estimate(track) if len(set(track.passes)) > 1 else None
        slope = predicted([*known, own] if own else known, own)
        room = _room(track, slope, limits)
        if best is None or room < best[0]:
            best = room, number, slope
    assert best is not None
    _, number, slope = best
    says = f"{few}: pooled with {len(reels)} other reels of its formulation"
    if not slope.told:
        why = f"{says}, and the loss per pass cannot be told from none"
        return Life("none", why, slope, number, {}, len(reels))
    return Life("pooled", says, slope, number, _left(tracks[number], slope, limits), len(reels))


def _room(track: Track, slope: Slope, limits: Mapping[str, float]) -> float:
    return min(limits.values()) / slope.value - (track.now - track.passes[0]) if slope.value > 0 else float("inf")


def _left(track: Track, slope: Slope, limits: Mapping[str, float]) -> dict[str, Left]:
    used = track.now - track.passes[0]

    def passes(limit: float, loss: float) -> int:
        return max(0, int(limit / loss - used))

    return {
        grade: Left(passes(limit, slope.high), passes(limit, slope.value), passes(limit, slope.low))
        for grade, limit in limits.items()
    }


class Estimate(NamedTuple):
    """A loss per pass of one track, dB, and the square of how far reading noise may move it."""

    loss: float
    variance: float


def _estimate(track: Track) -> Estimate:
    passes = np.asarray(track.passes)
    variance = READING_DB**2 * _MEDIAN_LOSS / float(((passes - passes.mean()) ** 2).sum())
    return Estimate(slope_of(track.passes, [-level for level in track.levels]).value, variance)


def predicted(known: Sequence[Estimate], own: Estimate | None, cover: float = COVER) -> Slope:
    """The loss per pass of one more reel of a formulation.

    known: what is estimated of its reels, own included. own: what is estimated of this one, where it was checked twice.
    """
    losses = np.array([each.loss for each in known])
    variances = np.array([each.variance for each in known])
    widest = 3 * max(float(losses.std()), 0.1 * abs(float(losses.mean())), 1e-9)
    spreads = np.linspace(0, widest, _SPREADS) ** 2
    weights = 1 / (variances[None, :] + spreads[:, None])
    total = weights.sum(axis=1)
    mean = (weights * losses).sum(axis=1) / total
    misfit = (weights * (losses[None, :] - mean[:, None]) ** 2).sum(axis=1)
    likely = (np.log(weights).sum(axis=1) - np.log(total) - misfit) / 2
    share = np.exp(likely - likely.max())
    share /= share.sum()
    if own is None:
        middle, variance = mean, spreads + 1 / total
    else:
        trust = spreads / (spreads + own.variance)
        middle, variance = mean + trust * (own.loss - mean), trust * own.variance + (1 - trust) ** 2 / total
    wide = np.sqrt(variance)

    def at(chance: float) -> float:
        lo, hi = float((middle - 9 * wide).min()), float((middle + 9 * wide).max())
        return float(brentq(lambda x: float((share * norm.cdf((x - middle) / wide)).sum()) - chance, lo, hi))

    tail = (1 - cover) / 2
    return Slope(at(0.5), at(tail), at(1 - tail))
