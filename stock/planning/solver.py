"""The hard part of packing, asked of a process that is ended when its time is up."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from typing import Any

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
    for answer in _answers(json.dumps(question), limit_s):
        if "bound" in answer:
            bound = max(bound, int(answer["bound"]))
        else:
            found = _assigned(task, options, answer["rooms"])
            if found is not None and len(found) < most:
                packing, most = found, len(found)
    return packing, bound


def _answers(question: str, limit_s: float) -> list[Any]:
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(path for path in sys.path if path),
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
    }
    command = [sys.executable, "-m", "stock.planning.hard"]
    with subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=environment,
        text=True,
    ) as process:
        try:
            written, _ = process.communicate(question, timeout=max(limit_s, 0.05))
        except subprocess.TimeoutExpired:
            process.kill()
            written, _ = process.communicate()
        except BaseException:
            process.kill()
            raise
    answers = []
    for line in written.splitlines():
        try:
            answers.append(json.loads(line))
        except json.JSONDecodeError:
            # the process was ended in the middle of its last line
            break
    return answers


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
