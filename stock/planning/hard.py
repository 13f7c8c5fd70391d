"""The hard part of packing in any order, as a program of its own that whoever started it may end at any moment.

    python -m stock.planning.hard < question > answers

The question is one JSON object: sizes of the takes, capacities of each reel's rooms, a number of reels that is needed
at least, and a packing known already. Each line of the answers is a better bound, or a packing with fewer reels.

Patterns (what goes into one room) are made as a linear programme asks for them (Gilmore and Gomory, Operations
Research 9, 1961; from memory), for as many of the roomiest reels as the bound says. Where those do not do, the
programme's prices prove that one reel more is needed; where they do, patterns are fixed one after another, and at last
an integer programme chooses among all of them.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from math import gcd
from random import Random
from typing import Any, NamedTuple

import numpy as np
from scipy import sparse  # type: ignore[import-untyped]
from scipy.optimize import Bounds, LinearConstraint, linprog, milp  # type: ignore[import-untyped]

from stock.planning.bounds import Shape, reels_for
from stock.planning.fill import pack
from stock.planning.model import Option, Room, Task

MOST_UNITS = 30_000
MOST_COLUMNS = 12_000
ROUNDS = 60
PRICE = 1 << 20
"""Prices are made whole numbers of this part, so that the bound they prove is exact."""

Pattern = tuple[int, ...]
"""The kinds of take in one room, sorted; a kind is as often there as takes of it."""


class Column(NamedTuple):
    """A pattern for rooms of one class."""

    room: int
    pattern: Pattern


class Question(NamedTuple):
    """sizes: of the takes. reels: capacities of each reel's rooms, roomiest reel first. bound, most: reels needed, had.

    known: patterns of a packing found before, each with the capacity of its room.
    """

    sizes: list[int]
    reels: list[list[int]]
    bound: int
    most: int
    known: list[tuple[int, list[int]]]


class Solver:
    """Columns for so many of the roomiest reels, and the linear programme over them."""

    def __init__(self, question: Question) -> None:
        self.question = question
        widest = max(capacity for reel in question.reels for capacity in reel)
        exact = gcd(*question.sizes)
        self.unit = exact if widest // exact <= MOST_UNITS else -(-widest // MOST_UNITS)
        self.kinds = sorted({-(-size // self.unit) for size in question.sizes}, reverse=True)
        number = {size: kind for kind, size in enumerate(self.kinds)}
        self.kind_of = [number[-(-size // self.unit)] for size in question.sizes]
        self.demand = np.bincount(self.kind_of, minlength=len(self.kinds))
        self.columns: dict[Column, None] = {}
        self.shapes: Counter[Shape] = Counter(tuple(sorted(reel, reverse=True)) for reel in question.reels)

    def aim(self, reels: int) -> None:
        """Aim at a number of reels: the rooms of the roomiest."""
        rooms = Counter(c // self.unit for reel in self.question.reels[:reels] for c in reel)
        self.classes = sorted((c for c in rooms if c >= self.kinds[-1]), reverse=True)
        self.rooms = np.array([rooms[c] for c in self.classes])
        self.columns = {c: None for c in self.columns if c.room in self.classes}
        for capacity, takes in self.question.known:
            if capacity // self.unit in self.classes:
                self.columns[Column(capacity // self.unit, tuple(sorted(self.kind_of[take] for take in takes)))] = None

    def programme(self, demand: Any, rooms: Any, columns: list[Column]) -> tuple[Any, float, Any, Any]:
        """The least tape of takes left over: how often each column, that tape, prices of the kinds and of the rooms."""
        matrix = self._matrix(columns)
        kinds = len(self.kinds)
        slack = sparse.vstack([-sparse.identity(kinds), sparse.csr_matrix((len(rooms), kinds))])
        cost = np.concatenate([np.zeros(len(columns)), np.array(self.kinds, dtype=float)])
        limits = np.concatenate([-demand, rooms]).astype(float)
        result = linprog(cost, A_ub=sparse.hstack([matrix, slack], format="csc"), b_ub=limits, method="highs-ds")
        prices = -result.ineqlin.marginals
        return result.x[: len(columns)], result.fun, prices[:kinds], prices[kinds:]

    def _matrix(self, columns: list[Column]) -> Any:
        """Rows: kinds (below zero, so that they are covered), then classes of rooms."""
        place = {room: len(self.kinds) + number for number, room in enumerate(self.classes)}
        rows: list[int] = []
        cols: list[int] = []
        values: list[int] = []
        for number, column in enumerate(columns):
            for kind, count in Counter(column.pattern).items():
                rows.append(kind)
                cols.append(number)
                values.append(-count)
            rows.append(place[column.room])
            cols.append(number)
            values.append(1)
        return sparse.csc_matrix((values, (rows, cols)), shape=(len(self.kinds) + len(self.classes), len(columns)))

    def grow(self, demand: Any, prices: Any, of_rooms: Any) -> int:
        """Add the columns that are worth more than their room's price; how many were added."""
        before = len(self.columns)
        if not len(self.classes):
            return 0
        items = [kind for kind, count in enumerate(demand) for _ in range(count) if prices[kind] > 1e-9]
        best, chosen = self._knapsack(items, prices)
        for number, room in enumerate(self.classes):
            floor = of_rooms[number] + 1e-7 * max(1.0, best[room])
            if best[room] <= floor:
                continue
            self.columns[Column(room, self._trace(items, chosen, room))] = None
            for kind in dict.fromkeys(items):
                rest = room - self.kinds[kind]
                if rest >= 0 and prices[kind] + best[rest] > floor:
                    pattern = tuple(sorted((kind, *self._trace(items, chosen, rest))))
                    if pattern.count(kind) <= demand[kind]:
                        self.columns[Column(room, pattern)] = None
        return len(self.columns) - before

    def _knapsack(self, items: list[int], prices: Any) -> tuple[Any, list[Any]]:
        """The most worth for each capacity, and for each item where it is part of that."""
        best = np.zeros(self.classes[0] + 1)
        chosen = []
        for kind in items:
            size = self.kinds[kind]
            taken = np.zeros(len(best), dtype=bool)
            if size < len(best):
                with_it = best[:-size] + prices[kind]
                np.greater(with_it, best[size:] + 1e-12, out=taken[size:])
                np.maximum(best[size:], with_it, out=best[size:])
            chosen.append(taken)
        return best, chosen

    def _trace(self, items: list[int], chosen: list[Any], capacity: int) -> Pattern:
        pattern = []
        for number in range(len(items) - 1, -1, -1):
            if chosen[number][capacity]:
                pattern.append(items[number])
                capacity -= self.kinds[items[number]]
        return tuple(sorted(pattern))

    def bound(self, prices: Any) -> int:
        """The reels that are needed at least by these prices, over all reels; exact, whatever the prices are."""
        worth = [int(max(price, 0.0) / max(self.kinds[0], 1) * PRICE) for price in prices]
        widest = max(capacity for reel in self.question.reels for capacity in reel)
        best = np.zeros(widest // self.unit + 1, dtype=np.int64)
        for size, kind in zip(self.question.sizes, self.kind_of, strict=True):
            # rounded down, a take is nowhere held to need more than it does
            units = size // self.unit
            if worth[kind] and units < len(best):
                best[units:] = np.maximum(best[units:], best[: len(best) - units] + worth[kind])
        total = sum(worth[kind] for kind in self.kind_of)
        return reels_for(total, self.shapes, lambda c: int(best[c // self.unit])) or len(self.question.reels) + 1


def improve(question: Question) -> Iterator[dict[str, Any]]:
    """Better bounds and packings, as they are found."""
    solver = Solver(question)
    reels = question.bound
    while reels < question.most:
        solver.aim(reels)
        bound, left = reels, 1.0
        for _ in range(ROUNDS):
            columns = list(solver.columns)
            _, left, prices, of_rooms = solver.programme(solver.demand, solver.rooms, columns)
            if left < 1e-6 or len(columns) > MOST_COLUMNS:
                break
            bound = max(bound, solver.bound(prices))
            if bound > reels or not solver.grow(solver.demand, prices, of_rooms):
                break
        if bound > reels:
            reels = bound
            yield {"bound": bound}
            continue
        rooms = _dive(solver, Random(reels)) if left < 1e-6 else None
        rooms = rooms if rooms is not None else _choose(solver)
        if rooms is not None:
            yield {"rooms": rooms}
            return
        reels += 1


def _dive(solver: Solver, random: Random) -> list[tuple[int, list[int]]] | None:
    """Fix patterns as the programme has them most, ever again with what is left; then fill the rest by sums."""
    for attempt in range(8):
        demand, rooms = solver.demand.copy(), solver.rooms.copy()
        fixed: list[Column] = []
        while True:
            rest = _fill_rest(solver, demand, rooms)
            if rest is not None:
                return _with_takes(solver, [*fixed, *rest])
            columns = [c for c in solver.columns if _fits(c, demand, rooms, solver.classes)]
            for _ in range(6):
                use, left, prices, of_rooms = solver.programme(demand, rooms, columns)
                before = len(solver.columns)
                if left < 1e-6 or not solver.grow(demand, prices, of_rooms):
                    break
                columns += list(solver.columns)[before:]
            if not columns or left > 1e-6:
                break
            fixed += _fix(solver, columns, use, demand, rooms, random if attempt else None)
    return None


def _fits(column: Column, demand: Any, rooms: Any, classes: list[int]) -> bool:
    return rooms[classes.index(column.room)] > 0 and all(
        count <= demand[kind] for kind, count in Counter(column.pattern).items()
    )


def _fix(
    solver: Solver, columns: list[Column], use: Any, demand: Any, rooms: Any, random: Random | None
) -> list[Column]:
    """Take the whole parts, or where there are none the largest part; demand and rooms are lessened in place."""
    fixed: list[Column] = []
    weights = [part + (random.random() * 0.3 if random is not None else 0.0) for part in use]
    order = sorted((number for number, part in enumerate(use) if part > 1e-6), key=lambda n: (-weights[n], n))
    for number in order:
        column, times = columns[number], int(use[number] + 1e-6)
        if not times and not fixed:
            times = 1
        for _ in range(times):
            if not _fits(column, demand, rooms, solver.classes):
                break
            fixed.append(column)
            rooms[solver.classes.index(column.room)] -= 1
            for kind in column.pattern:
                demand[kind] -= 1
    return fixed


def _fill_rest(solver: Solver, demand: Any, rooms: Any) -> list[Column] | None:
    kinds = [kind for kind, count in enumerate(demand) for _ in range(count)]
    if not kinds:
        return []
    task = Task(tuple(solver.kinds[kind] for kind in kinds), 0, False, 0, False)
    options = [
        Option(f"{number:05d}", None, frozenset(), False, 0, (Room(0, room, ()),))
        for number, room in enumerate(
            room for room, count in zip(solver.classes, rooms, strict=True) for _ in range(count)
        )
    ]
    packing = pack(task, options, 6)
    if packing is None:
        return None
    return [
        Column(option.rooms[0].hi, tuple(sorted(kinds[take] for take in takes[0])))
        for option, takes in packing
        if takes[0]
    ]


def _choose(solver: Solver) -> list[tuple[int, list[int]]] | None:
    """An integer programme over all columns found."""
    columns = list(solver.columns)
    if not columns or len(columns) > MOST_COLUMNS:
        return None
    matrix = solver._matrix(columns)
    limits = np.concatenate([-solver.demand, solver.rooms]).astype(float)
    result = milp(
        np.zeros(len(columns)),
        constraints=LinearConstraint(matrix, ub=limits),
        integrality=np.ones(len(columns)),
        bounds=Bounds(0, float(solver.rooms.max())),
        options={"time_limit": 60.0},
    )
    if result.x is None:
        return None
    used = [column for column, times in zip(columns, result.x, strict=True) for _ in range(round(times))]
    return _with_takes(solver, used)


def _with_takes(solver: Solver, used: Sequence[Column]) -> list[tuple[int, list[int]]]:
    """Rooms of class capacities with takes in place of kinds; a take covered twice stays where it was first."""
    takes: dict[int, list[int]] = {}
    for take, kind in enumerate(solver.kind_of):
        takes.setdefault(kind, []).append(take)
    rooms = []
    for column in used:
        mine = [takes[kind].pop() for kind in column.pattern if takes[kind]]
        rooms.append((column.room * solver.unit, mine))
    return rooms


def main() -> None:
    """Read the question, and write answers as they come."""
    asked = json.load(sys.stdin)
    for answer in improve(Question(**asked)):
        sys.stdout.write(json.dumps(answer) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
