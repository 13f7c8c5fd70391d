"""A day's overdubs in one line, as they are told: `tracks 9,12, about 60 passes, 0:30 to 5:10`."""

from __future__ import annotations

import re
from typing import Literal, NamedTuple

from stock.edge.problems import CellError

_TRACKS = re.compile(
    r"\btracks?\s+([0-9]+(?:\s*-\s*[0-9]+)?(?:\s*,\s*[0-9]+(?:\s*-\s*[0-9]+)?(?![0-9:.]))*)", re.IGNORECASE
)
_COUNT = re.compile(
    r"\b(?:(about|ca\.?|some|roughly)\s+)?([0-9]{1,6})\s*(?:(record|play|recording|playing)\s+)?pass(?:es)?\b",
    re.IGNORECASE,
)
_ENDS = re.compile(
    r"(-?[0-9][0-9:;.]*(?:\s*(?:ft|m|in|cm|min|s)\b)?)\s*(?:to|until|-)\s*(-?[0-9][0-9:;.]*(?:\s*(?:ft|m|in|cm|min|s)\b)?)",
    re.IGNORECASE,
)
_IDLE = re.compile(r"\b(?:from|on|of|overdubs?|record|play|and)\b|[,;.\s]+", re.IGNORECASE)
_WANTS = ("tracks, passes and a stretch", "`tracks 9,12, about 60 passes, 0:30 to 5:10`")
_MOST_PASSES = 100_000


class DayLine(NamedTuple):
    """What such a line says; tracks and places as typed. about: whether the count is a guess."""

    tracks: str
    times: int
    about: bool
    kind: Literal["record", "play"]
    start: str
    end: str


def day_line(text: str) -> DayLine:
    """Read such a line; CellError where a part is missing or something in it is not understood.

    A count left out is 1. The passes are record passes unless it says play.
    """
    rest = text
    count = _COUNT.search(rest)
    if count is not None:
        rest = _without(rest, count)
    tracks = _TRACKS.search(rest)
    if tracks is None:
        raise CellError.of(text, "names no tracks", *_WANTS)
    rest = _without(rest, tracks)
    ends = _ENDS.search(rest)
    if ends is None:
        raise CellError.of(text, "has no stretch", *_WANTS)
    rest = _without(rest, ends)
    played = re.search(r"\bplay", f"{count[3] or ''} {rest}" if count is not None else rest, re.IGNORECASE)
    unread = _IDLE.sub(" ", rest).strip()
    if unread:
        raise CellError.of(unread, "is not understood", *_WANTS)
    times = 1 if count is None else int(count[2])
    if not 1 <= times <= _MOST_PASSES:
        raise CellError.of(text, f"has {times} passes", *_WANTS)
    listed = re.sub(r"\s+", "", tracks[1])
    about = count is not None and bool(count[1])
    return DayLine(listed, times, about, "play" if played else "record", ends[1].strip(), ends[2].strip())


def _without(text: str, found: re.Match[str]) -> str:
    return f"{text[: found.start()]} , {text[found.end() :]}"
