"""The order plan as a mixed-integer programme, as a program of its own that whoever started it may end at any moment.

    python -m stock.planning.ordering.hard < question > answers

The question is one JSON object: need (cumulative, by item and week), choices (item, week, case, tiers as first, last,
unit, base; fee, group, month, weight of a reel), budgets (by month) and seconds. Each line of the answers is `short`,
the least sum of reels short by the week, or `cases` of each choice, with `bound` on what it weighs and `proved`.
"""

from __future__ import annotations

import json
import sys
from typing import Any

import numpy as np
from scipy import sparse  # type: ignore[import-untyped]
from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]

THOUSAND = 1000
_OPTIMAL = 0


class Programme:
    """Variables: cases and a yes or no of each tier of each choice, each group's fee, each week's shortage."""

    def __init__(self, question: Any) -> None:
        self.choices = question["choices"]
        self.need = question["need"]
        self.budgets = question["budgets"]
        self.cost: list[float] = []
        self.upper: list[float] = []
        self.whole: list[int] = []
        self._rows: list[tuple[list[tuple[int, float]], float, float]] = []
        self.cells = [[self._tier(choice, tier) for tier in choice["tiers"]] for choice in self.choices]
        for cells in self.cells:
            if len(cells) > 1:
                self._row([(yes, 1) for _, yes in cells], -np.inf, 1)
        self.fees = self._fees()
        self.short = [[self._new(0, np.inf, 0) for _ in weeks] for weeks in self.need] if self.budgets else []
        self._cover()
        self._keep_budgets()

    def _new(self, cost: float, upper: float, whole: int) -> int:
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def _row(self, terms: list[tuple[int, float]], lower: float, upper: float) -> None:
        self._rows.append((terms, lower, upper))

    def _tier(self, choice: Any, tier: Any) -> tuple[int, int]:
        first, last, unit, base = tier
        cases = self._new((unit + choice["weight"] / THOUSAND) * choice["case"], last, 1)
        yes = self._new(base, 1, 1)
        self._row([(cases, 1), (yes, -first)], 0, np.inf)
        self._row([(cases, 1), (yes, -last)], -np.inf, 0)
        return cases, yes

    def _fees(self) -> dict[int, tuple[int, list[tuple[int, float]]]]:
        """The month of each group, and the terms its fee is made of: the largest of its choices' that are taken."""
        groups: dict[int, list[int]] = {}
        for at, choice in enumerate(self.choices):
            if choice["fee"]:
                groups.setdefault(choice["group"], []).append(at)
        found = {}
        for group, members in groups.items():
            month = self.choices[members[0]]["month"]
            if len(members) == 1:
                fee = self.choices[members[0]]["fee"]
                terms = [(yes, float(fee)) for _, yes in self.cells[members[0]]]
                for variable, part in terms:
                    self.cost[variable] += part
                found[group] = month, terms
                continue
            paid = self._new(1, np.inf, 0)
            for at in members:
                fee = self.choices[at]["fee"]
                self._row([(paid, 1), *((yes, -fee) for _, yes in self.cells[at])], 0, np.inf)
            found[group] = month, [(paid, 1.0)]
        return found

    def _cover(self) -> None:
        for item, weeks in enumerate(self.need):
            for week, wanted in enumerate(weeks):
                terms = [
                    (cases, float(choice["case"]))
                    for choice, cells in zip(self.choices, self.cells, strict=True)
                    if choice["item"] == item and choice["week"] <= week
                    for cases, _ in cells
                ]
                if self.short:
                    terms.append((self.short[item][week], 1.0))
                if wanted and (week == len(weeks) - 1 or weeks[week] > (weeks[week - 1] if week else 0) or self.short):
                    self._row(terms, wanted, np.inf)

    def _keep_budgets(self) -> None:
        for month, limit in self.budgets:
            terms: dict[int, float] = {}
            for choice, cells in zip(self.choices, self.cells, strict=True):
                if choice["month"] == month:
                    for (cases, yes), (_, _, unit, base) in zip(cells, choice["tiers"], strict=True):
                        terms[cases] = float(unit * choice["case"])
                        terms[yes] = terms.get(yes, 0) + base
            for paid_in, parts in self.fees.values():
                if paid_in == month:
                    for variable, part in parts:
                        terms[variable] = terms.get(variable, 0) + part
            self._row(list(terms.items()), -np.inf, limit)

    def keep_short(self, most: int) -> None:
        """Let the shortage be no more than that."""
        self._row([(each, 1.0) for weeks in self.short for each in weeks], -np.inf, most)

    def solve(self, cost: list[float], seconds: float) -> Any:
        """The best there is for a cost, as the solver answers it."""
        rows, columns, values = [], [], []
        for row, (terms, _, _) in enumerate(self._rows):
            for column, value in terms:
                rows.append(row)
                columns.append(column)
                values.append(value)
        matrix = sparse.csr_array((values, (rows, columns)), shape=(len(self._rows), len(cost)))
        return milp(
            np.array(cost),
            integrality=np.array(self.whole),
            bounds=Bounds(np.zeros(len(cost)), np.array(self.upper)),
            constraints=LinearConstraint(matrix, [lo for _, lo, _ in self._rows], [hi for _, _, hi in self._rows]),
            options={"time_limit": seconds, "mip_rel_gap": 0},
        )


def answer(question: Any) -> None:
    """Print what is found, best last."""
    programme = Programme(question)
    proved = True
    if programme.short:
        least = [0.0] * len(programme.cost)
        for weeks in programme.short:
            for each in weeks:
                least[each] = 1.0
        found = programme.solve(least, question["seconds"] / 3)
        if found.x is None:
            return
        proved = found.status == _OPTIMAL
        short = round(sum(found.x[each] for weeks in programme.short for each in weeks))
        _say({"short": short, "cases": _cases(programme, found.x), "bound": None, "proved": False})
        programme.keep_short(short)
    found = programme.solve(programme.cost, question["seconds"] * 2 / 3)
    if found.x is not None:
        bound = getattr(found, "mip_dual_bound", None)
        optimal = proved and found.status == _OPTIMAL
        _say({"cases": _cases(programme, found.x), "bound": bound if proved else None, "proved": optimal})


def _cases(programme: Programme, x: Any) -> list[int]:
    return [sum(round(x[cases]) for cases, _ in cells) for cells in programme.cells]


def _say(line: Any) -> None:
    print(json.dumps(line), flush=True)


if __name__ == "__main__":
    answer(json.load(sys.stdin))
