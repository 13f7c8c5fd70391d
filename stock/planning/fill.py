"""Takes in any order onto reels, quickly: reel after reel, each room filled as full as sums of the takes allow."""

from __future__ import annotations

from collections.abc import Sequence
from math import gcd
from random import Random

from stock.planning.bounds import subset_sums
from stock.planning.model import Laid, Option, Places, Task

MOST_BITS = 40_000
RESTARTS = 20

Packing = list[tuple[Option, list[list[int]]]]
"""The reels used, and for each of their rooms the takes in it."""


def first_fit(task: Task, options: Sequence[Option]) -> Packing | None:
    """The largest take first, into the first room it fits of the reels in the order given; None where one is left."""
    packing: Packing = [(option, [[] for _ in option.rooms]) for option in options]
    left = [[task.capacity(room) for room in option.rooms] for option in options]
    for take in sorted(range(len(task.lengths)), key=lambda take: (-task.sizes[take], take)):
        size = task.sizes[take]
        for space, (_, rooms) in zip(left, packing, strict=True):
            number = next((number for number, room in enumerate(space) if room >= size), None)
            if number is not None:
                space[number] -= size
                rooms[number].append(take)
                break
        else:
            return None
    return _used(packing)


def fill(task: Task, options: Sequence[Option], random: Random | None = None) -> Packing | None:
    """Room by room of the reels in the order given: one take, and the sum of others that fills the room best.

    The one is the largest that is left; with random, now and then another, and equal sums are met in other ways.
    """
    widest = max((task.capacity(room) for option in options for room in option.rooms), default=0)
    unit = gcd(*task.sizes)
    if widest // unit > MOST_BITS:
        unit = -(-widest // MOST_BITS)
    sizes = [-(-size // unit) for size in task.sizes]
    left = sorted(range(len(sizes)), key=lambda take: (-sizes[take], take))
    packing: Packing = []
    for option in options:
        if not left:
            break
        rooms: list[list[int]] = [[] for _ in option.rooms]
        for number in sorted(range(len(rooms)), key=lambda n: (task.capacity(option.rooms[n]), n)):
            takes = _fullest(sizes, left, task.capacity(option.rooms[number]) // unit, random)
            rooms[number] = sorted(takes)
            gone = set(takes)
            left = [take for take in left if take not in gone]
        if any(rooms):
            packing.append((option, rooms))
    return None if left else packing


def _fullest(sizes: list[int], left: list[int], capacity: int, random: Random | None) -> list[int]:
    """Takes of those left, largest first, that fill a capacity as full as can be."""
    fitting = [take for take in left if sizes[take] <= capacity]
    if not fitting:
        return []
    seed = fitting[0] if random is None else fitting[min(int(random.expovariate(1.5)), len(fitting) - 1)]
    rest = [take for take in fitting if take != seed]
    if random is not None:
        random.shuffle(rest)
    room = capacity - sizes[seed]
    keep = (1 << (room + 1)) - 1
    reached = [1]
    for take in rest:
        reached.append(reached[-1] | (reached[-1] << sizes[take] & keep))
        if reached[-1] >> room & 1:
            break
    target = reached[-1].bit_length() - 1
    takes = [seed]
    for number in range(len(reached) - 1, 0, -1):
        if not reached[number - 1] >> target & 1:
            takes.append(rest[number - 1])
            target -= sizes[rest[number - 1]]
    return takes


def _used(packing: Packing) -> Packing:
    return [(option, rooms) for option, rooms in packing if any(rooms)]


def orders(task: Task, options: Sequence[Option]) -> list[list[Option]]:
    """Reels by how much sums of the takes fill of them, and by their largest rooms; then as a plan prefers them."""
    widest = max((task.capacity(room) for option in options for room in option.rooms), default=0)
    most = subset_sums(task.sizes, widest)
    known: dict[int, int] = {}

    def held(option: Option) -> list[int]:
        capacities = [task.capacity(room) for room in option.rooms]
        for capacity in capacities:
            if capacity not in known:
                known[capacity] = most(capacity)
        return sorted((known[capacity] for capacity in capacities), reverse=True)

    rows = []
    for option in options:
        rooms = held(option)
        rows.append((-sum(rooms), [-room for room in rooms], option.wipe, option.acquired, option.reel, option))
    by_sum = [row[-1] for row in sorted(rows, key=lambda row: row[:5])]
    by_room = [row[-1] for row in sorted(rows, key=lambda row: (row[1], row[2:5]))]
    return [by_sum] if by_sum == by_room else [by_sum, by_room]


def pack(task: Task, options: Sequence[Option], tries: int) -> Packing | None:
    """All takes onto these reels, in a few ways; None where none of the ways did it."""
    if sum(map(task.space, options)) < sum(task.sizes):
        return None
    found: Packing | None = None
    for order in orders(task, options):
        found = found or first_fit(task, order) or fill(task, order)
    random = Random(1)
    while found is None and tries:
        tries -= 1
        found = fill(task, order, random)
    return found


def restarts(task: Task, options: Sequence[Option], bound: int) -> Packing | None:
    """The fewest of the reels given that fillings with a little chance in them use; it stops at the bound."""
    random = Random(2)
    best: Packing | None = None
    for _ in range(RESTARTS):
        packing = fill(task, options, random)
        if packing is not None and (best is None or len(packing) < len(best)):
            best = packing
            if len(best) == bound:
                break
    return best


def places_of(task: Task, packing: Packing) -> Places:
    """Where each take lies, in order of take. Raises AssertionError where a room does not hold what it was given."""
    laid: list[Laid] = []
    for option, rooms in packing:
        for room, takes in zip(option.rooms, rooms, strict=True):
            starts = task.lay(room, takes)
            assert starts is not None, (option.reel, room.lo)
            laid += [Laid(take, option.reel, start) for take, start in starts]
    return tuple(sorted(laid))
