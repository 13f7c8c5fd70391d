"""The reels of one stock item in every trial: shelf, out, waiting for proof, back, worn out, bought."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from operator import ge
from typing import NamedTuple

import numpy as np

from stock.core.rules import GRADES, Rules
from stock.planning.forecast.ahead import Ahead, Pool
from stock.planning.forecast.laying import Floats, Ints
from stock.planning.forecast.sessions import Back, Day, Recorded

MOST_WEARS = 64
"""How many different wears are told apart; a further one counts as the next worse there is."""

Event = tuple[int, bool, int, Callable[[], None]]
"""A day, whether it opens reels (reels come back first), a number that keeps the order total, what happens."""


class Wear(NamedTuple):
    """A reel's wear: the best grade it is fit for whatever its wear, thousandths of a pass, wipes."""

    floor: int
    passes: int
    wipes: int


NEW = Wear(0, 0, 0)


class Limits:
    """How much wear each grade bears."""

    def __init__(self, rules: Rules) -> None:
        self._passes = [rules.number(f"passes_{grade}") * 1000 for grade in GRADES]
        self._wipes = [rules.number(f"wipes_{grade}") for grade in GRADES]
        self._known: dict[Wear, int] = {}

    def best(self, wear: Wear) -> int:
        """The best grade the tape is fit for, as its number; one past the last where it is fit for none."""
        if wear not in self._known:
            grades = range(wear.floor, len(GRADES))
            fit = (g for g in grades if wear.passes <= self._passes[g] and wear.wipes <= self._wipes[g])
            self._known[wear] = next(fit, len(GRADES))
        return self._known[wear]


class Held:
    """Reels in every trial, by wear."""

    def __init__(self, trials: int) -> None:
        self.trials = trials
        self.by_wear: dict[Wear, Ints] = {}

    def add(self, wear: Wear, reels: Ints | int) -> None:
        held = self.by_wear.get(wear)
        if held is None:
            held = self.by_wear[wear] = np.zeros(self.trials, dtype=np.int32)
        held += reels

    def take(self, wears: Sequence[Wear], wanted: Ints) -> Iterator[tuple[Wear, Ints]]:
        """Take reels in an order of wears; `wanted` is lessened by what was there."""
        for wear in wears:
            if not wanted.any():
                return
            held = self.by_wear[wear]
            taken = np.minimum(held, wanted)
            if taken.any():
                held -= taken
                wanted -= taken
                if not held.any():
                    del self.by_wear[wear]
                yield wear, taken

    def total(self) -> Ints:
        """How many reels, by trial."""
        total = np.zeros(self.trials, dtype=np.int32)
        for reels in self.by_wear.values():
            total += reels
        return total


class Week(NamedTuple):
    """The state at the end of a week, by trial. The arrays are those of the flow: read them before the next week.

    opened: reels put to use so far. back: reels that came back so far. by_project: reels put to use so far; played_us:
    playing time recorded so far, of the projects that have begun.
    """

    start: int
    shelf: Ints
    out: Ints
    waiting: Ints
    retired: Ints
    bought: Ints
    opened: Ints
    back: Ints
    by_project: dict[str, Ints]
    played_us: dict[str, Floats]


class Flow:
    """The reels of one stock item through all weeks. started: how many there were, on the shelf or due back."""

    def __init__(self, trials: int, pools: Sequence[Pool], rules: Rules) -> None:
        self.trials = trials
        self.limits = Limits(rules)
        self.shelf = Held(trials)
        self.started = sum(pool.count for pool in pools)
        self.out, self.waiting, self.retired, self.bought = (np.zeros(trials, dtype=np.int32) for _ in range(4))
        self.opened, self.back = (np.zeros(trials, dtype=np.int32) for _ in range(2))
        self.by_project: dict[str, Ints] = {}
        self.played_us: dict[str, Floats] = {}
        self._held: dict[str, Held] = {}
        self._due = [pool for pool in pools if pool.back is not None]
        self.out += sum(pool.count for pool in self._due)
        for pool in pools:
            if pool.back is None:
                self._put(Wear(pool.floor, pool.wear, pool.wipes), np.full(trials, pool.count, dtype=np.int32))

    def run(self, recorded: Sequence[tuple[Ahead, Recorded]], weeks: Sequence[int]) -> Iterator[Week]:
        """The weeks in order. recorded: the projects on this stock item."""
        events = sorted(self._events(recorded), key=lambda event: event[:3])
        at = 0
        for start in weeks:
            while at < len(events) and events[at][0] < start + 7:
                events[at][3]()
                at += 1
            yield Week(
                start,
                self.shelf.total(),
                self.out,
                self.waiting,
                self.retired,
                self.bought,
                self.opened,
                self.back,
                self.by_project,
                self.played_us,
            )

    def _events(self, recorded: Sequence[tuple[Ahead, Recorded]]) -> Iterator[Event]:
        """All that happens, in the order it was entered in."""
        number = 0
        for pool in self._due:
            assert pool.back is not None
            yield pool.back, False, (number := number + 1), partial(self._due_back, pool)
        for project, found in recorded:
            for back in found.backs:
                yield back.waits, False, (number := number + 1), partial(self._wait, project, back)
                if back.day is not None:
                    yield back.day, False, (number := number + 1), partial(self._return, project, back)
            for day in found.days:
                yield day.day, True, (number := number + 1), partial(self._open, project, day)

    def _due_back(self, pool: Pool) -> None:
        reels = np.full(self.trials, pool.count, dtype=np.int32)
        self.out -= reels
        self.back += reels
        self._put(Wear(pool.floor, pool.wear, pool.wipes), reels)

    def _open(self, project: Ahead, day: Day) -> None:
        """Draw reels from the shelf, as picking would: for a critical grade the least worn, else the most worn that
        will do; what is not there is bought."""
        name = project.project
        held = self._held.setdefault(name, Held(self.trials))
        wanted = day.opened.copy()
        grade = GRADES.index(project.grade)
        fit = [wear for wear in self.shelf.by_wear if self.limits.best(wear) <= grade]
        fit.sort(key=lambda wear: (wear.passes, wear.wipes, wear.floor), reverse=project.grade != "critical")
        for wear, taken in self.shelf.take(fit, wanted):
            held.add(wear, taken)
        self.bought += wanted
        held.add(NEW, wanted)
        self.out += day.opened
        self.opened += day.opened
        before, played = self.by_project.get(name), self.played_us.get(name)
        self.by_project[name] = day.opened if before is None else before + day.opened
        self.played_us[name] = day.played_us if played is None else played + day.played_us

    def _wait(self, project: Ahead, back: Back) -> None:
        reels = self._all_of(project) if back.reels is None else back.reels
        self.out -= reels
        self.waiting += reels

    def _return(self, project: Ahead, back: Back) -> None:
        held = self._held.get(project.project)
        if held is None:
            return
        wanted = held.total() if back.reels is None else back.reels.copy()
        self.waiting -= wanted
        self.back += wanted
        for wear, taken in list(held.take(sorted(held.by_wear, key=lambda w: (w.passes, w), reverse=True), wanted)):
            self._put(Wear(wear.floor, wear.passes + project.wear, wear.wipes + 1), taken)

    def _all_of(self, project: Ahead) -> Ints:
        held = self._held.get(project.project)
        return held.total() if held is not None else np.zeros(self.trials, dtype=np.int32)

    def _put(self, wear: Wear, reels: Ints) -> None:
        """Put reels on the shelf, or away for good where they are worn out."""
        grade = self.limits.best(wear)
        if grade == len(GRADES):
            self.retired += reels
            return
        shelf = self.shelf.by_wear
        if wear not in shelf and len(shelf) >= MOST_WEARS:
            worse = [w for w in shelf if self.limits.best(w) == grade and all(map(ge, w, wear))]
            wear = min(worse, default=wear, key=lambda w: (w.passes, w.wipes, w.floor))
        self.shelf.add(wear, reels)
