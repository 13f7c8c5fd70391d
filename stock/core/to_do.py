"""What is still to be done with a reel once the session is over, worked out from its facts."""

from __future__ import annotations

from typing import Literal, NamedTuple

from stock.core.moments import EVER
from stock.core.record import Take
from stock.core.verdict import Advice
from stock.core.view import View

Code = Literal["end", "name", "decide", "transfer", "wind", "shelf"]


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
    claims = [(f"{claim.take.title}/{claim.take.take}", claim.take, claim) for claim in advice.recording.claims
              if claim.take is not None]  # fmt: skip
    ended = [(label, take, claim) for label, take, claim in claims if take.state != "running"]
    nameless = [label for label, take, _ in ended if take.title == untitled]
    if nameless:
        add("name", f"give {few(nameless)} a title")
    open_ = [label for label, take, _ in ended if _undecided(view, take)]
    if open_:
        add("decide", f"say what is to become of {few(open_)}")
    unsafe = [label for label, _, claim in ended if claim.bare]
    if unsafe:
        add("transfer", f"transfer {few(unsafe)}")
    used = last_use(view)
    if used != EVER:
        if not _since(view, used, "wind"):
            add("wind", "wind it tails out, as is common practice")
        shelf = _shelf(view)
        if not _moved_since(view, used):
            add("shelf", f"take it to its shelf{f', {shelf}' if shelf else ''}")
    return found


def few(labels: list[str], most: int = 3) -> str:
    """A few names; of many, how many more there are."""
    named = list(dict.fromkeys(labels))
    rest = len(named) - most
    return ", ".join(named[:most]) + (f" and {rest} more" if rest > 0 else "")


def _undecided(view: View, take: Take) -> bool:
    """Whether nobody said yet what is to become of a take."""
    decisions, binds = view.house.decisions_of(take.entry), view.house.calendar.binds
    newest = max(decisions, key=lambda row: (binds(row.day, row.at_us), row.entry), default=None)
    return (take.keep if newest is None else newest.keep) in (None, "undecided")


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
