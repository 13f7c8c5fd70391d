"""The forecast of a house: what will be needed of each stock item, from its projects, its reels and its orders."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

from stock.core.kinds import Cell, Field
from stock.core.moments import AsOf, date_of
from stock.core.rules import GRADES, Rules
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, DeskError
from stock.desk.on_hand import NotCounted, OnHand, arrivals, on_hand
from stock.desk.projects import project_rows, sort_projects
from stock.desk.purchases import purchases
from stock.edge.cells import CellError, Context, parse, parse_speed
from stock.edge.problems import Problem, shown
from stock.planning.forecast.ahead import MODES, Ahead, Arrival, LeftOut, Mode, Pool, Question, Shelf, weeks_from
from stock.planning.forecast.answer import Forecast
from stock.planning.need import Need

MOST_WEEKS = 520
MOST_TRIALS = 1_000_000
_FEWEST_TRIALS = 100


class NoSuchProject(DeskError):
    code = "no-such-project"
    wording = "there is no project ahead called {project}{near}"
    remedy = "See `reelward forecast` for the projects ahead."


@dataclass(frozen=True)
class Asked:
    """What to forecast; None is the house's rule. speed: of every project, micrometres per second. mode: of every
    project. drop: projects left out. service: thousandths."""

    weeks: int | None = None
    trials: int | None = None
    seed: int | None = None
    service: int | None = None
    drop: tuple[str, ...] = ()
    speed: int | None = None
    mode: Mode | None = None


@dataclass(frozen=True)
class Told:
    """A forecast and what it was made of. lengths: of the stock items' tape. ahead: the projects that count."""

    asked: Asked
    as_of: AsOf
    question: Question
    service: int
    forecast: Forecast
    ahead: tuple[Ahead, ...]
    left_out: tuple[LeftOut, ...]
    not_counted: tuple[NotCounted, ...]

    def shelf(self, stock_item: str) -> Shelf:
        """What there is of a stock item (KeyError if it is not in the forecast)."""
        return {shelf.stock_item: shelf for shelf in self.question.shelves}[stock_item]


def asked_of(cells: Mapping[str, Any], context: Context) -> Asked:
    """What somebody typed: weeks, trials, seed, drop (a list), speed, mode. Raises CannotEnter with every problem."""
    problems: list[Problem] = []

    def count(name: str, least: int, most: int) -> int | None:
        text = str(cells.get(name) or "").strip()
        if not text:
            return None
        expected = f"a whole number, {least} to {most}"
        try:
            value = parse(Field(name, _COUNT, True), text, context)[0]
        except CellError as error:
            problems.append(Problem(name, text, error.expected, str(error)))
            return None
        if not isinstance(value, int) or not least <= value <= most:
            problems.append(Problem(name, text, expected, f"{shown(text)} is out of bounds; {expected} was expected"))
            return None
        return value

    weeks, trials = count("weeks", 1, MOST_WEEKS), count("trials", _FEWEST_TRIALS, MOST_TRIALS)
    seed = count("seed", 0, 2**32 - 1)
    speed: int | None = None
    typed = str(cells.get("speed") or "").strip()
    if typed:
        try:
            speed = parse_speed(typed).actual
        except CellError as error:
            problems.append(Problem("speed", typed, error.expected, str(error)))
    given = str(cells.get("mode") or "").strip().casefold()
    mode = next((mode for mode in MODES if mode == given), None)
    if given and mode is None:
        expected = f"one of {', '.join(MODES)}"
        problems.append(Problem("mode", given, expected, f"{shown(given)} is no mode; {expected} was expected"))
    if problems:
        raise CannotEnter(problems)
    return Asked(weeks, trials, seed, None, tuple(str(name) for name in cells.get("drop") or ()), speed, mode)


_COUNT: Cell = "count"


class Forecaster:
    """Forecasts of one house; what it read it keeps, so that the next question about it is answered sooner.

    going_on: called for every reel that is looked at; what it raises breaks the work off.
    """

    def __init__(self, desk: Desk, going_on: Callable[[], None] | None = None) -> None:
        self._desk = desk
        self._going_on = going_on
        self._mark: tuple[int, int] | None = None

    def _read(self) -> None:
        """Read the house, unless nothing has changed in it."""
        as_of = self._desk.as_of()
        mark = self._desk.store.data_version(), as_of.day
        if mark == self._mark:
            return
        house = self._desk.house()
        with self._desk.store.reading() as reader:
            rows = project_rows(reader)
            bought = purchases(reader, house.calendar, as_of)
        standing = [row for row in house.record.of("stock_items") if row.entry not in house.record.voided]
        self._lengths = {row.stock_item: row.length for row in sorted(standing)}
        self._stock: OnHand = on_hand(house, rows, self._going_on)
        self._coming: dict[str, tuple[Arrival, ...]] = arrivals(bought.coming())
        self._rules: Rules = house.rules
        self._as_of = as_of
        self._rows = rows
        self._mark = mark

    def forecast(self, asked: Asked = Asked()) -> Told:
        """What will be needed. Raises NoSuchProject for a project to drop that is not ahead."""
        self._read()
        rules, day = self._rules, self._as_of.day
        every, left_out = sort_projects(self._rows, day, set(self._lengths), rules)
        _require_known(asked.drop, every, left_out)
        ahead = tuple(_changed(project, asked, rules) for project in every if project.project not in asked.drop)
        left_out += [LeftOut(name, None, "left out on request") for name in sorted({*asked.drop})]
        left_out = [row for row in left_out if row.says == "left out on request" or row.project not in asked.drop]
        weeks = weeks_from(
            day, asked.weeks or _within(rules, "forecast_weeks", 1, MOST_WEEKS), rules.number("week_begins")
        )
        items = sorted({project.stock_item for project in every})
        pools: Mapping[str, tuple[Pool, ...]] = self._stock.pools
        question = Question(
            ahead,
            tuple(Shelf(item, self._lengths[item], pools.get(item, ()), self._coming.get(item, ())) for item in items),
            day,
            weeks,
            asked.trials or _within(rules, "forecast_trials", _FEWEST_TRIALS, MOST_TRIALS),
            rules.number("forecast_seed") if asked.seed is None else asked.seed,
        )
        service = rules.number("service_level") if asked.service is None else asked.service
        from stock.planning.forecast.simulate import forecast  # numpy, only where it is used

        found = forecast(question, rules, service)
        not_counted = tuple(row for row in self._stock.not_counted if row.stock_item in items)
        return Told(asked, self._as_of, question, service, found, ahead, tuple(sorted(left_out)), not_counted)


def needs(desk: Desk, service: int | None = None) -> list[Need]:
    """What the house needs at a service level in thousandths; None is the house's own."""
    return list(Forecaster(desk).forecast(Asked(service=service)).forecast.needs)


def _require_known(drop: Collection[str], ahead: list[Ahead], left_out: list[LeftOut]) -> None:
    known = {*(project.project for project in ahead), *(row.project for row in left_out)}
    for name in drop:
        if name not in known:
            from difflib import get_close_matches

            near = get_close_matches(name, sorted(known), 3)
            raise NoSuchProject(project=shown(name), near=f"; did you mean {', '.join(near)}?" if near else "")


def _within(rules: Rules, name: str, least: int, most: int) -> int:
    """A house rule's value, the nearest that makes sense."""
    return min(max(rules.number(name), least), most)


def _changed(project: Ahead, asked: Asked, rules: Rules) -> Ahead:
    """A project as it is asked about."""
    if asked.speed is not None:
        project = project._replace(speed=asked.speed)
    if asked.mode is not None and asked.mode != project.mode:
        cool = 0 if asked.mode == "through" else rules.number("cooling_days")
        back = 0 if asked.mode == "through" else project.days_back
        project = project._replace(mode=asked.mode, cool_days=cool, days_back=back)
    return project


def standing_words(shelf: Shelf) -> str:
    """What there is of a stock item: `10 on hand (3 critical, 7 standard); 5 due back 2027-03-23`."""
    there = [pool for pool in shelf.pools if pool.back is None]
    words = f"{sum(pool.count for pool in there)} on hand"
    best = [(grade, sum(pool.count for pool in there if pool.floor == at)) for at, grade in enumerate(GRADES)]
    if there:
        words += f" ({', '.join(f'{count} {grade}' for grade, count in best if count)})"
    days = Counter[int]()
    for pool in shelf.pools:
        if pool.back is not None:
            days[pool.back] += pool.count
    for day, count in sorted(days.items()):
        words += f"; {count} due back {date_of(day).isoformat()}"
    for order in shelf.on_order:
        words += f"; {order.count} on order for {date_of(order.day).isoformat()}"
    return words
