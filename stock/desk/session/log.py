"""The session log: takes written down as they happen, on the reel that stands on the machine.

A take that starts is a fact at once, without an end: as long as it runs it binds to the end of the tape. When it ends,
that entry is voided and the take is entered whole from the same place, both in one transaction; so a take is never in
the record twice, and never not at all.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

from stock.core.facts import Fact
from stock.core.kinds import BY_NAME, Kind
from stock.core.measure import SECOND, Speed, length_of
from stock.core.moments import Calendar
from stock.core.session import Concern, Kept, OnMachine, Running, concerns, place_of, recorded_over
from stock.core.tracks import spell
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import CannotEnter
from stock.desk.session.errors import AsksFirst, NeverRecord, NoTakeYet, NothingRuns, StillRunning
from stock.desk.session.loaded import (
    MARK,
    TAKE,
    Here,
    cells_of,
    get,
    next_take,
    read_here,
    running_of,
    spans_of,
    stands_at,
    takes_of_project,
)
from stock.desk.typed_place import typed_place
from stock.edge.cells import CellError, spell_values
from stock.edge.clock import spell_length
from stock.edge.day_line import DayLine, day_line
from stock.edge.problems import Problem
from stock.edge.texts import tracks as read_tracks
from stock.store.reader import Reader
from stock.store.writer import Writer

PASS, VOID = BY_NAME["pass"], BY_NAME["void"]
_OFF_BY_US = 20 * SECOND
"""A place typed so much before where the clock puts the tape is told of."""

Row = tuple[Kind, dict[str, str]]


class Started(NamedTuple):
    """A take that runs now, and what was said of it."""

    entry: int
    line: int | None
    running: Running
    concerns: tuple[Concern, ...]


class Ended(NamedTuple):
    """A take that ended. lo, hi: its reel places. over: what else was live there. says: what is worth knowing of it."""

    entry: int
    line: int | None
    label: str
    lo: int
    hi: int
    over: tuple[Kept, ...]
    says: tuple[str, ...]


class Marked(NamedTuple):
    """A mark made. at: its reel place; words: as the counter reads there."""

    entry: int
    line: int | None
    at: int
    words: str


def start(
    desk: Desk,
    reel: str,
    *,
    at: str = "",
    speed: str = "",
    tracks: str = "",
    project: str = "",
    title: str = "",
    take: str = "",
    machine: str = "",
    planned_us: int | None = None,
    yes: bool | Collection[Concern] = False,
) -> Started:
    """Start a take: it is in the record when this returns. All as typed; what is empty goes on from the take before.

    at: where it starts, else where the tape stands. planned_us: how long it is to be. yes: what is asked about first is
    meant; or just what was shown to whoever said so: what has come since is asked about. Raises AsksFirst,
    StillRunning, NeverRecord, NoSuchReel, CannotEnter.
    """
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        here = read_here(writer, calendar, as_of, reel, speed, tracks, project)
        if here.running is not None:
            raise StillRunning(take=running_of(here.house, here.running).label, reel=reel)
        if here.advice.view.reel.role == "reference":
            raise NeverRecord(reel=reel)
        place = _where(writer, here, calendar, now_us, at, "at") if at.strip() else stands_at(here)[0]
        if place >= here.on.length:
            raise CannotEnter([_problem("at", at, "a place before the end of the tape", "the tape ends there")])
        project = project or here.carried.project
        said = concerns(here.on, here.advice, place, planned_us, project or None)
        agreed = said if yes is True else yes or ()
        if any(concern.ask and concern not in agreed for concern in said):
            raise AsksFirst(reel, said)
        title = title or here.carried.title
        cells = {
            "reel": reel,
            "project": project,
            "title": title,
            "take": take or (here.carried.take if title == here.carried.title else _next_of(writer, here, title)),
            "start": spell_length(place),
            "speed": _spell(here.on.speed),
            "tracks": tracks or here.carried.tracks or _tracks_text(here.on, here.advice.view.every_track),
            "state": "running",
            "machine": machine or here.carried.machine,
        }
        receipt = desk.enter_all_in(writer, [(TAKE, cells)], f"log start {reel}", now_us, calendar)
        running = running_of(here.house, _take_of(writer, receipt))
        writer.commit()
    return Started(running.entry, receipt.line, running, tuple(said))


def stop(
    desk: Desk,
    reel: str,
    *,
    at: str = "",
    false_start: bool = False,
    plays: int = 0,
    title: str = "",
    take: str = "",
    note: str = "",
) -> Ended:
    """End the take that runs on a reel, and enter its record pass and its play passes with it.

    at: where it ended by the machine's counter; else the clock says. title, take: another name for it. Raises
    NothingRuns, NoSuchReel, CannotEnter.
    """
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        here = read_here(writer, calendar, as_of, reel, "", "", "")
        ended, rows = _ending(writer, here, calendar, now_us, at, false_start, plays, title, take, note)
        receipt = desk.enter_all_in(writer, rows, f"log stop {reel}", now_us, calendar)
        entry = _take_of(writer, receipt).entry or 0
        writer.commit()
    return ended._replace(entry=entry, line=receipt.line)


def _ending(
    reader: Reader,
    here: Here,
    calendar: Calendar,
    now_us: int,
    at: str,
    false_start: bool,
    plays: int,
    title: str,
    take: str,
    note: str,
) -> tuple[Ended, list[Row]]:
    on, reel = here.on, here.on.reel
    if here.running is None:
        raise NothingRuns(reel=reel)
    running = running_of(here.house, here.running)
    by_clock = place_of(running, on, now_us)
    lo = running.start
    hi = _where(reader, here, calendar, now_us, at, "at") if at.strip() else by_clock
    if not at.strip():
        # what was started and stopped at once still ran over some tape
        hi = min(max(hi, lo + length_of(SECOND, running.speed.actual)), on.length)
    if hi <= lo:
        says = f"the take began at {on.clock_at(lo)}: it cannot end at {on.clock_at(hi)}"
        raise CannotEnter([_problem("at", at, "a place behind its start", says)])
    cells = cells_of(here.running, here.context, spell_length(lo), spell_length(hi))
    cells["title"], cells["take"] = title or cells["title"], take or cells["take"]
    if title and not take:
        cells["take"] = _next_of(reader, here, title)
    # dated anew: what counts is that nothing made before its end was made after it
    cells |= {"date": "", "state": "false-start" if false_start else "whole", "note": note or cells["note"]}
    label = f"{cells['title']}/{cells['take']}"
    over = tuple(recorded_over(on, lo, hi))
    rows: list[Row] = [
        (TAKE, cells),
        (PASS, _pass_cells(cells, "record", label, 1)),
        *([(PASS, _pass_cells(cells, "play", label, plays))] if plays else []),
        *_renamed(reader, here, running.label, label, (lo, on.length)),
        (VOID, {"entry": str(running.entry), "reason": "ended"}),
    ]
    return Ended(0, None, label, lo, hi, over, tuple(_worth_saying(on, running, hi, by_clock, over))), rows


def _worth_saying(on: OnMachine, running: Running, hi: int, by_clock: int, over: Iterable[Kept]) -> Iterable[str]:
    labels = list(dict.fromkeys(kept.label for kept in over))
    if labels:
        yield f"it lies over {', '.join(labels)}"
    if hi >= on.length:
        yield "it ran to the very end of the tape"
    elif hi > on.usable[1]:
        yield "it ran into the tail that is left unused"
    if by_clock - hi > length_of(_OFF_BY_US, running.speed.actual):
        yield f"by the clock it ran to {on.clock_at(by_clock)}, not {on.clock_at(hi)}"


def _pass_cells(take: dict[str, str], kind: str, label: str, count: int) -> dict[str, str]:
    same = ("reel", "start", "end", "speed", "tracks", "machine")
    return {**{name: take[name] for name in same}, "kind": kind, "take": label, "count": str(count)}


def name(desk: Desk, reel: str, title: str, take: str = "") -> tuple[int, str]:
    """Give the take that runs, or else the newest on the reel, another title and number; its entry and new name.

    Raises NoTakeYet, NoSuchReel, CannotEnter.
    """
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        here = read_here(writer, calendar, as_of, reel, "", "", "")
        target = here.running or (here.takes[-1] if here.takes else None)
        if target is None:
            raise NoTakeYet(reel=reel)
        _refuse_decided(writer, here, target)
        spans = spans_of(here.house, target)
        if not spans:
            raise NoTakeYet(reel=reel)
        lo, hi = spans[0][0], spans[-1][1]
        cells = cells_of(target, here.context, spell_length(lo), "" if here.running else spell_length(hi))
        old = f"{cells['title']}/{cells['take']}"
        # the same title again keeps the number
        if not take:
            take = cells["take"] if title == cells["title"] else _next_of(writer, here, title)
        cells |= {"title": title, "take": take}
        new = f"{title}/{take}"
        if new == old:
            return target.entry or 0, new
        rows: list[Row] = [
            (TAKE, cells),
            *_renamed(writer, here, old, new, (lo, hi)),
            (VOID, {"entry": str(target.entry), "reason": f"named {new}"}),
        ]
        entry = _take_of(writer, desk.enter_all_in(writer, rows, f"log name {reel}", now_us, calendar)).entry or 0
        writer.commit()
    return entry, new


def _refuse_decided(reader: Reader, here: Here, target: Fact) -> None:
    """A take that somebody decided about keeps its name: the decision is of that entry."""
    rows = reader.iterate("SELECT entry FROM decisions WHERE take_entry = ?", (target.entry,))
    decided = [entry for (entry,) in rows if entry not in here.voided]
    if decided:
        says = f"it was decided on already, by entry {decided[0]}: void that first"
        raise CannotEnter([_problem("title", "", "a take nobody decided on", says)])


def _renamed(reader: Reader, here: Here, old: str, new: str, within: tuple[int, int]) -> Iterable[Row]:
    """The passes and marks of a take that got another name, entered again under it."""
    if old == new:
        return
    for kind in (PASS, MARK):
        for fact in reader.facts(kind, reel=here.on.reel):
            if fact.entry in here.voided or get(fact, "take") != old:
                continue
            layout = here.house.layout(here.on.reel)
            if kind is MARK:
                points = [layout.project_point(piece.tape, piece.lo) for piece in fact.places]
                spans = [(at, at) for at in points if at is not None]
            else:
                spans = spans_of(here.house, fact)
            if not spans or spans[0][0] < within[0] or spans[-1][1] > within[1]:
                continue
            cells = cells_of(fact, here.context, spell_length(spans[0][0]), spell_length(spans[-1][1]))
            yield kind, {**cells, "take": new}
            yield VOID, {"entry": str(fact.entry), "reason": f"of the take now named {new}"}


def mark(desk: Desk, reel: str, note: str = "", at: str = "") -> Marked:
    """Mark a place: where the take that runs is by the clock, or one typed. Raises NoSuchReel, CannotEnter."""
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        here = read_here(writer, calendar, as_of, reel, "", "", "")
        running = running_of(here.house, here.running) if here.running is not None else None
        if at.strip():
            place = _where(writer, here, calendar, now_us, at, "at")
        else:
            place = place_of(running, here.on, now_us) if running is not None else stands_at(here)[0]
        cells = {
            "reel": reel,
            "at": spell_length(place),
            "speed": _spell(here.on.speed),
            "take": running.label if running is not None else _take_at(here, place),
            "note": note,
        }
        receipt = desk.enter_all_in(writer, [(MARK, cells)], f"log mark {reel}", now_us, calendar)
        writer.commit()
    return Marked(receipt.entries[0], receipt.line, place, here.on.clock_at(place))


def _take_at(here: Here, place: int) -> str:
    """The newest take over a place, empty where there is none."""
    for fact in reversed(here.takes):
        if any(lo <= place <= hi for lo, hi in spans_of(here.house, fact)):
            return f"{get(fact, 'title')}/{get(fact, 'take')}"
    return ""


def played(desk: Desk, reel: str, count: int = 1) -> tuple[int, str]:
    """Enter play passes over the newest take on a reel; the entry, and the take. Raises NoTakeYet, NoSuchReel."""
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        here = read_here(writer, calendar, as_of, reel, "", "", "")
        ended = [fact for fact in here.takes if fact is not here.running and spans_of(here.house, fact)]
        if not ended:
            raise NoTakeYet(reel=reel)
        spans = spans_of(here.house, ended[-1])
        cells = cells_of(ended[-1], here.context, spell_length(spans[0][0]), spell_length(spans[-1][1]))
        label = f"{cells['title']}/{cells['take']}"
        rows: list[Row] = [(PASS, _pass_cells(cells, "play", label, count))]
        receipt = desk.enter_all_in(writer, rows, f"log played {reel}", now_us, calendar)
        writer.commit()
    return receipt.entries[0], label


def overdubs(desk: Desk, reel: str, line: str, *, speed: str = "", machine: str = "") -> tuple[int, DayLine, list[str]]:
    """Enter a day's overdubs from one line, `tracks 9,12, about 60 passes, 0:30 to 5:10`: the entry, what was read, and
    the names of what is live there, which it made new. Raises NoSuchReel, CannotEnter.
    """
    try:
        read = day_line(line)
    except CellError as error:
        raise CannotEnter([_problem("line", line, error.expected, str(error))]) from None
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        here = read_here(writer, calendar, as_of, reel, speed, read.tracks, "")
        lo = _where(writer, here, calendar, now_us, read.start, "start")
        hi = _where(writer, here, calendar, now_us, read.end, "end")
        on = here.on._replace(mask=read_tracks(read.tracks)[0])
        labels = list(dict.fromkeys(kept.label for kept in recorded_over(on, lo, hi)))
        takes = {f"{get(fact, 'title')}/{get(fact, 'take')}" for fact in here.takes}
        cells = {
            "reel": reel,
            "kind": read.kind,
            "start": read.start,
            "end": read.end,
            "speed": _spell(here.on.speed),
            "tracks": read.tracks,
            "count": str(read.times),
            # the take it belongs to, where there is only one there
            "take": labels[0] if len(labels) == 1 and labels[0] in takes else "",
            "machine": machine or here.carried.machine,
            "note": "about" if read.about else "",
        }
        receipt = desk.enter_all_in(writer, [(PASS, cells)], f"log overdubs {reel}", now_us, calendar)
        writer.commit()
    return receipt.entries[0], read, labels if read.kind != "play" else []


def _tracks_text(on: OnMachine, every_track: int) -> str:
    return "" if on.mask == every_track else spell(on.mask)


def _next_of(reader: Reader, here: Here, title: str) -> str:
    project = here.carried.project
    return next_take(takes_of_project(reader, here.house, project) if project else here.takes, title)


def _take_of(writer: Writer, receipt: Receipt) -> Fact:
    """The take among what was entered."""
    return next(iter(writer.facts(TAKE, entries=receipt.entries)))


def _where(reader: Reader, here: Here, calendar: Calendar, now_us: int, typed: str, column: str) -> int:
    """A place typed, on the reel as it is now. Raises CannotEnter."""
    speed = here.on.speed.nominal
    return typed_place(reader, calendar, here.on.reel, typed, speed=speed, at_us=now_us, column=column)


def _problem(column: str, value: str, expected: str, says: str) -> Problem:
    return Problem(column, value, expected, says)


def _spell(speed: Speed) -> str:
    return spell_values("speed", (speed.nominal, speed.vary or None))
