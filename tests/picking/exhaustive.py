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
    yield from (_in_order if asked.in_order else _any_order)(reels, asked, Laid({}, 0, [], 0))


class Laid(NamedTuple):
    """What is laid so far: takes, passes, the stretches (reel, part) gone through, where the last one is free from."""

    takes: dict[int, Where]
    worn: int
    path: list[tuple[int, int]]
    free: int

    def add(self, take: int, at: tuple[int, int], reels: list[Shelf], asked: Asked) -> Laid | None:
        """This with one take more behind the others in a stretch; None where it finds no place."""
        stretch = reels[at[0]].stretches[at[1]]
        behind = self.free if self.path and self.path[-1] == at else stretch[0]
        need = asked.needs[take]
        start = earliest(stretch, behind, need, asked.splices)
        if start is None:
            return None
        return Laid(
            {**self.takes, take: (reels[at[0]].number, start)},
            self.worn + passes(stretch, start, need),
            [*self.path, at],
            start + need + asked.gap,
        )


def _in_order(reels: list[Shelf], asked: Asked, laid: Laid) -> Iterator[tuple[dict[int, Where], int]]:
    """The next take lies later on the same reel, or on a reel not used before."""
    take = len(laid.takes)
    if take == len(asked.needs):
        yield laid.takes, laid.worn
        return
    for number, reel in enumerate(reels):
        for part in range(len(reel.stretches)):
            if laid.path and laid.path[-1][0] == number:
                if part < laid.path[-1][1]:
                    continue
            elif any(number == gone for gone, _ in laid.path):
                continue
            more = laid.add(take, (number, part), reels, asked)
            if more is not None:
                yield from _in_order(reels, asked, more)


def _any_order(reels: list[Shelf], asked: Asked, laid: Laid) -> Iterator[tuple[dict[int, Where], int]]:
    """Stretch by stretch, each filled in every order; no stretch is come back to."""
    if len(laid.takes) == len(asked.needs):
        yield laid.takes, laid.worn
        return
    for number, reel in enumerate(reels):
        for part in range(len(reel.stretches)):
            if laid.path and (number, part) < laid.path[-1]:
                continue
            for take in set(range(len(asked.needs))) - set(laid.takes):
                more = laid.add(take, (number, part), reels, asked)
                if more is not None:
                    yield from _any_order(reels, asked, more)


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
