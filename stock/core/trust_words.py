"""What is known of a place before a take, in lines for a page or a screen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from stock.core.critical import ASIDE_US, Fault, Nearby, Response, Splice, Trust
from stock.core.measure import time_of
from stock.core.tracks import say
from stock.core.words import clock, feet

Weight = Literal["yes", "no", "doubt", "plain", "quiet"]


class Told(NamedTuple):
    """One line: what it is about, its words, how weighty they are."""

    label: str
    says: str
    weight: Weight = "plain"


def place_words(trust: Trust) -> str:
    """The place as the counter reads it, and in feet."""
    return f"{trust.on.clock_at(trust.place)} ({feet(trust.place)})"


def trust_lines(trust: Trust) -> list[Told]:
    """All of it, the answer first."""
    return [
        *_answer(trust),
        *_room(trust),
        _passes(trust),
        *_splices(trust),
        *_findings(trust),
        *_response(trust),
        _inspected(trust),
        *_nearby(trust),
        _code(trust),
    ]


def _answer(trust: Trust) -> Iterator[Told]:
    head = {"yes": "yes", "no": "no", "unknown": "not known"}[trust.answer]
    weight: Weight = {"yes": "yes", "no": "no", "unknown": "doubt"}[trust.answer]  # type: ignore[assignment]
    words = f"{head}, for {trust.grade}"
    if trust.stretch is not None:
        lo, hi = trust.stretch
        words += f": fit from {trust.on.clock_at(lo)} to {trust.on.clock_at(hi)}"
    elif not trust.on.usable[0] <= trust.place < trust.on.usable[1]:
        words += ": it lies outside the usable tape"
    elif not trust.reasons:
        words += ": no fit stretch long enough lies here"
    yield Told("trust it", words, weight)
    for reason in trust.reasons:
        yield Told("", reason.says, "no" if reason.severity == "no" else "doubt")


def _room(trust: Trust) -> Iterator[Told]:
    on = trust.on
    if trust.stretch is not None:
        yield Told("on from here", f"{clock(time_of(trust.stretch[1] - trust.place, on.speed.actual))} of fit tape")
    if trust.outlook is not None:
        found = trust.outlook
        fits = "fits" if found.fits else "does not fit"
        words = f"{clock(found.take_us)} {fits}: {clock(found.left_us)} left, slate and room to run over counted"
        yield Told("the take", words, "yes" if found.fits else "no")


def _passes(trust: Trust) -> Told:
    tenths, limits, best = trust.wear
    passes = f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"
    words = f"{passes} pass{'' if passes == '1' else 'es'} here"
    nearest = next(((grade, limit) for grade, limit in limits if grade == best), None)
    if nearest is None:
        return Told("passes", f"{words}, past every grade's limit", "no")
    spare = nearest[1] - -(-tenths // 10)
    words += f"; {nearest[0]} bears {nearest[1]}, {spare} more"
    asked = next(limit for grade, limit in limits if grade == trust.grade)
    return Told("passes", words, "no" if tenths > 10 * asked else "plain")


def _splices(trust: Trust) -> Iterator[Told]:
    if trust.before is None and trust.after is None:
        yield Told("splices", "none on this reel", "quiet")
        return
    for splice, label, side in ((trust.before, "splice before", "before"), (trust.after, "splice after", "after")):
        if splice is None:
            yield Told(label, f"none {side} this place", "quiet")
        else:
            yield Told(label, _splice_words(trust, splice, side), "no" if splice.joint.firm else "plain")


def _splice_words(trust: Trust, splice: Splice, side: str) -> str:
    joint = splice.joint
    away = clock(time_of(splice.away, trust.on.speed.actual))
    age = "" if splice.age_days is None else f", {_days(splice.age_days)} old"
    return f"{joint.state} {joint.kind} {away} {side}, at {trust.on.clock_at(joint.at)}{age}"


def _days(days: int) -> str:
    return f"{days} day{'' if days == 1 else 's'}"


def _findings(trust: Trust) -> Iterator[Told]:
    if not trust.faults:
        yield Told("findings", "none stands here", "quiet")
    for number, fault in enumerate(trust.faults):
        yield Told("" if number else "findings", _fault_words(fault), "doubt")


def _fault_words(fault: Fault) -> str:
    tracks = "" if fault.tracks is None else f" on {say(fault.tracks)}"
    age = "" if fault.age_days is None else f", {_days(fault.age_days)} ago"
    return f"{fault.kind}, severity {fault.severity}{tracks}{age}"


def _response(trust: Trust) -> Iterator[Told]:
    if not trust.response:
        yield Told("response", "never checked", "quiet")
    for number, response in enumerate(trust.response):
        yield Told("" if number else "response", _response_words(trust, response))


def _response_words(trust: Trust, response: Response) -> str:
    hertz = response.frequency_hz
    tone = f"{hertz // 1000} kHz" if hertz % 1000 == 0 else f"{hertz} Hz"
    words = f"{tone} {_db(response.level)}"
    if response.fall is not None:
        fallen = "fallen" if response.fall > 0 else "risen" if response.fall < 0 else "unchanged"
        words += f", {fallen}{f' {abs(response.fall) / 1000:.1f} dB' if response.fall else ''} since the first check"
    words += f", track {response.track}" if response.track is not None else ""
    words += f", {response.machine}" if response.machine else ""
    return words + ("" if response.age_days is None else f", {_days(response.age_days)} ago")


def _db(level: int) -> str:
    return f"{level / 1000:+.1f} dB"


def _inspected(trust: Trust) -> Told:
    if trust.inspected_days is None:
        return Told("inspected", "never, here", "doubt")
    limit = trust.on.rules.graded("inspection_days", trust.grade)
    late = limit is not None and trust.inspected_days > limit
    words = f"{_days(trust.inspected_days)} ago" + (f"; {trust.grade} asks for {limit}" if limit is not None else "")
    return Told("inspected", words, "doubt" if late else "plain")


def _nearby(trust: Trust) -> Iterator[Told]:
    if not trust.nearby:
        yield Told("recorded", f"nothing within {clock(ASIDE_US)} to either side", "quiet")
    for number, nearby in enumerate(trust.nearby):
        yield Told("" if number else "recorded", _nearby_words(trust, nearby), "plain" if nearby.safe else "doubt")


def _nearby_words(trust: Trust, nearby: Nearby) -> str:
    on, kept = trust.on, nearby.kept
    where = "here" if not nearby.away else f"{clock(time_of(nearby.away, on.speed.actual))} away"
    fate = "proved or let go" if nearby.safe else "not proved"
    return f"{kept.label} {where}, {on.clock_at(kept.lo)} to {on.clock_at(kept.hi)} on {say(kept.mask)}; {fate}"


def _code(trust: Trust) -> Told:
    if trust.code is not None:
        return Told("timecode", trust.code)
    words = "none on this reel" if trust.on.counter.stripe is None else "none here yet: the stripe starts later"
    return Told("timecode", words, "quiet")
