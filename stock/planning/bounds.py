"""How many reels are needed at least, takes in any order.

For any worth given to each take, the takes are worth no more than what the reels used can hold of it: so many of the
roomiest reels are needed that their most together reaches the worth of all takes. Worth by size, by what subsets of
the takes can add up to, by count, and by the thresholds of Martello and Toth's second bound (Knapsack Problems, 1990,
chapter 8; from memory, each shown anew for rooms of several sizes) are tried.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Sequence
from itertools import accumulate
from math import gcd

from stock.planning.model import Option, Task

MOST_BITS = 200_000
MOST_THRESHOLDS = 60

Shape = tuple[int, ...]
"""The capacities of a reel's rooms, largest first."""


def shapes_of(task: Task, options: Sequence[Option]) -> Counter[Shape]:
    """How many reels there are of each shape; rooms that hold no take are left out."""
    least = min(task.sizes)
    found: Counter[Shape] = Counter()
    for option in options:
        shape = tuple(sorted((c for c in map(task.capacity, option.rooms) if c >= least), reverse=True))
        if shape:
            found[shape] += 1
    return found


def reels_for(worth: int, shapes: Counter[Shape], most: Callable[[int], int]) -> int | None:
    """The reels that hold at least a worth, if each room of capacity c holds at most most(c); None: all do not."""
    known: dict[int, int] = {}
    totals: list[tuple[int, int]] = []
    for shape, count in shapes.items():
        total = 0
        for capacity in shape:
            if capacity not in known:
                known[capacity] = most(capacity)
            total += known[capacity]
        totals.append((total, count))
    reels = 0
    for total, count in sorted(totals, reverse=True):
        if worth <= 0 or total <= 0:
            break
        used = min(count, -(-worth // total))
        reels += used
        worth -= used * total
    return None if worth > 0 else reels


def least_reels(task: Task, options: Sequence[Option]) -> int | None:
    """A number of reels no plan can do without; None where it is proved that all of them do not hold the takes."""
    shapes = shapes_of(task, options)
    if not shapes:
        return None
    sizes = sorted(task.sizes)
    widest = max(shape[0] for shape in shapes)
    best = 1
    for worth, most in _worths(sizes, widest, len(shapes)):
        reels = reels_for(worth, shapes, most)
        if reels is None:
            return None
        best = max(best, reels)
    return best


def _worths(sizes: list[int], widest: int, shapes: int) -> list[tuple[int, Callable[[int], int]]]:
    """Worths of all takes with the most a room of some capacity holds of each. sizes: least first."""
    found: list[tuple[int, Callable[[int], int]]] = [(sum(sizes), subset_sums(sizes, widest))]
    distinct = sorted(set(sizes))
    if len(distinct) > MOST_THRESHOLDS:
        step = len(distinct) / MOST_THRESHOLDS
        distinct = [distinct[int(i * step)] for i in range(MOST_THRESHOLDS)]
    ends = list(accumulate(sizes, initial=0))
    for threshold in distinct if shapes <= 2000 else distinct[:: max(1, len(distinct) // 8)]:
        below = bisect_right(sizes, threshold - 1)
        found.append((len(sizes) - below, _count_from(ends, below)))
        if 2 * threshold <= widest:
            found.append(_large_and_middle(sizes, widest, threshold))
    return found


def subset_sums(sizes: Sequence[int], widest: int) -> Callable[[int], int]:
    """The largest sum of some of the sizes that is at most a capacity."""
    unit = gcd(*sizes)
    if widest // unit > MOST_BITS:
        return lambda capacity: capacity
    bits = 1
    keep = (1 << (widest // unit + 1)) - 1
    for size in sizes:
        bits |= (bits << (size // unit)) & keep
    return lambda capacity: unit * ((bits & ((1 << (capacity // unit + 1)) - 1)).bit_length() - 1)


def _count_from(ends: list[int], below: int) -> Callable[[int], int]:
    """How many takes from the one at `below` on, least first, go into a capacity. ends: running sums of sizes."""
    return lambda capacity: bisect_right(ends, ends[below] + capacity) - 1 - below


def _large_and_middle(sizes: list[int], widest: int, threshold: int) -> tuple[int, Callable[[int], int]]:
    """Takes larger than the widest room less the threshold are worth that room; smaller than the threshold, nothing.

    Beside a large take in any room there is less than the threshold left, so that it is alone in its worth.
    """
    large = sizes[bisect_right(sizes, widest - threshold) :]
    middle = sizes[bisect_right(sizes, threshold - 1) : len(sizes) - len(large)]
    least_large = large[0] if large else widest + 1
    least_middle = middle[0] if middle else widest + 1

    def most(capacity: int) -> int:
        if capacity >= least_large:
            return widest
        return capacity if capacity >= least_middle else 0

    return widest * len(large) + sum(middle), most
