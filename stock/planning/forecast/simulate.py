"""The forecast: projects recorded in many trials, reels flowing, and what must be bought with its odds.

A trial draws what chance decides of every project, lays its takes on reels in the order of recording, draws the reels
from the shelf and buys what is not there. The same question with the same seed gives the same numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import accumulate

import numpy as np
import numpy.typing as npt

from stock.core.measure import time_of
from stock.core.rules import Rules
from stock.planning.forecast import drawing
from stock.planning.forecast.ahead import Ahead, Question, Shelf
from stock.planning.forecast.answer import Forecast, ReelFlow, Spans
from stock.planning.forecast.flow import Flow, Week
from stock.planning.forecast.laying import Floats, Ints, Measures
from stock.planning.forecast.sessions import Recorded, record
from stock.planning.need import Need

Watch = Callable[[str, Flow, Week], None]
"""Sees the state of every trial at each week's end: the stock item, the flow, the week."""


def forecast(question: Question, rules: Rules, service: int, watch: Watch | None = None) -> Forecast:
    """Answer a question for every shelf in it. service: the service level, thousandths."""
    trials, seed = question.trials, question.seed
    factor = drawing.common_factor(seed, trials, rules.number("common_factor"))
    needs: list[Need] = []
    flows: list[ReelFlow] = []
    too_long: dict[str, float] = {}
    last_day = question.weeks[-1] + 6
    for shelf in question.shelves:
        recorded: list[tuple[Ahead, Recorded]] = []
        for project in question.projects:
            if project.stock_item != shelf.stock_item or project.first > last_day:
                continue
            on = drawing.happens(project, seed, trials)
            measures = Measures.of(shelf.length, project.speed, rules)
            found = record(project, measures, rules.number("leftover_reels"), question.today, seed, factor, on)
            recorded.append((project, found))
            share = float(found.too_long.mean())
            if share:
                too_long[project.project] = share
        tally = _Tally(shelf, recorded, question, service)
        flow = Flow(trials, shelf.pools, rules)
        for week in flow.run(recorded, question.weeks):
            tally.count(week)
            if watch is not None:
                watch(shelf.stock_item, flow, week)
        needs.append(tally.need())
        flows.append(tally.flow(flow.started))
    return Forecast(tuple(needs), tuple(flows), too_long)


_FLOWS = ("shelf", "out", "waiting", "retired", "back", "opened")


class _Tally:
    """Gathers the quantiles of one stock item, week by week."""

    def __init__(
        self, shelf: Shelf, recorded: Sequence[tuple[Ahead, Recorded]], question: Question, service: int
    ) -> None:
        self._shelf, self._question = shelf, question
        self._service = service / 1000
        self._reel_us = {project.project: time_of(shelf.length, project.speed) for project, _ in recorded}
        self._on = {
            project.project: drawing.happens(project, question.seed, question.trials) for project, _ in recorded
        }
        self._bought: list[npt.NDArray[np.int32]] = []
        self._minutes: list[int] = []
        self._by_minutes: list[int] = []
        self._short: list[float] = []
        self._spans: dict[str, list[tuple[int, int, int]]] = {name: [] for name in _FLOWS}
        self._arrived: list[int] = []
        self._by_project: dict[str, list[int]] = {project.project: [] for project, _ in recorded}
        self._last: dict[str, Ints] = {}
        self._whole: dict[str, Ints] = {}
        self._played: dict[str, Floats] = {}

    def count(self, week: Week) -> None:
        """Note one week; the weeks come in order."""
        self._bought.append(np.sort(week.bought))
        self._arrived.append(sum(order.count for order in self._shelf.on_order if order.day <= week.start + 6))
        ready = sum(order.count for order in self._shelf.on_order if order.day <= week.start)
        self._short.append(float((week.bought > ready).mean()))
        for name in _FLOWS:
            self._spans[name].append(_three(np.sort(getattr(week, name))))
        by_minutes = np.zeros(self._question.trials, dtype=np.int32)
        for name, medians in self._by_project.items():
            reels = week.by_project.get(name)
            if reels is None:
                medians.append(0)
                continue
            if reels is not self._last.get(name):
                self._last[name] = reels
                own = reels[self._on[name]]
                medians.append(_quantile(np.sort(own), 0.5) if own.size else 0)
                self._whole[name] = np.ceil(week.played_us[name] / self._reel_us[name]).astype(np.int32)
            else:
                medians.append(medians[-1])
            by_minutes += self._whole[name]
        self._by_minutes.append(_quantile(np.sort(by_minutes), 0.5))
        spared = np.maximum(week.bought - (week.opened - by_minutes), 0)
        self._minutes.append(_quantile(np.sort(spared), 0.5))

    def need(self) -> Need:
        """The need of all weeks noted."""
        p10, p50, p90, service = (
            _rising(_quantile(drawn, share) for drawn in self._bought) for share in (0.1, 0.5, 0.9, self._service)
        )
        return Need(
            self._shelf.stock_item,
            self._question.weeks,
            p10,
            p50,
            p90,
            service,
            _rising(self._minutes),
            tuple(self._short),
            {name: tuple(medians) for name, medians in self._by_project.items()},
            tuple(_standard_error(drawn, 0.9) for drawn in self._bought),
        )

    def flow(self, started: int) -> ReelFlow:
        """Where the reels were in all weeks noted."""
        shelf, out, waiting, retired, back, opened = (
            Spans(*(tuple(values) for values in zip(*self._spans[name], strict=True))) for name in _FLOWS
        )
        return ReelFlow(
            self._shelf.stock_item,
            self._question.weeks,
            shelf,
            out,
            waiting,
            retired,
            back,
            opened,
            tuple(self._by_minutes),
            tuple(self._arrived),
            started,
        )


def _quantile(ordered: Ints, share: float) -> int:
    """The least value that at least such a share of the trials does not exceed."""
    return int(ordered[max(int(np.ceil(share * len(ordered) - 1e-9)) - 1, 0)])


def _three(ordered: Ints) -> tuple[int, int, int]:
    return _quantile(ordered, 0.1), _quantile(ordered, 0.5), _quantile(ordered, 0.9)


def _rising(values: Iterable[int]) -> tuple[int, ...]:
    """The running maximum."""
    return tuple(accumulate(values, max))


def _standard_error(ordered: Ints, share: float) -> float:
    """The standard error of a quantile, from the order statistics one binomial standard deviation either side of it."""
    trials = len(ordered)
    deviation = (share * (1 - share) / trials) ** 0.5
    low, high = _quantile(ordered, share - deviation), _quantile(ordered, min(share + deviation, 1.0))
    return (high - low) / 2
