"""Can a reel be trusted at one place: all an engineer wants to know of it before the take that must not fail."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from stock.core.fitness import Joint, severities
from stock.core.measure import MINUTE, Speed, length_of
from stock.core.reasons import Answer, Reason
from stock.core.rules import GRADES, Grade
from stock.core.session import Kept, OnMachine, Outlook, on_machine, outlook
from stock.core.spans import Span
from stock.core.verdict import Advice

ASIDE_US = MINUTE
"""How far to either side it is told what is recorded."""


class Wear(NamedTuple):
    """Passes at the place, in tenths, and the limits by grade. grade: the best whose limit holds, None for none."""

    tenths: int
    limits: tuple[tuple[Grade, int], ...]
    grade: Grade | None


class Splice(NamedTuple):
    """A splice near the place. away: tape between; age_days: since it was entered, None for a join or undated."""

    joint: Joint
    away: int
    age_days: int | None


class Fault(NamedTuple):
    """A finding that stands at the place."""

    kind: str
    severity: int
    tracks: int | None
    entry: int
    age_days: int | None


class Response(NamedTuple):
    """The newest level of a test tone, thousandths of a dB; fall: since the first like it, None where it is the first.

    away: tape from the place to where it was measured, None where that is not stated.
    """

    frequency_hz: int
    level: int
    fall: int | None
    machine: str | None
    track: int | None
    away: int | None
    age_days: int | None


class Nearby(NamedTuple):
    """Something recorded within a minute. safe: whether it is proved or let go. away: 0 where the place lies in it."""

    kept: Kept
    away: int
    safe: bool


class Trust(NamedTuple):
    """All that is known of a place for a take of the grade, as of a day. answer: whether it can be trusted there.

    stretch: the fit stretch it lies in. reasons: those against it there, about the tape. inspected_days: age of the
    newest inspection there, None for never. outlook: whether the take asked for fits from here, None where none was
    asked.
    """

    on: OnMachine
    place: int
    day: int
    grade: Grade
    answer: Answer
    stretch: Span | None
    reasons: tuple[Reason, ...]
    wear: Wear
    before: Splice | None
    after: Splice | None
    faults: tuple[Fault, ...]
    response: tuple[Response, ...]
    inspected_days: int | None
    nearby: tuple[Nearby, ...]
    code: str | None
    outlook: Outlook | None


def trust(advice: Advice, speed: Speed, place: int, grade: Grade = "critical", *, take_us: int | None = None) -> Trust:
    """What is known at a place of a reel, from its advice at that actual speed. take_us: how long a take is to be."""
    on = on_machine(advice, speed)
    place = min(max(place, 0), on.length)
    fit = advice.fit(grade)
    stretch = next((span for span in fit.stretches if span[0] <= place < span[1]), None)
    reasons = tuple(
        reason
        for reason in advice.reasons
        if reason.about == "tape" and reason.severity != "note" and _covers(reason, place)
    )
    # a take ends with the fit stretch, however much usable tape comes after
    ends = on if stretch is None else on._replace(usable=(on.usable[0], stretch[1]))
    found = outlook(ends, place, [take_us])[0] if take_us is not None else None
    joints = advice.fitness.joints
    before = max((joint for joint in joints if joint.at <= place), default=None)
    after = min((joint for joint in joints if joint.at > place), default=None)
    return Trust(
        on,
        place,
        advice.view.house.as_of.day,
        grade,
        _answer(advice, grade, stretch, reasons, found),
        stretch,
        reasons,
        _wear(advice, place),
        None if before is None else _splice(advice, before, place),
        None if after is None else _splice(advice, after, place),
        tuple(_faults(advice, place)),
        tuple(_response(advice, place)),
        _inspected(advice, place),
        tuple(_nearby(advice, on, place)),
        on.code_at(place),
        found,
    )


def _covers(reason: Reason, place: int) -> bool:
    return reason.lo is None or reason.hi is None or reason.lo <= place < reason.hi


def _answer(
    advice: Advice, grade: Grade, stretch: Span | None, reasons: tuple[Reason, ...], found: Outlook | None
) -> Answer:
    """Yes in a stretch that is surely fit and where the take fits; unknown only where all that lacks is knowledge."""
    if found is not None and not found.fits:
        return "no"
    if stretch is not None:
        return "yes"
    if advice.fit(grade).answer == "no" or any(reason.severity == "no" for reason in reasons):
        return "no"
    return "unknown" if reasons else "no"


def _wear(advice: Advice, place: int) -> Wear:
    inside = min(place, max(advice.view.length - 1, 0))
    tenths = next((tenths for lo, hi, tenths in advice.fitness.wear if lo <= inside < hi), 0)
    rules = advice.view.house.rules
    limits = tuple((grade, rules.number(f"passes_{grade}")) for grade in GRADES)
    return Wear(tenths, limits, next((grade for grade, limit in limits if tenths <= 10 * limit), None))


def _age(advice: Advice, row: Any) -> int | None:
    """Whole days since a fact, None where it is not dated."""
    day = advice.view.house.calendar.local_day(row.day, row.at_us)
    return None if day is None else advice.view.house.as_of.day - day


def _splice(advice: Advice, joint: Joint, place: int) -> Splice:
    rows = [row for _, row in advice.view.points("splices") if row.entry in joint.facts]
    ages = [age for row in rows if (age := _age(advice, row)) is not None]
    return Splice(joint, abs(joint.at - place), min(ages, default=None))


def _faults(advice: Advice, place: int) -> Iterator[Fault]:
    rows = {row.entry: row for _, _, row in advice.view.spans("findings", beyond=False)}
    for lo, hi, severity, kind, tracks, entry in sorted(severities(advice.view), key=lambda found: (-found[2], found)):
        if lo <= place < hi:
            yield Fault(kind, severity, tracks, entry, _age(advice, rows[entry]))


def _response(advice: Advice, place: int) -> Iterator[Response]:
    """Of each frequency the newest checks; of several of one day the worst."""
    view = advice.view
    loosens = view.house.calendar.loosens
    checks: dict[tuple[Any, ...], list[tuple[int, int, int, Any, int | None]]] = {}
    for start, piece in view.on_reel:
        for lo, _, row in view.house.on_tape("response", piece.tape):
            if not piece.lo <= lo <= piece.hi:
                continue
            at = lo - piece.lo + start if row.lo is not None else None
            key = row.frequency_hz, row.speed, row.vary or 0, piece.tape, lo, row.machine, row.track
            checks.setdefault(key, []).append((loosens(row.day, row.at_us), row.level_db, row.entry, row, at))
    by_frequency: dict[int, list[tuple[int, int, int, Response]]] = {}
    for key, found in checks.items():
        first = max((each for each in found if each[0] == min(found)[0]), key=lambda each: (each[1], each[2]))
        last = min((each for each in found if each[0] == max(found)[0]), key=lambda each: (each[1], each[2]))
        fall = first[1] - last[1] if first[2] != last[2] else None
        away = None if last[4] is None else abs(last[4] - place)
        row = last[3]
        response = Response(key[0], last[1], fall, row.machine, row.track, away, _age(advice, row))
        day = view.house.calendar.local_day(row.day, row.at_us)
        rank = -1 if day is None else day, fall or 0, last[2], response
        by_frequency.setdefault(key[0], []).append(rank)
    for frequency in sorted(by_frequency):
        yield max(by_frequency[frequency], key=lambda rank: rank[:3])[3]


def _inspected(advice: Advice, place: int) -> int | None:
    ages = [
        age
        for lo, hi, row in advice.view.spans("findings", beyond=False)
        if row.kind == "inspection" and lo <= place < hi and (age := _age(advice, row)) is not None
    ]
    return min(ages, default=None)


def _nearby(advice: Advice, on: OnMachine, place: int) -> Iterator[Nearby]:
    aside = length_of(ASIDE_US, on.speed.actual)
    kept = advice.recording.kept
    for found in on.live:
        if found.lo < place + aside and place - aside < found.hi:
            safe = not any(lo < found.hi and found.lo < hi and mask & found.mask for lo, hi, mask in kept)
            yield Nearby(found, max(found.lo - place, place - found.hi, 0), safe)
