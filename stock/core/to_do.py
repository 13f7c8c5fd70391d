"""What is still to be done with a reel once the session is over, worked out from its facts."""

from __future__ import annotations

from typing import Literal, NamedTuple

from stock.core.moments import EVER
from stock.core.verdict import Advice
from stock.core.view import View

Code = Literal["end", "name", "decide", "transfer", "wind", "shelf"]
UNPROVED = ("not-transferred", "partly-transferred", "tracks-missing")
"""Reasons that a transfer takes away."""


class ToDo(NamedTuple):
    """One thing to do with a reel. says: in a few words."""

    reel: str
    code: Code
    says: str


def to_do(advice: Advice, running: str | None, untitled: str) -> list[ToDo]:
    """What is to be done with a reel that was used, in the order one does it.

    running: the name of the take that still runs. untitled: what a take without a title is called.
    """
    view = advice.view
    found: list[ToDo] = []

    def add(code: Code, says: str) -> None:
        found.append(ToDo(advice.reel, code, says))

    if running is not None:
        add("end", f"end {running}, which still runs")
    takes = [claim for claim in advice.recording.claims if claim.take is not None and claim.label != running]
    nameless = [claim.label for claim in takes if claim.take is not None and claim.take.title == untitled]
    if nameless:
        add("name", f"give {_some(nameless)} a title")
    open_ = [
        claim.label
        for claim in takes
        if claim.take is not None and _undecided(view, claim.take.entry, claim.take.keep, claim.take.state)
    ]
    if open_:
        add("decide", f"say what is to become of {_some(open_)}")
    unsafe = list(dict.fromkeys(claim.label for claim in takes if claim.bare))
    if unsafe:
        add("transfer", f"transfer {_some(unsafe)}")
    used = last_use(view)
    if used != EVER:
        if not _since(view, used, "wind"):
            add("wind", "wind it tails out, as is common practice")
        shelf = _shelf(view)
        if not _moved_since(view, used):
            add("shelf", f"take it to its shelf{f', {shelf}' if shelf else ''}")
    return found


def _some(labels: list[str], most: int = 3) -> str:
    """A few names; of many, how many more there are."""
    named = list(dict.fromkeys(labels))
    rest = len(named) - most
    return ", ".join(named[:most]) + (f" and {rest} more" if rest > 0 else "")


def _undecided(view: View, entry: int, keep: str | None, state: str | None) -> bool:
    """Whether nobody said yet what is to become of a take."""
    decisions = view.house.decisions_of(entry)
    if decisions:
        calendar = view.house.calendar
        keep = max(decisions, key=lambda row: (calendar.binds(row.day, row.at_us), row.entry)).keep
    return state != "running" and keep in (None, "undecided")


def last_use(view: View) -> int:
    """When the tape last ran over the heads: the moment of the newest take or pass; EVER where it never did."""
    binds = view.house.calendar.binds
    moments = [binds(row.day, row.at_us) for _, _, row in view.spans("passes") if row.kind != "wind"]
    moments += [binds(row.day, row.at_us) for _, _, row in view.spans("takes")]
    return max(moments, default=EVER)


def _since(view: View, moment: int, kind: str) -> bool:
    """Whether a pass of a kind was entered as made at that moment or later."""
    binds = view.house.calendar.binds
    return any(row.kind == kind and binds(row.day, row.at_us) >= moment for _, _, row in view.spans("passes"))


def _moved_since(view: View, moment: int) -> bool:
    binds = view.house.calendar.binds
    return any(binds(row.day, row.at_us) >= moment for row in view.house.keyed("moves", view.reel.reel))


def _shelf(view: View) -> str:
    """Where the reel stands when it is in its place: where it was last put, else where it came to stand."""
    binds = view.house.calendar.binds
    put = [row for row in view.house.keyed("moves", view.reel.reel) if row.kind == "shelf" and row.to]
    newest = max(put, key=lambda row: (binds(row.day, row.at_us), row.entry), default=None)
    return (newest.to if newest is not None else view.reel.shelf) or ""
