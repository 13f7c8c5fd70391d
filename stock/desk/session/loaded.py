"""A reel read for the session log: what runs on it, where its tape stands, and what goes on from take to take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from stock.core.facts import Fact
from stock.core.house import House
from stock.core.kinds import BY_NAME
from stock.core.measure import Speed
from stock.core.moments import AsOf, Calendar, as_of_instant
from stock.core.record import Record
from stock.core.session import OnMachine, Running, first_place, on_machine
from stock.core.spans import subtract, union
from stock.core.tracks import every, say
from stock.core.verdict import Advice, Judge
from stock.core.view import View
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, NoSuchReel
from stock.desk.laying import reader_of
from stock.desk.reading import some_reels, zone_in_force
from stock.desk.typed_place import typed_place
from stock.edge.cells import CellError, Context, parse_speed
from stock.edge.dump import spell_fact
from stock.edge.problems import Problem
from stock.edge.texts import tracks as read_tracks
from stock.store.reader import Reader

UNTITLED = "untitled"
TAKE, MARK = BY_NAME["take"], BY_NAME["mark"]
_NO_MUSIC = ("tones", "timecode")


class Logged(NamedTuple):
    """A take on a reel. lo, hi: reel places; today: whether it is of this day; machine: where stated."""

    entry: int
    title: str
    take: str
    project: str | None
    lo: int
    hi: int
    state: str | None
    keep: str | None
    today: bool

    @property
    def label(self) -> str:
        return f"{self.title}/{self.take}"


class Carried(NamedTuple):
    """What goes on from one take to the next where nobody says otherwise; each as typed, empty where unknown."""

    project: str = ""
    title: str = UNTITLED
    take: str = "1"
    tracks: str = ""
    machine: str = ""


@dataclass(frozen=True)
class Loaded:
    """A reel on the machine. advice: with what runs left out. stands: where its tape is thought to stand.

    after_a_take: whether it stands where a take of today ended. takes: on the reel, oldest first, what runs left out.
    seen: the state of the record and the day this was read for.
    """

    on: OnMachine
    advice: Advice
    running: Running | None
    stands: int
    after_a_take: bool
    carried: Carried
    takes: tuple[Logged, ...]
    marks: int
    seen: tuple[int, int]


class Here(NamedTuple):
    """A reel read inside a transaction. takes: those not voided, oldest first; running: the one that runs."""

    house: House
    on: OnMachine
    advice: Advice
    running: Fact | None
    takes: list[Fact]
    carried: Carried
    context: Context
    voided: Mapping[int, int]

    @property
    def as_of(self) -> AsOf:
        return self.house.as_of


def load(desk: Desk, reel: str, *, speed: str = "", tracks: str = "", project: str = "") -> Loaded:
    """Put a reel on the machine, as of now. speed, tracks, project: as typed; where empty, as they were.

    Raises NoSuchReel, CannotEnter.
    """
    seen = desk.store.data_version(), desk.as_of().day
    with desk.store.reading() as reader:
        calendar = Calendar(zone_in_force(reader))
        as_of = as_of_instant(calendar, max(desk.now_us(), reader.newest_line_us))
        here = read_here(reader, calendar, as_of, reel, speed, tracks, project)
        marks = sum(
            fact.entry not in here.voided and is_today(here, fact) for fact in reader.facts(MARK, reel=here.on.reel)
        )
    running = None if here.running is None else running_of(here.house, here.running)
    takes = tuple(_logged(here, fact) for fact in here.takes if fact is not here.running)
    stands, after = stands_at(here)
    return Loaded(here.on, here.advice, running, stands, after, here.carried, takes, marks, seen)


def place_typed(desk: Desk, reel: str, typed: str, speed: int) -> int:
    """A place typed, on a reel as it is now. speed: nominal, micrometres per second. Raises CannotEnter."""
    with desk.store.reading() as reader:
        at_us = max(desk.now_us(), reader.newest_line_us)
        return typed_place(
            reader, Calendar(zone_in_force(reader)), reel, typed, speed=speed, at_us=at_us, column="counter"
        )


def read_here(
    reader: Reader, calendar: Calendar, as_of: AsOf, reel: str, speed: str, tracks: str, project: str
) -> Here:
    """A reel as of a moment, inside a transaction. Raises NoSuchReel, CannotEnter."""
    house = some_reels(reader, calendar, as_of, [reel])
    if reel not in house.reel_numbers:
        raise NoSuchReel(reel=reel, near="")
    voided = house.record.voided
    takes = _takes_left(reader, house, reel)
    running = next((fact for fact in reversed(takes) if get(fact, "state") == "running"), None)
    carried = _carried(reader, house, takes, reel, project)
    mask = _mask_of(tracks or carried.tracks, running, house, reel)
    at_speed = _speed_of(speed, running, takes, house)
    judged = house if running is None else _without(house, running.entry or 0)
    advice = Judge(judged).advise(reel, at_speed.actual)
    return Here(house, on_machine(advice, at_speed, mask), advice, running, takes, carried, Context(calendar), voided)


def _takes_left(reader: Reader, house: House, reel: str) -> list[Fact]:
    """The takes of which something is left on a reel, oldest first."""
    takes = [fact for fact in reader.facts(TAKE, reel=reel) if fact.entry not in house.record.voided]
    return sorted(_not_wiped(house, reel, takes), key=lambda fact: (moment_of(house.calendar, fact), fact.entry or 0))


def _not_wiped(house: House, reel: str, takes: list[Fact]) -> list[Fact]:
    """The takes of which something is left on the reel: not all of it was wiped since."""
    view, calendar = View(house, reel), house.calendar
    wipes = [
        (lo, hi, calendar.loosens(row.day, row.at_us)) for lo, hi, row in view.spans("wipes") if view.wipe_counts(row)
    ]
    if not wipes:
        return takes
    found = []
    for fact in takes:
        made = moment_of(calendar, fact)
        since = union((lo, hi) for lo, hi, moment in wipes if moment > made)
        if subtract(union(spans_of(house, fact)), since):
            found.append(fact)
    return found


def _without(house: House, entry: int) -> House:
    """The house as it would be without one entry."""
    record = house.record
    voided = {**record.voided, entry: entry}
    return House(Record(record.rows, record.more, voided, record.made_us), house.calendar, house.as_of)


def _speed_of(typed: str, running: Fact | None, takes: Sequence[Fact], house: House) -> Speed:
    """The speed of what runs, else the one typed, else of what was recorded last, else the house's usual one."""
    if running is None and typed.strip():
        try:
            return parse_speed(typed.strip())
        except CellError as error:
            raise CannotEnter([Problem("speed", typed, error.expected, str(error))]) from None
    last = running or (takes[-1] if takes else None)
    if last is not None:
        return Speed(number(last, "speed") or 0, number(last, "vary") or 0)
    return Speed(house.rules.number("usual_speed"))


def _mask_of(typed: str, running: Fact | None, house: House, reel: str) -> int | None:
    """The tracks of what runs, else those typed; None where nobody says."""
    every_track = every(house.reel(reel).tracks)
    if running is not None:
        given = number(running, "tracks")
        return every_track if given is None else given
    if not typed.strip():
        return None
    try:
        mask, _ = read_tracks(typed.strip())
    except CellError as error:
        raise CannotEnter([Problem("tracks", typed, error.expected, str(error))]) from None
    if mask & ~every_track:
        says = f"reel {reel} has {house.reel(reel).tracks} tracks: there is no {say(mask & ~every_track)}"
        raise CannotEnter([Problem("tracks", typed, "tracks of the reel", says)])
    return mask


def get(fact: Fact, name: str) -> str | None:
    """A text among a fact's values."""
    found: str | None = reader_of(fact.kind).get(fact.values, name)
    return found


def number(fact: Fact, name: str) -> int | None:
    """A number among a fact's values."""
    found: int | None = reader_of(fact.kind).get(fact.values, name)
    return found


def moment_of(calendar: Calendar, fact: Fact) -> int:
    """When a fact of the log counts: at its instant, or the end of its day."""
    return calendar.binds(number(fact, "day"), number(fact, "at_us"))


def is_today(here: Here, fact: Fact) -> bool:
    """Whether a fact is of the day it is now."""
    return _of_today(here.house, fact)


def _of_today(house: House, fact: Fact) -> bool:
    return house.calendar.local_day(number(fact, "day"), number(fact, "at_us")) == house.as_of.day


def cells_of(fact: Fact, context: Context, start: str, end: str) -> dict[str, str]:
    """A fact's cells as they would be typed, with other ends (a point has its place as the start)."""
    cells = spell_fact(fact, context, (start, end))
    return {field.name: cells[field.name] for field in fact.kind.fields}


def spans_of(house: House, fact: Fact) -> list[tuple[int, int]]:
    """Where a fact lies on its reel now."""
    layout = house.layout(get(fact, "reel") or "")
    return sorted(span for piece in fact.places for span in layout.project(*piece))


def running_of(house: House, fact: Fact) -> Running:
    """A take that runs."""
    spans = spans_of(house, fact)
    given = number(fact, "tracks")
    reel = get(fact, "reel") or ""
    cells = cells_of(fact, Context(house.calendar), "", "")
    return Running(
        fact.entry or 0,
        reel,
        get(fact, "project"),
        get(fact, "title") or "",
        get(fact, "take") or "",
        Speed(number(fact, "speed") or 0, number(fact, "vary") or 0),
        every(house.reel(reel).tracks) if given is None else given,
        cells["tracks"],
        spans[0][0] if spans else 0,
        house.calendar.loosens(number(fact, "day"), number(fact, "at_us")),
        get(fact, "machine"),
        get(fact, "by"),
    )


def _logged(here: Here, fact: Fact) -> Logged:
    spans = spans_of(here.house, fact) or [(0, 0)]
    return Logged(
        fact.entry or 0,
        get(fact, "title") or "",
        get(fact, "take") or "",
        get(fact, "project"),
        spans[0][0],
        spans[-1][1],
        get(fact, "state"),
        get(fact, "keep"),
        is_today(here, fact),
    )


def stands_at(here: Here) -> tuple[int, bool]:
    """Where the tape is thought to stand, and whether a take of today ended there; else where a session may begin."""
    today = [fact for fact in here.takes if fact is not here.running and is_today(here, fact)]
    for fact in reversed(today):
        spans = spans_of(here.house, fact)
        if spans:
            return spans[-1][1], True
    return first_place(here.on), False


def _carried(reader: Reader, house: House, takes: Sequence[Fact], reel: str, project: str) -> Carried:
    """Project, title, next take number, track sheet and machine, from the takes before.

    The project is the one asked for, else that of the newest take on the reel; a title goes on within its day.
    """
    music = [fact for fact in takes if get(fact, "keep") not in _NO_MUSIC]
    newest_here = music[-1] if music else None
    if not project and newest_here is not None:
        project = get(newest_here, "project") or ""
    of_project = takes_of_project(reader, house, project) if project else music
    newest = of_project[-1] if of_project else None
    title = UNTITLED
    if newest is not None and _of_today(house, newest):
        title = get(newest, "title") or UNTITLED
    tracks = machine = ""
    for fact in (newest_here, newest):
        if fact is not None and (get(fact, "project") or "") == project:
            machine = get(fact, "machine") or ""
            if not (number(fact, "tracks") or 0) & ~every(house.reel(reel).tracks):
                tracks = cells_of(fact, Context(house.calendar), "", "")["tracks"]
            break
    return Carried(project, title, next_take(of_project, title), tracks, machine)


def carry_on(reader: Reader, house: House, reel: str) -> Carried:
    """What goes on from the takes before to the next one on a reel (KeyError if there is no such reel)."""
    return _carried(reader, house, _takes_left(reader, house, reel), reel, "")


def takes_of_project(reader: Reader, house: House, project: str) -> list[Fact]:
    """The takes of a project on every reel, oldest first, tones and timecode left out."""
    rows = reader.iterate("SELECT entry FROM takes WHERE project = ?", (project,))
    entries = [entry for (entry,) in rows if entry not in house.record.voided]
    found = [fact for fact in reader.facts(TAKE, entries=entries) if get(fact, "keep") not in _NO_MUSIC]
    return sorted(found, key=lambda fact: (moment_of(house.calendar, fact), fact.entry or 0))


def next_take(takes: Sequence[Fact], title: str) -> str:
    """The number after the highest that a title's takes have."""
    numbers = [get(fact, "take") or "" for fact in takes if get(fact, "title") == title]
    return str(max((int(each) for each in numbers if each.isdecimal() and len(each) < 7), default=0) + 1)
