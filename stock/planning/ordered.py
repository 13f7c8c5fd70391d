"""Takes in the order of the session: runs of takes on reels, each reel used once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from stock.planning.fill import Packing
from stock.planning.model import Option, Task

MOST_STEPS = 60_000

Shape = tuple[tuple[int, tuple[int, ...]], ...]
"""Length of each room, and the splices in it from its start."""


class Ordered(NamedTuple):
    """The fewest reels found, and how many are needed at least. packing: None where the takes find no room."""

    packing: Packing | None
    bound: int


class Runs:
    """How far each shape of reel takes a session, from each of its takes."""

    def __init__(self, task: Task, options: Sequence[Option], known: dict[Shape, list[int]]) -> None:
        self.task = task
        self.count = len(task.lengths)
        self.reach: dict[Shape, list[int]] = {}
        self.shapes = [_shape(option) for option in options]
        for shape, option in zip(self.shapes, options, strict=True):
            if shape not in self.reach:
                if shape not in known:
                    known[shape] = [self._ends(option, first)[-1] for first in range(self.count)] + [self.count]
                self.reach[shape] = known[shape]
        best = [max((reach[first] for reach in self.reach.values()), default=first) for first in range(self.count + 1)]
        self.need: list[int | None] = [None] * self.count + [0]
        for first in reversed(range(self.count)):
            after = self.need[best[first]] if best[first] > first else None
            self.need[first] = None if after is None else after + 1

    def _ends(self, option: Option, first: int) -> list[int]:
        """Where the run of takes ends in each room, each take as early as it may lie."""
        ends = []
        for room in option.rooms:
            at = room.lo
            while first < self.count:
                start = self.task.start(room, at, self.task.lengths[first])
                if start is None:
                    break
                at = start + self.task.sizes[first]
                first += 1
            ends.append(first)
        return ends or [first]

    def lay(self, option: Option, first: int) -> list[list[int]]:
        """The takes from `first` on that lie in each room of a reel."""
        rooms = []
        for end in self._ends(option, first):
            rooms.append(list(range(first, end)))
            first = end
        return rooms


def _shape(option: Option) -> Shape:
    return tuple((room.hi - room.lo, tuple(at - room.lo for at in room.splices)) for room in option.rooms)


def fewest_in_order(
    task: Task,
    options: Sequence[Option],
    most_steps: int = MOST_STEPS,
    known: dict[Shape, list[int]] | None = None,
) -> Ordered | None:
    """The fewest reels for takes in order; None where it is proved that they do not hold them.

    known: how far each shape takes this session from each of its takes, kept from one call to the next.
    """
    runs = Runs(task, options, known if known is not None else {})
    bound = runs.need[0]
    if bound is None:
        return None
    stock = Counter(runs.shapes)
    sizes = {shape: sum(length for length, _ in shape) for shape in stock}
    by_reach = sorted(stock, key=lambda shape: (sizes[shape], shape))
    greedy = _greedy(runs, by_reach, stock)
    most = len(greedy) if greedy is not None else min(len(options), len(task.lengths)) + 1
    chosen = greedy
    left = [most_steps]
    for reels in range(bound, most):
        found = _descend(runs, by_reach, stock, 0, reels, left, set())
        if found is not None:
            chosen = found
            break
        if left[0] < 0:
            break
        bound = reels + 1
    if chosen is None:
        return Ordered(None, bound) if left[0] < 0 else None
    return Ordered(_packing(runs, options, chosen), bound)


def _greedy(runs: Runs, shapes: list[Shape], stock: Counter[Shape]) -> list[Shape] | None:
    """Each time the reel that takes the session farthest; of those the smallest."""
    left = Counter(stock)
    first = 0
    chosen = []
    while first < runs.count:
        shape = max((shape for shape in shapes if left[shape]), key=lambda s: runs.reach[s][first], default=None)
        if shape is None or runs.reach[shape][first] == first:
            return None
        left[shape] -= 1
        chosen.append(shape)
        first = runs.reach[shape][first]
    return chosen


def _descend(
    runs: Runs,
    shapes: list[Shape],
    stock: Counter[Shape],
    first: int,
    reels: int,
    left: list[int],
    failed: set[tuple[int, frozenset[tuple[Shape, int]]]],
    spent: frozenset[tuple[Shape, int]] = frozenset(),
) -> list[Shape] | None:
    """Shapes that take the session from one take to its end with so many reels; None where there are none, or the steps
    left ran out. spent: how many of each shape are used."""
    if first == runs.count:
        return []
    state = first, spent
    if state in failed:
        return None
    used = dict(spent)
    for shape in sorted(shapes, key=lambda shape: -runs.reach[shape][first]):
        left[0] -= 1
        if left[0] < 0:
            return None
        end = runs.reach[shape][first]
        need = runs.need[end]
        if end == first or need is None or need > reels - 1:
            break
        if used.get(shape, 0) >= stock[shape]:
            continue
        more = frozenset({**used, shape: used.get(shape, 0) + 1}.items())
        rest = _descend(runs, shapes, stock, end, reels - 1, left, failed, more)
        if rest is not None:
            return [shape, *rest]
    failed.add(state)
    return None


def _packing(runs: Runs, options: Sequence[Option], chosen: list[Shape]) -> Packing:
    by_shape: dict[Shape, list[Option]] = {}
    for shape, option in zip(runs.shapes, options, strict=True):
        by_shape.setdefault(shape, []).append(option)
    for group in by_shape.values():
        group.sort(key=lambda option: (option.wipe, option.acquired, option.reel), reverse=True)
    first = 0
    packing: Packing = []
    for shape in chosen:
        option = by_shape[shape].pop()
        packing.append((option, runs.lay(option, first)))
        first = runs.reach[shape][first]
    return packing
