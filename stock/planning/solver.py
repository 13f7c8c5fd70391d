"""The hard part of packing, asked of a process that is ended when its time is up."""

from __future__ import annotations

import json
from collections.abc import Sequence

from stock.planning.apart import answers
from stock.planning.fill import Packing
from stock.planning.model import Option, Task


def improve(
    task: Task, options: Sequence[Option], packing: Packing | None, bound: int, limit_s: float
) -> tuple[Packing | None, int]:
    """A packing with fewer reels and a better bound, as far as the time goes.

    options: roomiest first. packing: the best so far. Without the solver's libraries nothing is found, which is no
    error: the bound then stays as it was.
    """
    capacities = [[task.capacity(room) for room in option.rooms] for option in options]
    most = len(packing) if packing is not None else len(options) + 1
    known = [
        [task.capacity(room), takes]
        for option, rooms in packing or ()
        for room, takes in zip(option.rooms, rooms, strict=True)
        if takes
    ]
    question = {"sizes": task.sizes, "reels": capacities, "bound": bound, "most": most, "known": known}
    for answer in answers("stock.planning.hard", json.dumps(question), limit_s):
        if "bound" in answer:
            bound = max(bound, int(answer["bound"]))
        else:
            found = _assigned(task, options, answer["rooms"])
            if found is not None and len(found) < most:
                packing, most = found, len(found)
    return packing, bound


def _assigned(task: Task, options: Sequence[Option], filled: Sequence[tuple[int, list[int]]]) -> Packing | None:
    """Filled rooms laid on real ones, narrowest that do; None where they do not, or not each take is there once."""
    if sorted(take for _, takes in filled for take in takes) != list(range(len(task.lengths))):
        return None
    reels = 0
    places: list[tuple[int, int, int]] = []
    wanted = sorted(((sum(task.sizes[take] for take in takes), takes) for _, takes in filled if takes), reverse=True)
    while reels < len(options):
        reels += 1
        places = sorted(
            (task.capacity(room), reel, number)
            for reel, option in enumerate(options[:reels])
            for number, room in enumerate(option.rooms)
        )
        if len(places) >= len(wanted):
            laid = _laid(options[:reels], list(places), wanted)
            if laid is not None:
                return laid
    return None


def _laid(
    options: Sequence[Option], places: list[tuple[int, int, int]], wanted: list[tuple[int, list[int]]]
) -> Packing | None:
    packing: Packing = [(option, [[] for _ in option.rooms]) for option in options]
    for size, takes in wanted:
        if not places or places[-1][0] < size:
            return None
        _, reel, number = places.pop()
        packing[reel][1][number] = sorted(takes)
    return [(option, rooms) for option, rooms in packing if any(rooms)]
