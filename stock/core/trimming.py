"""What cutting would give: where a fault is local, how much to cut, and what is left for which grade."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from stock.core.fitness import GradeFit, judge_tape, severities
from stock.core.measure import INCH
from stock.core.rules import GRADES, Grade
from stock.core.spans import Span
from stock.core.verdict import Advice
from stock.core.view import View

_MOST_TRIED = 60
_MOST_LOCAL = 5
"""A fault is local, and worth cutting out of a reel that serves without, where it takes at most this part of it."""


class Trim(NamedTuple):
    """One cut that helps. lo, hi: the reel places to cut out.

    grades: those it is for. regained: whether they are not sure before it; else they hold from end to end after it, and
    only in part before. left: the tape left. fit_left: the longest stretch of it fit for all those grades.
    free: whether what lies on the cut tape may be thrown away now.
    """

    lo: int
    hi: int
    grades: tuple[Grade, ...]
    regained: bool
    left: int
    fit_left: int
    free: bool


def trims(advice: Advice, speed: int | None = None) -> list[Trim]:
    """The best single cut for each grade that gains by one, the most tape left first; grades of one cut together.

    Each is tried: the answer is that of the tape as it would be. Cutting away the place of a response check is never
    advised, for it would take the evidence with it and not the fault.
    """
    before = advice.fitness.grades
    wanted = [grade for grade in GRADES if not _all_of(before[grade], advice.fitness.usable)]
    if not wanted:
        return []
    best: dict[Grade, tuple[tuple[int, ...], Span, bool, int, int]] = {}
    for lo, hi in _cuts(advice.view):
        view = View(advice.view.house.with_cut(advice.reel, lo, hi), advice.reel)
        after = judge_tape(view, speed)
        for grade in wanted:
            fit = after.grades[grade]
            regained = before[grade].answer != "yes" and fit.answer == "yes"
            end_to_end = (
                before[grade].answer == "yes"
                and _all_of(fit, after.usable)
                and _MOST_LOCAL * (hi - lo) <= advice.view.length
            )
            if not (regained or end_to_end):
                continue
            rank = (fit.longest, lo - hi, -lo)
            if grade not in best or rank > best[grade][0]:
                best[grade] = rank, (lo, hi), regained, view.length, fit.longest
    together: dict[tuple[Span, bool], list[Grade]] = {}
    for grade in wanted:
        if grade in best:
            together.setdefault((best[grade][1], best[grade][2]), []).append(grade)
    found = [
        Trim(
            *span,
            tuple(grades),
            regained,
            best[grades[0]][3],
            min(best[grade][4] for grade in grades),
            _may_go(advice, span),
        )
        for (span, regained), grades in together.items()
    ]
    return sorted(found, key=lambda trim: (-trim.fit_left, trim.lo, trim.hi))


def _all_of(fit: GradeFit, usable: Span) -> bool:
    return fit.answer == "yes" and fit.stretches == (usable,)


def _cuts(view: View) -> Iterator[Span]:
    """Cuts worth trying: a head or a tail up to where something changes, and each local fault by itself."""
    length = view.length
    rules = view.house.rules
    fitness = judge_tape(view)
    whole = (0, length)
    faults = {(lo, hi) for lo, hi, *_ in severities(view)}
    faults |= {(joint.at - INCH, joint.at + INCH) for joint in fitness.joints if joint.firm}
    for grade in GRADES:
        limit = 10 * rules.number(f"passes_{grade}")
        faults |= {(lo, hi) for lo, hi, tenths in fitness.wear if tenths > limit}
    for reason in fitness.reasons:
        if reason.lo is not None and reason.hi is not None:
            faults.add((reason.lo, reason.hi))
    faults |= {(start, start + piece.hi - piece.lo) for start, piece in view.on_reel}
    faults = {(max(lo, 0), min(hi, length)) for lo, hi in faults}
    checks = [at for at, _ in view.points("response")]
    ends = sorted({place for fault in faults for place in fault} | {joint.at for joint in fitness.joints})
    tried = {(0, at) for at in ends} | {(at, length) for at in ends} | faults
    tried |= {(a, b) for a, b in pairwise(ends)}
    kept = sorted(
        (
            (lo, hi)
            for lo, hi in tried
            if lo < hi and (lo, hi) != whole and not any(lo <= at < hi or hi == at == length for at in checks)
        ),
        key=lambda span: (span[1] - span[0], span),
    )
    yield from kept[:_MOST_TRIED]


def _may_go(advice: Advice, span: Span) -> bool:
    """Whether nothing speaks against throwing a stretch away."""
    return not any(
        reason.about == "recording"
        and reason.severity != "note"
        and (reason.lo is None or reason.hi is None or (reason.lo < span[1] and span[0] < reason.hi))
        for reason in advice.reasons
    )
