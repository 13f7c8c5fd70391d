"""The reels a plan prefers where there are too many sets of them to look at all: exchange by exchange, always alike."""

from __future__ import annotations

from collections.abc import Sequence

from stock.planning.fill import Packing, pack, places_of
from stock.planning.model import Key, Option, Task, key_of, score_of, simple
from stock.planning.ordered import Shape, fewest_in_order

MOST_PACKINGS = 240
MOST_LAID = 6_000
"""How many packings are tried, and how many takes are laid in them."""
STEPS = 2_000


class Chooser:
    """Looks for better sets of so many reels. simple: each reel with rooms that hold whatever fits by its sum."""

    def __init__(self, task: Task, options: Sequence[Option], packing: Packing) -> None:
        self.task = task
        self.options = options
        self.reels = len(packing)
        self.left = min(MOST_PACKINGS, MOST_LAID // len(task.lengths))
        self._reach: dict[Shape, list[int]] = {}
        self.best = self._key(packing)
        self._simple = {option.reel: option if task.ordered else simple(option, task) for option in options}

    def _key(self, packing: Packing) -> Key:
        places = places_of(self.task, packing)
        used = [option for option, _ in packing]
        return key_of(self.task, used, places, score_of(self.task, used, places))

    def _try(self, chosen: Sequence[Option]) -> Key | None:
        """The plan on these reels, where one is found soon."""
        if sum(map(self.task.space, chosen)) < sum(self.task.sizes):
            return None
        self.left -= 1
        rooms = [self._simple[option.reel] for option in chosen]
        if self.task.ordered:
            found = fewest_in_order(self.task, rooms, STEPS, self._reach)
            packing = found.packing if found is not None else None
        else:
            packing = pack(self.task, rooms, 1)
        return None if packing is None else self._key(packing)

    def _liking(self, option: Option) -> tuple[bool, int, int, str]:
        worst = max((part[2] for room in option.rooms for part in room.wear), default=0)
        return option.wipe, worst if self.task.least_worn else -worst, option.acquired, option.reel

    def choose(self) -> Key:
        """The best plan found."""
        by_batch: dict[str, list[Option]] = {}
        for option in self.options:
            if len(option.batches) == 1:
                by_batch.setdefault(next(iter(option.batches)), []).append(option)
        groups = [group for group in by_batch.values() if self._may_hold(group)]
        for group in sorted(groups, key=self._at_best):
            if self._at_best(group) >= self.best[1:5] or self.left <= 0:
                break
            self._within(group)
        if self.best[1] > 1:
            self._few_batches(list(by_batch.values()))
            used = set(self.best[5])
            self._exchange([option for option in self.options if option.reel in used], self.options)
        return self.best

    def _may_hold(self, group: list[Option]) -> bool:
        spaces = sorted(map(self.task.space, group), reverse=True)
        return len(group) >= self.reels and sum(spaces[: self.reels]) >= sum(self.task.sizes)

    def _at_best(self, group: list[Option]) -> tuple[int, int, int, tuple[int, ...]]:
        """What the key of a plan on reels of one batch is at least."""
        wipes = sum(sorted(option.wipe for option in group)[: self.reels])
        wear = [part[2] for option in group for room in option.rooms for part in room.wear] or [0]
        each = min(wear) if self.task.least_worn else -max(wear)
        return 1, wipes, each * len(self.task.lengths), tuple(sorted(o.acquired for o in group)[: self.reels])

    def _take(self, key: Key | None) -> bool:
        if key is None or key >= self.best:
            return False
        self.best = key
        return True

    def _within(self, group: Sequence[Option]) -> None:
        """The best plan on reels of a group: its most liked, or its roomiest with liked ones put in their place."""
        liked = sorted(group, key=self._liking)[: self.reels]
        key = self._try(liked)
        if key is not None:
            self._take(key)
            return
        roomy = sorted(group, key=lambda option: (-self.task.space(option), self._liking(option)))[: self.reels]
        key = self._try(roomy)
        if key is not None:
            self._exchange(roomy, group, key)

    def _exchange(self, chosen: Sequence[Option], group: Sequence[Option], key: Key | None = None) -> None:
        """Put liked reels in the place of less liked ones as long as the plan gets better."""
        current = key or self.best
        mine = sorted(chosen, key=self._liking, reverse=True)
        for other in sorted(group, key=self._liking)[: 4 * self.reels + 20]:
            if other in mine:
                continue
            for number, held in enumerate(mine):
                if self.left <= 0:
                    break
                if self._liking(other) > self._liking(held) and other.batches <= held.batches:
                    continue
                found = self._try([*mine[:number], other, *mine[number + 1 :]])
                if found is not None and found < current:
                    current = found
                    mine[number] = other
                    mine.sort(key=self._liking, reverse=True)
                    break
        self._take(current)

    def _few_batches(self, groups: list[list[Option]]) -> None:
        """The roomiest batches together, as many as it takes."""
        groups.sort(key=lambda g: (-sum(sorted(map(self.task.space, g), reverse=True)[: self.reels]), g[0].reel))
        together: list[Option] = []
        for count, group in enumerate(groups[: self.best[1] - 1], start=1):
            together += group
            if count > 1 and self._may_hold(together) and self.left > 0:
                before = self.best
                self._within(together)
                if self.best is not before:
                    return
