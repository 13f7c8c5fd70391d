"""Every plan there is for a few takes, laid out one by one: what the quick ways are compared with.

It shares nothing with the packing: reels are plain tuples, a plan is a list of moves, and all are tried.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

Stretch = tuple[int, int, list[tuple[int, int, int]], list[int]]
"""From, to, wear as (from, to, tenths), places of splices."""


class Shelf(NamedTuple):
    """One reel. bought: the day, None where not known."""

    number: str
    batch: str | None
    wipe: bool
    bought: int | None
    stretches: list[Stretch]


class Asked(NamedTuple):
    """Footprints, the gap between, whether they run in order, splices in one at most, whether wear is to be low."""

    needs: list[int]
    gap: int
    in_order: bool
    splices: int
    critical: bool


Where = tuple[str, int]
"""A reel and the start of a footprint."""


def earliest(stretch: Stretch, behind: int, need: int, splices: int) -> int | None:
    """The first place at which a footprint may start; each place is tried where something changes."""
    lo, hi, _, joints = stretch
    tries = sorted({max(lo, behind)} | {joint + 1 for joint in joints if joint + 1 > max(lo, behind)})
    for start in tries:
        if start + need <= hi and sum(start <= joint < start + need for joint in joints) <= splices:
            return start
    return None


def passes(stretch: Stretch, start: int, need: int) -> int:
    return max((tenths for a, b, tenths in stretch[2] if a < start + need and b > start), default=0)


def plans(reels: list[Shelf], asked: Asked) -> Iterator[tuple[dict[int, Where], int]]:
    """Every way to lay all takes, each as near to the one before as it can lie, with the passes under them."""
    yield from _more(reels, asked, {}, 0, {}, [], [])


def _more(
    reels: list[Shelf],
    asked: Asked,
    laid: dict[int, Where],
    worn: int,
    ends: dict[tuple[int, int], int],
    reels_used: list[int],
    path: list[int],
) -> Iterator[tuple[dict[int, Where], int]]:
    if len(laid) == len(asked.needs):
        yield dict(laid), worn
        return
    todo = [len(laid)] if asked.in_order else [take for take in range(len(asked.needs)) if take not in laid]
    for number, reel in enumerate(reels):
        if asked.in_order and number in reels_used[:-1]:
            continue
        for part, stretch in enumerate(reel.stretches):
            if asked.in_order and reels_used and reels_used[-1] == number and part < path[-1]:
                continue
            for take in todo:
                need = asked.needs[take]
                start = earliest(stretch, ends.get((number, part), stretch[0]), need, asked.splices)
                if start is None:
                    continue
                yield from _more(
                    reels,
                    asked,
                    {**laid, take: (reel.number, start)},
                    worn + passes(stretch, start, need),
                    {**ends, (number, part): start + need + asked.gap},
                    reels_used if number in reels_used else [*reels_used, number],
                    [*path, part],
                )


def rank(reels: list[Shelf], asked: Asked, laid: dict[int, Where], worn: int) -> tuple[object, ...]:
    """The order of preference: reels, batches, wipes, passes, age, number; then take by take the reel and place."""
    used = [reel for reel in reels if reel.number in {number for number, _ in laid.values()}]
    batches = {reel.batch or f"none of {reel.number}" for reel in used}
    return (
        len(used),
        len(batches),
        sum(reel.wipe for reel in used),
        worn if asked.critical else -worn,
        sorted(1 << 60 if reel.bought is None else reel.bought for reel in used),
        sorted(reel.number for reel in used),
        [laid[take] for take in sorted(laid)],
    )


def best(reels: list[Shelf], asked: Asked) -> tuple[object, ...] | None:
    """The rank of the best plan; None where there is none."""
    return min((rank(reels, asked, laid, worn) for laid, worn in plans(reels, asked)), default=None)
