"""Packing in its own words: takes as lengths, reels as options with rooms, and where a take lies in a room.

In a room takes lie one after another from its start, each as near to the head as it may.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import NamedTuple

from stock.core.picking.candidates import Candidate
from stock.core.picking.request import Request, footprints, gap
from stock.core.rules import Rules

UNDATED = 1 << 40
"""The acquisition day of a reel that has none: after every other."""


class Room(NamedTuple):
    """A free stretch. wear: (lo, hi, tenths of a pass) along it. splices: empty where they cannot bar a take."""

    lo: int
    hi: int
    wear: tuple[tuple[int, int, int], ...]
    splices: tuple[int, ...] = ()


class Option(NamedTuple):
    """A reel that may serve. batches: names; one not stated is a name of its own. wipe: whether it is wiped first."""

    reel: str
    formulation: str | None
    batches: frozenset[str]
    wipe: bool
    acquired: int
    rooms: tuple[Room, ...]


class TaskFields(NamedTuple):
    lengths: tuple[int, ...]
    gap: int
    ordered: bool
    most_splices: int
    least_worn: bool


class Task(TaskFields):
    """What is to be packed. lengths: of the footprints. least_worn: least wear is best, else most."""

    @cached_property
    def sizes(self) -> tuple[int, ...]:
        """Footprints with the gap after them: they fit a room if their sum is at most its capacity."""
        return tuple(length + self.gap for length in self.lengths)

    def capacity(self, room: Room) -> int:
        """How much a room takes of `sizes`."""
        return room.hi - room.lo + self.gap

    def space(self, option: Option) -> int:
        """The capacity of all rooms of a reel that hold any take at all."""
        least = min(self.lengths)
        return sum(self.capacity(room) for room in option.rooms if room.hi - room.lo >= least)

    def start(self, room: Room, at: int, length: int) -> int | None:
        """The first place from `at` on where a footprint may lie in a room; None where there is none."""
        start = max(at, room.lo)
        splices, most = room.splices, self.most_splices
        if splices:
            first = bisect_left(splices, start)
            while first + most < len(splices) and splices[first + most] < start + length:
                start = splices[first] + 1
                first += 1
        return start if start + length <= room.hi else None

    def score(self, room: Room, start: int, length: int) -> int:
        """The wear a footprint counts for: the most passes anywhere under it, less being better."""
        worst = max((tenths for lo, hi, tenths in room.wear if lo < start + length and start < hi), default=0)
        return worst if self.least_worn else -worst

    def lay(self, room: Room, takes: Iterable[int]) -> list[tuple[int, int]] | None:
        """Takes laid one after another: (take, start) of each; None where they do not fit."""
        at = room.lo
        laid = []
        for take in takes:
            start = self.start(room, at, self.lengths[take])
            if start is None:
                return None
            laid.append((take, start))
            at = start + self.sizes[take]
        return laid


class Laid(NamedTuple):
    """One take laid on a reel. start: of its footprint."""

    take: int
    reel: str
    start: int


Places = tuple[Laid, ...]
"""Where all takes lie, in order of take."""

Key = tuple[int, int, int, int, tuple[int, ...], tuple[str, ...], Places]
"""How good a plan is, less being better: reels, batches, wipes, wear, days acquired, reel numbers, places."""


def key_of(task: Task, options: Sequence[Option], places: Places, score: int) -> Key:
    """The whole order of preference. options: the reels used."""
    batches: set[str] = set()
    for option in options:
        batches |= option.batches
    return (
        len(options),
        len(batches),
        sum(option.wipe for option in options),
        score,
        tuple(sorted(option.acquired for option in options)),
        tuple(sorted(option.reel for option in options)),
        places,
    )


def score_of(task: Task, options: Iterable[Option], places: Places) -> int:
    """The wear under all takes laid."""
    rooms = {option.reel: option.rooms for option in options}
    total = 0
    for take, reel, start in places:
        room = next(room for room in rooms[reel] if room.lo <= start < room.hi)
        total += task.score(room, start, task.lengths[take])
    return total


def task_of(request: Request, rules: Rules) -> Task:
    """What a request asks to be packed."""
    return Task(
        tuple(print_.length for print_ in footprints(request, rules)),
        gap(request, rules),
        not request.any_order,
        rules.number("splices_scratch"),
        request.grade == "critical",
    )


def option_of(candidate: Candidate, task: Task) -> Option:
    """A candidate as packing sees it."""
    rooms = []
    for free in candidate.stretches:
        inside = tuple(at for at in candidate.crossed if free.lo <= at < free.hi)
        rooms.append(
            Room(
                free.lo,
                free.hi,
                tuple(part for part in candidate.wear if part[0] < free.hi and free.lo < part[1]),
                inside if len(inside) > task.most_splices else (),
            )
        )
    return Option(
        candidate.reel,
        candidate.formulation,
        frozenset(batch if batch is not None else f"\0{candidate.reel}" for batch in candidate.batches),
        candidate.wipe is not None,
        UNDATED if candidate.acquired is None else candidate.acquired,
        tuple(rooms),
    )


def simple(option: Option, task: Task) -> Option:
    """A reel whose rooms hold whatever fits by its sum: those with many splices are parted at some of them."""
    if not any(room.splices for room in option.rooms):
        return option
    rooms = []
    for room in option.rooms:
        lo = room.lo
        for at in room.splices[task.most_splices :: task.most_splices + 1]:
            if at > lo:
                rooms.append(Room(lo, at, room.wear))
            lo = at + max(task.gap, 1)
        if lo < room.hi:
            rooms.append(Room(lo, room.hi, room.wear))
    return option._replace(rooms=tuple(rooms))
