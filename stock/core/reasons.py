"""Reasons: why an answer is what it is, and what would change it."""

from __future__ import annotations

from typing import Literal, NamedTuple

About = Literal["recording", "tape"]
ABOUT: tuple[About, ...] = ("recording", "tape")
Severity = Literal["no", "doubt", "note"]
Answer = Literal["yes", "no", "unknown"]


class Reason(NamedTuple):
    """One reason of an answer.

    lo, hi: reel places, None for the whole reel. tracks: a mask, None where tracks do not matter. facts: the entries it
    rests on. says: one plain sentence. remedy: what would change it, empty where nothing would.
    """

    code: str
    about: About
    severity: Severity
    says: str
    remedy: str = ""
    lo: int | None = None
    hi: int | None = None
    tracks: int | None = None
    facts: tuple[int, ...] = ()


RECORDING_CODES = (
    "not-transferred",
    "partly-transferred",
    "tracks-missing",
    "format-too-low",
    "not-heard",
    "cooling-off",
    "too-few-copies",
    "one-medium",
    "none-elsewhere",
    "copy-check-failed",
    "copy-only-stated",
    "copy-check-old",
    "copy-unchecked",
    "unlogged-recording",
    "on-hold",
    "no-release",
    "reference-tape",
    "not-here",
    "content-unknown",
    "stray-field",
    "set-not-clear",
    "wipe-unproved",
    "overwritten",
    "nothing-recorded",
    "worn-out",
    "void-loosened",
)
TAPE_CODES = (
    "too-many-passes",
    "passes-unknown",
    "too-many-reuses",
    "high-frequency-loss",
    "too-many-splices",
    "splice-doubtful",
    "damaged",
    "not-inspected",
    "wiped-not-heard",
    "batch-suspect",
    "sticky",
    "shedding",
    "vinegar",
    "mould",
    "too-short",
    "retired",
    "void-loosened",
)
_RANK = {"no": 0, "doubt": 1, "note": 2}


def in_order(reasons: list[Reason]) -> list[Reason]:
    """Reasons with the weightiest first, then by code and place: the same facts give the same order."""
    return sorted(
        reasons,
        key=lambda reason: (
            _RANK[reason.severity],
            reason.code,
            -1 if reason.lo is None else reason.lo,
            -1 if reason.hi is None else reason.hi,
            reason.tracks or 0,
            reason.facts,
        ),
    )


def is_same(one: Reason, other: Reason) -> bool:
    """Whether two reasons say the same of the same tape; their words and facts may have changed."""
    return (one.code, one.about, one.lo, one.hi, one.tracks) == (
        other.code,
        other.about,
        other.lo,
        other.hi,
        other.tracks,
    )


def answer_of(reasons: list[Reason]) -> Answer:
    """No when any reason is no, else unknown when any is doubt, else yes."""
    severities = {reason.severity for reason in reasons}
    if "no" in severities:
        return "no"
    return "unknown" if "doubt" in severities else "yes"
