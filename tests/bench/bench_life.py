"""How often the range of passes left covers the truth on made reels: run by hand, prints a table.

Reels lose 0.01 to 0.04 dB a pass at 10 kHz, are checked every 5 to 25 passes (more often where they are checked more
than ten times), and each reading is off by 0.2 dB. A reel past its limit already is left out: its range is nothing.
"""

from __future__ import annotations

from math import exp
from random import Random

from stock.wear.life import life_of
from stock.wear.slope import COVER
from tests.wear.made import made_track, true_left

LIMITS = {"critical": 1.0, "standard": 2.0, "scratch": 3.0}


def covered(checks: int, others: int, spread: float, times: int, random: Random) -> tuple[float, float]:
    """The share of reels for which a range is given, and the share of those ranges that hold the truth."""
    told = right = tried = 0
    while tried < times:
        usual = random.uniform(0.01, 0.04)
        loss = usual * exp(random.gauss(0, spread))
        rest = [
            made_track(f"other {n}", usual * exp(random.gauss(0, spread)), random.randint(2, 7), random)
            for n in range(others)
        ]
        track = made_track("this", loss, checks, random)
        if not true_left(track, loss, LIMITS["scratch"]):
            continue
        tried += 1
        left = life_of([track], rest, LIMITS).left.get("scratch")
        if left is not None and left.high is not None:
            told += 1
            right += left.low <= true_left(track, loss, LIMITS["scratch"]) < left.high + 1
    return told / times, right / max(told, 1)


def worst_covered(tracks: int, spread: float, times: int, random: Random) -> float:
    """The share of ranges that hold the truth of a reel's worst track; each track is checked eight times."""
    right = tried = 0
    while tried < times:
        usual, first = random.uniform(0.01, 0.03), made_track("this", 0.0, 8, random)
        losses = [usual * exp(random.gauss(0, spread)) for _ in range(tracks)]
        truth = true_left(first, max(losses), LIMITS["scratch"])
        if not truth:
            continue
        tried += 1
        begin = first.passes[0]
        made = [
            first._replace(levels=tuple(-loss * (p - begin) + random.gauss(0, 0.2) for p in first.passes))
            for loss in losses
        ]
        left = life_of(made, [], LIMITS).left.get("scratch")
        right += left is not None and left.high is not None and left.low <= truth < left.high + 1
    return right / times


def main() -> None:
    random = Random(80)
    print(f"passes left to the scratch limit, a range of {COVER:.0%}; in %")
    print("2000 reels each, by their own checks:")
    for checks in (5, 6, 8, 12, 20):
        told, right = covered(checks, 0, 0.15, 2000, random)
        print(f"  {checks:2} checks                  given {100 * told:5.1f}   covers {100 * right:5.1f}")
    print("500 reels each, of several tracks that differ by so much (log scale), the worst track:")
    for tracks in (2, 4, 8):
        for spread in (0.0, 0.15, 0.35):
            right = worst_covered(tracks, spread, 500, random)
            print(f"  {tracks} tracks, {spread:.2f}                      covers {100 * right:5.1f}")
    print("500 reels each, pooled with others of their formulation that differ by so much (log scale):")
    for checks in (1, 3):
        for others in (3, 6, 12):
            for spread in (0.0, 0.15, 0.35):
                told, right = covered(checks, others, spread, 500, random)
                print(
                    f"  {checks} checks, {others:2} others, {spread:.2f}  given {100 * told:5.1f}"
                    f"   covers {100 * right:5.1f}"
                )


if __name__ == "__main__":
    main()
