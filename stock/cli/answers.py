"""Answers as JSON: lengths in feet as numbers, passes as numbers, tracks as lists; what is not known is null."""

from __future__ import annotations

from typing import Any

from stock.core.custody import owners
from stock.core.measure import FOOT, time_of
from stock.core.moments import AsOf, date_of
from stock.core.reasons import Reason
from stock.core.rules import GRADES, Grade
from stock.core.tracks import numbers
from stock.core.verdict import Advice
from stock.core.words import clock

_INCH_UM = 25_400


def in_feet(length: int | None) -> float | None:
    """A length in feet to four places."""
    return None if length is None else round(length / FOOT, 4)


def day_of(as_of: AsOf) -> str:
    """The day answers are given for, in the house's time zone."""
    return date_of(as_of.day).isoformat()


def usual_speed(advice: Advice) -> int:
    """The speed times are given at, micrometres per second."""
    return advice.view.house.rules.number("usual_speed")


def offered(advice: Advice) -> tuple[Grade, int] | None:
    """The best grade of a clear or blank reel, and its longest fit stretch; None for other reels."""
    grade = advice.best_grade if advice.verdict in ("clear", "blank") else None
    return None if grade is None else (grade, advice.fit(grade).longest)


def longest_words(advice: Advice, length: int) -> str:
    """How long a stretch plays at the usual speed."""
    return clock(time_of(length, usual_speed(advice)))


def owner_names(advice: Advice) -> list[str]:
    """Whose tape it is now, head to tail, each once; where it is not stated nobody is named."""
    return list(dict.fromkeys(owner for _, _, owner in owners(advice.view) if owner))


def width_in(advice: Advice) -> float | None:
    """The tape's width in inches; None where its stock item is not known."""
    item = advice.view.house.item_of(advice.reel)
    return None if item is None else round(item.width / _INCH_UM, 4)


def reel_json(advice: Advice) -> dict[str, Any]:
    """What a reel is."""
    reel, formulation = advice.view.reel, advice.view.house.formulation_of(advice.reel)
    return {
        "stock_item": reel.stock_item,
        "formulation": formulation.formulation if formulation else None,
        "width_in": width_in(advice),
        "tracks": reel.tracks,
        "batch": reel.batch,
        "owner": ", ".join(owner_names(advice)) or None,
        "role": reel.role,
        "shelf": reel.shelf,
        "note": reel.note,
    }


def reason_json(reason: Reason) -> dict[str, Any]:
    """One reason; start and end null where it is about the whole reel."""
    return {
        "code": reason.code,
        "about": reason.about,
        "severity": reason.severity,
        "says": reason.says,
        "remedy": reason.remedy,
        "start_ft": in_feet(reason.lo),
        "end_ft": in_feet(reason.hi),
        "tracks": None if reason.tracks is None else list(numbers(reason.tracks)),
        "facts": list(reason.facts),
    }


def advice_json(advice: Advice) -> dict[str, Any]:
    """One reel's answer."""
    best = offered(advice)
    return {
        "reel": advice.reel,
        "verdict": advice.verdict,
        "erasable": advice.erasable,
        "fit": {grade: advice.fit(grade).answer for grade in GRADES},
        "reasons": [reason_json(reason) for reason in advice.reasons],
        "length_ft": in_feet(advice.view.length),
        "passes_max": advice.fitness.wear_most / 10,
        "splices": len(advice.fitness.joints),
        "grade": best[0] if best else None,
        "longest_ft": in_feet(best[1]) if best else None,
        "longest": longest_words(advice, best[1]) if best else None,
    }
