"""Picking reels: what somebody asks read into a request, and the request answered over the whole house."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from stock.core.house import House
from stock.core.kinds import Cell, Field
from stock.core.measure import FOOT, length_of, time_of
from stock.core.picking.candidates import OWN_PROOF, Candidate, Rejected, candidates
from stock.core.picking.counter import Counter, counter_of
from stock.core.picking.ranking import Ranked, rank
from stock.core.picking.request import Request, footprints
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

_TIMES = re.compile(r"(?P<take>.*?)\s*[x×*]\s*(?P<count>[0-9]{1,4})")


SHOWN = 40
"""How many of the ranked reels are got ready for a screen."""


@dataclass
class Picked:
    """The answer to a request. plan: None where nothing fits; then `hints` says what would.

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
    formulations (a list), reels, part_used, any_order. Raises CannotEnter with every problem."""
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
        hints = [] if made is not None else _hints(judge, request, standings, rejected)
        return Picked(request, house, made, found, rejected, ranked, counters, lengths, hints)


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


def _hints(judge: Judge, request: Request, standings: dict[str, Standing], rejected: list[Rejected]) -> list[str]:
    """What would make it fit, the cheapest first."""
    rules = judge.house.rules
    speed = request.speed.actual
    needs = [print_.length for print_ in footprints(request, rules)]
    hints: list[str] = []
    for says, other in _other_ways(request):
        found, _ = candidates(judge, other, standings)
        if plan(found, other, rules) is not None:
            hints.append(f"it would fit {says}")
    loose, _ = candidates(judge, replace(request, takes=(1,)), standings)
    longest = max((free.length for candidate in loose for free in candidate.stretches), default=0)
    most = max(needs)
    if most > longest:
        hints.append(
            f"the take of {clock(request.takes[needs.index(most)])} needs {clock(time_of(most, speed))} with its slate "
            f"and room to run over; the longest free stretch is {clock(time_of(longest, speed))}, short by "
            f"{feet(most - longest)}"
        )
    else:
        hints.append("each take fits somewhere, but there is not room for all of them")
    unproved = [reel for reel in rejected if reel.codes and set(reel.codes) <= _NEAR_PROOF]
    hints += [f"one more proof would free reel {reel.reel}: {', '.join(reel.codes[1:])}" for reel in unproved[:3]]
    hints += _new_reels(judge.house, request, most)
    return hints


_NEAR_PROOF = OWN_PROOF - {"not-transferred", "partly-transferred", "tracks-missing", "format-too-low"} | {"not-clear"}
"""Reasons that a listen, a wait or a checked copy takes away."""


def _other_ways(request: Request) -> Iterator[tuple[str, Request]]:
    """The request as it might be asked instead, what costs least first."""
    if not request.any_order and len(request.takes) > 1:
        yield "in any order", replace(request, any_order=True)
    if request.project and not request.part_used:
        yield "with part-used reels of the project", replace(request, part_used=True)
    if request.reels_most is not None:
        yield "on more reels", replace(request, reels_most=None)
    for grade in GRADES[GRADES.index(request.grade) + 1 :]:
        yield f"for grade {grade}", replace(request, grade=grade)
    if request.formulations:
        yield "on another formulation", replace(request, formulations=())


def _new_reels(house: House, request: Request, most: int) -> list[str]:
    """The stock items of which one new reel would hold the longest take."""
    rules, speed = house.rules, request.speed.actual
    ends = max(length_of(rules.number("unused_head_s"), speed), rules.number("unused_head_length"))
    ends += length_of(rules.number("unused_tail_s"), speed) + length_of(rules.number("tones_s"), speed)
    serve = [
        item
        for item in sorted(house.record.of("stock_items"), key=lambda item: (item.length, item.stock_item))
        if item.entry not in house.record.voided
        and (request.width_um is None or item.width == request.width_um)
        and (not request.formulations or item.formulation in request.formulations)
        and item.length - ends >= most
    ]
    if not serve:
        return ["no stock item entered here is long enough for the longest take"]
    return [f"a new reel of {serve[0].stock_item} ({feet(serve[0].length)}) would hold the longest take"]


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
