"""The best plan in the whole order of preference, by looking at every set of reels that could be it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import comb
from typing import NamedTuple

from stock.planning.model import Key, Laid, Option, Places, Room, Task

MOST_TAKES = 7
MOST_TAKES_ORDERED = 24
MOST_SETS = 20_000
MOST_WORK = 4_000_000

Starts = tuple[tuple[int, int], ...]
"""(take, start of its footprint), in order of take."""
Fill = tuple[int, Starts]
"""The best way to lay some takes on one reel: its wear and where they lie. The lesser is the better."""
Table = dict[int, Fill]
"""The best fills of a reel, by the takes laid on it: a mask."""


class Found(NamedTuple):
    """The best plan with so many reels; None where there is none. settled: False where the work ran out first."""

    key: Key | None
    settled: bool


class Search:
    """A search for the best plan over some reels; its tables are kept from one number of reels to the next."""

    def __init__(self, task: Task, options: Sequence[Option]) -> None:
        self.task = task
        self.options = options
        self.work = 0
        self._tables: dict[tuple[Room, ...], Table] = {}
        self._everything = (1 << len(task.lengths)) - 1

    def best(self, reels: int) -> Found:
        """The best plan with just so many reels, where none with fewer is possible."""
        most_takes = MOST_TAKES_ORDERED if self.task.ordered else MOST_TAKES
        pool = _least_of_alike(self.options, reels)
        if reels > len(pool):
            return Found(None, True)
        if len(self.task.lengths) > most_takes or comb(len(pool), reels) > MOST_SETS:
            return Found(None, False)
        # takes in order are laid set by set of the reels used so far, and there are 2 to the number of reels of those
        if self.task.ordered and (reels << reels) * len(self.task.lengths) > MOST_WORK:
            return Found(None, False)
        sets = sorted((self._bound(chosen), chosen) for chosen in combinations(pool, reels))
        best: Key | None = None
        for bound, chosen in sets:
            if best is not None and bound > best[1:6]:
                break
            if self.work > MOST_WORK:
                return Found(best, False)
            found = self._fill(chosen)
            if found is not None:
                key: Key = (reels, bound[0], bound[1], found[0], bound[3], bound[4], found[1])
                best = key if best is None else min(best, key)
        return Found(best, True)

    def _bound(self, chosen: Sequence[Option]) -> tuple[int, int, int, tuple[int, ...], tuple[str, ...]]:
        """What the key of a plan on these reels is at least, its places left out."""
        batches: set[str] = set()
        for option in chosen:
            batches |= option.batches
        wear = [part[2] for option in chosen for room in option.rooms for part in room.wear] or [0]
        each = min(wear) if self.task.least_worn else -max(wear)
        return (
            len(batches),
            sum(option.wipe for option in chosen),
            each * len(self.task.lengths),
            tuple(sorted(option.acquired for option in chosen)),
            tuple(sorted(option.reel for option in chosen)),
        )

    def _fill(self, chosen: Sequence[Option]) -> tuple[int, Places] | None:
        """The best way to lay all takes on these reels."""
        if sum(map(self.task.space, chosen)) < sum(self.task.sizes):
            return None
        tables = [self._table(option.rooms) for option in chosen]
        return (self._in_order if self.task.ordered else self._any_order)(chosen, tables)

    def _any_order(self, chosen: Sequence[Option], tables: list[Table]) -> tuple[int, Places] | None:
        done: dict[int, tuple[int, Places]] = {0: (0, ())}
        for option, table in zip(chosen, tables, strict=True):
            after = dict(done)
            for mask, (score, places) in done.items():
                for more, (extra, starts) in table.items():
                    self.work += 1
                    if mask & more or score + extra > after.get(mask | more, (score + extra,))[0]:
                        continue
                    laid = _merged(places, option.reel, starts)
                    held = after.get(mask | more)
                    if held is None or (score + extra, laid) < held:
                        after[mask | more] = score + extra, laid
            done = after
        return done.get(self._everything)

    def _in_order(self, chosen: Sequence[Option], tables: list[Table]) -> tuple[int, Places] | None:
        """Takes in order: by the reels used so far, and how many takes lie on them."""
        done: dict[tuple[int, int], tuple[int, Places]] = {(0, 0): (0, ())}
        for used in range(1 << len(chosen)):
            for first in range(len(self.task.lengths)):
                held = done.get((used, first))
                if held is None:
                    continue
                for number, (option, table) in enumerate(zip(chosen, tables, strict=True)):
                    if used >> number & 1:
                        continue
                    mask = 0
                    for last in range(first, len(self.task.lengths)):
                        self.work += 1
                        mask |= 1 << last
                        fill = table.get(mask)
                        if fill is None:
                            break
                        state = used | 1 << number, last + 1
                        way = held[0] + fill[0], _merged(held[1], option.reel, fill[1])
                        if state not in done or way < done[state]:
                            done[state] = way
        ends = (way for (_, takes), way in done.items() if takes == len(self.task.lengths))
        return min(ends, default=None)

    def _table(self, rooms: tuple[Room, ...]) -> Table:
        if rooms not in self._tables:
            self._tables[rooms] = self._ordered_table(rooms) if self.task.ordered else self._free_table(rooms)
        return self._tables[rooms]

    def _free_table(self, rooms: tuple[Room, ...]) -> Table:
        table: Table = {0: (0, ())}
        for room in rooms:
            fills = self._room(room)
            after = dict(table)
            for mask, (score, starts) in table.items():
                for more, (extra, others) in fills.items():
                    self.work += 1
                    if not mask & more:
                        _keep(after, mask | more, score + extra, starts, others)
            table = after
        del table[0]
        return table

    def _room(self, room: Room) -> Table:
        """The best fills of one room, takes in any order; splices make where it ends depend on that order."""
        task = self.task
        ways: dict[int, dict[int, Fill]] = {0: {room.lo: (0, ())}}
        for mask in range(self._everything + 1):
            for at, (score, starts) in ways.get(mask, {}).items():
                for take, length in enumerate(task.lengths):
                    if mask >> take & 1:
                        continue
                    self.work += 1
                    start = task.start(room, at, length)
                    if start is not None:
                        extra = task.score(room, start, length)
                        ends = ways.setdefault(mask | 1 << take, {})
                        _keep(ends, start + task.sizes[take], score + extra, starts, ((take, start),))
        return {mask: min(ends.values()) for mask, ends in ways.items() if mask}

    def _ordered_table(self, rooms: tuple[Room, ...]) -> Table:
        """Fills with runs of takes; a later take lies in the same room or a later one."""
        count = len(self.task.lengths)
        table: Table = {}
        for first in range(count):
            upto: dict[int, Fill] = {first: (0, ())}
            for room in rooms:
                after = dict(upto)
                for begun, (score, starts) in upto.items():
                    at, extra, laid = room.lo, 0, ()
                    for take in range(begun, count):
                        self.work += 1
                        start = self.task.start(room, at, self.task.lengths[take])
                        if start is None:
                            break
                        extra += self.task.score(room, start, self.task.lengths[take])
                        laid = (*laid, (take, start))  # type: ignore[assignment]
                        at = start + self.task.sizes[take]
                        _keep(after, take + 1, score + extra, starts, laid)
                upto = after
            for last, fill in upto.items():
                if last > first:
                    table[(1 << last) - (1 << first)] = fill
        return table


def _keep(table: dict[int, Fill], name: int, score: int, starts: Starts, others: Starts) -> None:
    """Put a fill into a table if it is better than the one there."""
    held = table.get(name)
    if held is None or score <= held[0]:
        fill = score, tuple(sorted(starts + others))
        if held is None or fill < held:
            table[name] = fill


def _merged(places: Places, reel: str, starts: Starts) -> Places:
    return tuple(sorted((*places, *(Laid(take, reel, start) for take, start in starts))))


def _least_of_alike(options: Sequence[Option], reels: int) -> list[Option]:
    """Of reels that differ in age and number alone, only the first so many: a plan with others is never better."""
    alike: dict[tuple[object, ...], list[Option]] = {}
    for option in sorted(options, key=lambda option: (option.acquired, option.reel)):
        group = alike.setdefault((option.batches, option.wipe, option.rooms), [])
        if len(group) < reels:
            group.append(option)
    return [option for group in alike.values() for option in group]
