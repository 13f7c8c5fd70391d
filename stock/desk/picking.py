"""Picking reels: what somebody asks read into a request, and the request answered over the whole house."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from stock.core.house import House
from stock.core.kinds import Cell, Field
from stock.core.measure import FOOT, time_of
from stock.core.picking.candidates import Candidate, Rejected, candidates, formulations_of
from stock.core.picking.counter import Counter, counter_of
from stock.core.picking.ranking import Ranked, rank
from stock.core.picking.request import Request, footprint
from stock.core.picking.standing import Standing, standing
from stock.core.rules import GRADES
from stock.core.verdict import Judge, advise
from stock.core.words import clock, feet
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.edge.cells import CellError, Context, parse, parse_speed
from stock.edge.clock import duration
from stock.edge.problems import Problem, shown
from stock.planning.plan import Placement, Plan, plan
from stock.planning.why_not import Way, WhyNot, why_not_fit

_TIMES = re.compile(r"(?P<take>.*?)\s*[x×*]\s*(?P<count>[0-9]{1,4})")


SHOWN = 40
"""How many of the ranked reels are got ready for a screen."""


@dataclass
class Picked:
    """The answer to a request. plan: None where nothing fits; then `hints` says why, and what would: the `ways`.

    counters: of the reels in the plan and the first ranked, by which their places are read; lengths: of the same.
    """

    request: Request
    house: House
    plan: Plan | None
    candidates: list[Candidate]
    rejected: list[Rejected]
    ranked: list[Ranked]
    counters: dict[str, Counter]
    lengths: dict[str, int]
    hints: list[str]
    ways: tuple[Way, ...]

    def counter_time(self, placement: Placement, at: int) -> str:
        """The counter's reading at a place of a reel in the plan."""
        return clock(self.counters[placement.reel].time_us(at, self.request.speed.nominal))

    def code(self, placement: Placement, at: int) -> str | None:
        """The timecode there, where the reel has a stripe."""
        return self.counters[placement.reel].code(at, self.request.speed.nominal)


def takes_of(texts: Sequence[str]) -> tuple[int, ...]:
    """Playing times in microseconds from `9:00`, `4:30x3`, `9:00 x3, 4:30`; CellError where one cannot be read."""
    takes: list[int] = []
    for text in texts:
        for part in text.split(","):
            if not part.strip():
                continue
            found = _TIMES.fullmatch(part.strip())
            take, count = (found["take"], int(found["count"])) if found else (part, 1)
            takes += [duration(take.strip())] * count
    if not takes or min(takes) <= 0 or len(takes) > 1000:
        raise CellError.of(", ".join(texts), "names no takes", "1 to 1000 playing times", "`9:00` or `4:30x3`")
    return tuple(takes)


def request_of(cells: dict[str, Any], context: Context) -> Request:
    """A request from what somebody typed: takes (a list), speed, width, tracks, largest_reel, grade, project, owner,
    formulations (a list), reels, part_used, any_order, mix. Raises CannotEnter with every problem."""
    problems: list[Problem] = []

    def read(name: str, cell: Cell, required: bool = False) -> Any:
        text = str(cells.get(name) or "")
        try:
            return parse(Field(name, cell, required), text, context)[0]
        except CellError as error:
            problems.append(Problem(name, text, error.expected, str(error)))
        return None

    takes: tuple[int, ...] = ()
    try:
        takes = takes_of(list(cells.get("takes") or []))
    except CellError as error:
        problems.append(Problem("take", "", error.expected, str(error)))
    speed = None
    try:
        speed = parse_speed(str(cells.get("speed") or ""))
    except CellError as error:
        problems.append(Problem("speed", str(cells.get("speed") or ""), error.expected, str(error)))
    width, tracks, largest = read("width", "size"), read("tracks", "count"), read("largest_reel", "size")
    reels = read("reels", "count")
    if reels == 0:
        problems.append(Problem("reels", "0", "at least one reel", "a plan needs at least one reel"))
    grade = str(cells.get("grade") or "standard").strip().casefold()
    if grade not in GRADES:
        expected = f"one of {', '.join(GRADES)}"
        problems.append(Problem("grade", grade, expected, f"{shown(grade)} is no grade; {expected} was expected"))
    if problems or speed is None:
        raise CannotEnter(problems)
    return Request(
        takes,
        speed,
        width,
        tracks,
        largest,
        tuple(str(each) for each in cells.get("formulations") or ()),
        next(each for each in GRADES if each == grade),
        str(cells["project"]) if cells.get("project") else None,
        str(cells.get("owner") or "house"),
        bool(cells.get("part_used")),
        reels,
        bool(cells.get("any_order")),
        bool(cells.get("mix")),
    )


class Picker:
    """Answers requests on one house, and keeps what it worked out as long as nothing changes there."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._mark: tuple[int, int] | None = None
        self._house: House | None = None
        self._standings: dict[int, dict[str, Standing]] = {}

    def pick(self, request: Request) -> Picked:
        """The plan for a request, the reels that may serve and those that may not, as of the desk's moment."""
        mark = self._desk.store.data_version(), self._desk.as_of().day
        if self._house is None or mark != self._mark:
            self._house, self._mark = self._desk.house(), mark
            self._standings.clear()
        house, speed = self._house, request.speed.actual
        judge = Judge(house)
        if speed not in self._standings:
            self._standings[speed] = {answer.reel: standing(answer, speed) for answer in advise(house, speed=speed)}
        standings = self._standings[speed]
        found, rejected = candidates(judge, request, standings)
        made = plan(found, request, house.rules)
        ranked = rank(found, request, house.rules)
        shown = {*(made.reels if made is not None else ()), *(row.candidate.reel for row in ranked[:SHOWN])}
        counters = {reel: counter_of(judge.view(reel)) for reel in sorted(shown)}
        lengths = {reel: standings[reel].length for reel in sorted(shown)}
        why = _why_not(house, request, list(standings.values())) if made is None else None
        hints = _hints(request, house, why) if why is not None else []
        return Picked(request, house, made, found, rejected, ranked, counters, lengths, hints, why.ways if why else ())


def pick(desk: Desk, request: Request) -> Picked:
    """The plan for one request."""
    return Picker(desk).pick(request)


def reserve(desk: Desk, picked: Picked) -> list[int]:
    """Keep the reels of a plan for the project it was asked for; gives the entries. Raises CannotEnter."""
    project = picked.request.project
    if picked.plan is None or project is None:
        raise CannotEnter([Problem("project", "", "the project's name", "a plan and a project are needed to reserve")])
    reserved = {
        (row.reel, row.project) for reel in picked.plan.reels for row in desk.house([reel]).keyed("reservations", reel)
    }
    return [
        desk.add("reservation", {"reel": reel, "project": project}).entries[0]
        for reel in picked.plan.reels
        if (reel, project) not in reserved
    ]


def _why_not(house: House, request: Request, standings: Sequence[Standing]) -> WhyNot:
    voided = house.record.voided
    stock = sorted(
        {item.stock_item: item for item in house.record.of("stock_items") if item.entry not in voided}.values(),
        key=lambda item: item.stock_item,
    )
    return why_not_fit(standings, request, house.rules, formulations_of(house, request), stock)


def _hints(request: Request, house: House, why: WhyNot) -> list[str]:
    """Why nothing fits and what would make it, in words, the cheapest first."""
    room = why.longest[1].length if why.longest is not None else 0
    if why.longest is None:
        hints = ["no reel may serve: each says why not"]
    elif why.too_long:
        speed = request.speed.actual
        take = max(why.too_long, key=lambda each: (request.takes[each], -each))
        need = footprint(request.takes[take], speed, house.rules).length
        says = f"the take of {clock(request.takes[take])} needs {clock(time_of(need, speed))} with its slate and room "
        says += f"to run over; the longest free stretch is {clock(time_of(room, speed))}, on {why.longest[0]}, "
        hints = [f"{says}short by {feet(need - room)}"]
    else:
        hints = ["each take fits somewhere, but there is not room for all of them"]
    return hints + [way.says if way.sure else f"{way.says}: it may prove fit" for way in why.ways]


def placement_json(picked: Picked, placement: Placement) -> dict[str, Any]:
    """One placement: the take's number from 1, the reel, its place in feet and by the counter."""
    return {
        "take": placement.take + 1,
        "reel": placement.reel,
        "start_ft": round(placement.start / FOOT, 4),
        "end_ft": round(placement.end / FOOT, 4),
        "start": picked.counter_time(placement, placement.start),
        "end": picked.counter_time(placement, placement.end),
        "start_code": picked.code(placement, placement.start),
        "margin_s": round(time_of(placement.margin, picked.request.speed.actual) / 1_000_000, 1),
        "passes_max": placement.wear / 10,
        "splice_ft": None if placement.splice is None else round(placement.splice / FOOT, 4),
    }
