"""A reel told along its tape in sentences, for whoever does not see the map."""

from __future__ import annotations

from collections.abc import Iterator

from stock.cli.printing import wrapped
from stock.cli.tape_map import claim_state, hull, passes_words
from stock.core.fitness import severities
from stock.core.rules import GRADES
from stock.core.tracks import spell
from stock.core.verdict import Advice
from stock.core.words import feet, stretch


def tape_sentences(advice: Advice, width: int) -> list[str]:
    """All that the map of a reel draws, a sentence a line, each kind of thing from the head on; broken to a width."""
    if not advice.view.extent:
        return ["There is no tape on it."]
    speed = advice.view.house.rules.number("usual_speed")
    lines = []
    for heading, sentences in (
        ("Takes along the tape:", _takes(advice, speed)),
        ("Where it is fit:", _fit(advice, speed)),
        ("Passes along the tape:", _passes(advice, speed)),
        ("Splices:", _splices(advice, speed)),
        ("Findings:", _findings(advice, speed)),
        ("Marks:", _marks(advice, speed)),
        ("Held:", _holds(advice, speed)),
    ):
        told = [line for sentence in sentences for line in wrapped(sentence, width, "  ", "    ")]
        lines += [heading, *told] if told else []
    return lines


def _where(lo: int, hi: int, speed: int) -> str:
    return f"{stretch(lo, hi, speed)} ({feet(lo)} to {feet(hi)})"


def _point(at: int, speed: int) -> str:
    return f"{stretch(at, at, speed).split(' ')[0]} ({feet(at)})"


def _takes(advice: Advice, speed: int) -> Iterator[str]:
    claims = sorted(advice.recording.claims, key=lambda claim: (hull(claim), claim.label))
    for claim in claims:
        mask = 0
        for cell in claim.live:
            mask |= cell[2]
        yield f"{_where(*hull(claim), speed)}: {claim.label}, tracks {spell(mask)}, {claim_state(advice, claim)}"
    if not claims and not advice.recording.live.atoms:
        yield "nothing is recorded on it"


def _fit(advice: Advice, speed: int) -> Iterator[str]:
    lo, hi = advice.fitness.usable
    yield f"{_where(lo, hi, speed)} is used; head and tail are left unused"
    for grade in GRADES:
        found = advice.fit(grade)
        for a, b in found.stretches:
            yield f"{_where(a, b, speed)}: fit for {grade}"
        if not found.stretches:
            yield f"nowhere fit for {grade}, or not known to be"
    if advice.view.length < advice.view.extent:
        yield f"{_where(advice.view.length, advice.view.extent, speed)}: past the end by a later measurement"


def _passes(advice: Advice, speed: int) -> Iterator[str]:
    for lo, hi, tenths in advice.fitness.wear:
        yield f"{_where(lo, hi, speed)}: {passes_words(tenths)} pass{'' if tenths == 10 else 'es'}"


def _splices(advice: Advice, speed: int) -> Iterator[str]:
    for joint in advice.fitness.joints:
        yield f"{_point(joint.at, speed)}: {joint.state} {joint.kind} splice"


def _findings(advice: Advice, speed: int) -> Iterator[str]:
    for lo, hi, severity, kind, tracks, _ in sorted(severities(advice.view), key=lambda finding: finding[:4]):
        on = f", tracks {spell(tracks)}" if tracks is not None else ""
        yield f"{_where(lo, hi, speed)}: {kind}, severity {severity} of 3{on}"


def _marks(advice: Advice, speed: int) -> Iterator[str]:
    calendar = advice.view.house.calendar
    zeros = [(calendar.loosens(row.day, row.at_us), row.entry, at) for at, row in advice.view.points("zero_marks")]
    if zeros:
        yield f"{_point(max(zeros)[2], speed)}: zero mark"
    for at, _ in advice.view.points("stripes"):
        yield f"{_point(at, speed)}: timecode begins"


def _holds(advice: Advice, speed: int) -> Iterator[str]:
    for reason in advice.reasons:
        if reason.code == "on-hold":
            where = "" if reason.lo is None or reason.hi is None else f"{_where(reason.lo, reason.hi, speed)}: "
            yield f"{where}{reason.says}"
