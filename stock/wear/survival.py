"""How reels of a formulation last: the share still in use by passes made, with its band, and batches that fail early.

Reels still in use are censored at the passes they have made. A reel bought used is known of only from the passes it
came with: it counts among those at risk from there on and not before (left truncation), or life would seem too long.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, log, sqrt
from statistics import NormalDist
from typing import NamedTuple

BAND = 0.95
_EARLY = 0.05
_FEWEST_RETIRED = 2


class Lived(NamedTuple):
    """One reel. came, until: passes made when it came and by now or its retirement. batch: empty where not stated."""

    reel: str
    came: float
    until: float
    retired: bool
    batch: str = ""


class Step(NamedTuple):
    """From so many passes on, this share is still in use. at_risk, retired: of how many, how many went there."""

    passes: float
    at_risk: int
    retired: int
    share: float
    low: float
    high: float


class EarlyBatch(NamedTuple):
    """A batch that fails sooner than the rest. chance: of a difference so large by luck, for as many batches as were
    tried."""

    batch: str
    reels: int
    retired: int
    chance: float


def survival(lived: Iterable[Lived], band: float = BAND) -> list[Step]:
    """The product-limit estimate (Kaplan–Meier), a step for each number of passes at which reels were retired.

    The band is Greenwood's variance on the log-log scale. A reel retired at or before the passes it came with tells
    nothing and is left out.
    """
    known = [each for each in lived if each.until > each.came or (each.came == 0 and each.until >= 0)]
    wide = NormalDist().inv_cdf((1 + band) / 2)
    steps: list[Step] = []
    share, greenwood = 1.0, 0.0
    for passes in sorted({each.until for each in known if each.retired}):
        at_risk = sum(each.came < passes <= each.until or (each.came == passes == 0) for each in known)
        gone = sum(each.retired and each.until == passes for each in known)
        share *= 1 - gone / at_risk
        if gone < at_risk:
            greenwood += gone / (at_risk * (at_risk - gone))
        # with nobody left the estimate has no spread: the band stays as wide upwards as it was
        low, high = _band(share, greenwood, wide) if share else (0.0, steps[-1].high if steps else 1.0)
        steps.append(Step(passes, at_risk, gone, share, low, high))
    return steps


def _band(share: float, greenwood: float, wide: float) -> tuple[float, float]:
    spread = exp(wide * sqrt(greenwood) / abs(log(share)))
    return share**spread, share ** (1 / spread)


def median(steps: Sequence[Step]) -> float | None:
    """The passes by which half of the reels are retired; None while more than half are in use."""
    return next((step.passes for step in steps if step.share <= 0.5), None)


def early_batches(lived: Sequence[Lived]) -> list[EarlyBatch]:
    """Batches of which reels are retired sooner than of the rest of the formulation, worst first.

    The log-rank test, one-sided, of each batch with two retired reels or more against all others; its chance is taken
    times the number of batches tried. Reels bought used are left out: the test knows no truncation.
    """
    from scipy.stats import CensoredData, logrank  # type: ignore[import-untyped]

    new = [each for each in lived if not each.came]
    batches = sorted({each.batch for each in new if each.batch})
    tried = [
        batch
        for batch in batches
        if sum(each.retired for each in new if each.batch == batch) >= _FEWEST_RETIRED
        and any(each.batch != batch for each in new)
    ]
    found: list[EarlyBatch] = []
    for batch in tried:
        sides = [[each for each in new if (each.batch == batch) is inside] for inside in (True, False)]
        data = [
            CensoredData([e.until for e in side if e.retired], right=[e.until for e in side if not e.retired])
            for side in sides
        ]
        chance = min(1.0, float(logrank(*data, alternative="greater").pvalue) * len(tried))
        if chance < _EARLY:
            gone = sum(each.retired for each in sides[0])
            found.append(EarlyBatch(batch, len(sides[0]), gone, chance))
    return sorted(found, key=lambda early: (early.chance, early.batch))
