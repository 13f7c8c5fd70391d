"""Verdicts in words and signs, so that none is told by its colour alone."""

from __future__ import annotations

from stock.core.measure import Speed, time_of
from stock.core.words import clock, speed_words

SIGNS: dict[str, str] = {
    "clear": "\u2713",
    "blank": "\u25cb",
    "inspect": "?",
    "keep": "\u25a0",
    "retire": "\u00d7",
    "": "\u2026",
}
"""The sign of each verdict, each one cell wide and each another shape; the empty one is being worked out."""

MEANINGS: dict[str, str] = {
    "clear": "recorded, all of it may go, and the tape is fit for some grade: it may be wiped",
    "blank": "nothing recorded since its last wipe, or never, and the tape is fit for some grade",
    "inspect": "nothing to lose on it, but whether the tape is fit is not known: look at it first",
    "keep": "something on it may not go, or nobody knows that it may: do not wipe it",
    "retire": "nothing to lose on it, and the tape is fit for no grade any more",
}
"""What each verdict says, for the page of help."""


def verdict_sign(verdict: str) -> str:
    """Sign and word of a verdict: `\u2713 clear`; empty while it is worked out: `\u2026 working`."""
    return f"{SIGNS[verdict]} {verdict or 'working'}"


def verdict_tone(verdict: str) -> str:
    """The name of the theme's colour of a verdict."""
    return f"verdict-{verdict}" if verdict else "quiet"


def verdict_words(verdict: str, grade: str, longest: int, speed: int) -> str:
    """A verdict with its best grade and longest fit stretch: `\u2713 clear, standard, 28:40 at 15 ips`.

    longest: tenths of a millimetre. speed: micrometres per second. Grade and stretch are said of clear and blank only.
    """
    if verdict not in ("clear", "blank") or not grade:
        return verdict_sign(verdict)
    return f"{verdict_sign(verdict)}, {grade}, {clock(time_of(longest, speed))} at {speed_words(Speed(speed))}"
