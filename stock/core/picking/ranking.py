"""Candidates one by one, for a list on the screen: the longest stretch of each, and which takes would lie in it."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.picking.candidates import Candidate, Free
from stock.core.picking.request import Request, footprints, gap
from stock.core.rules import Rules


class Ranked(NamedTuple):
    """A candidate with its longest stretch, the takes (by index) that lie in it one after another, and what is left.

    A session in order stops at the first take that has no room; in any order, later ones are still tried.
    """

    candidate: Candidate
    longest: Free
    takes: tuple[int, ...]
    left: int


def rank(found: list[Candidate], request: Request, rules: Rules) -> list[Ranked]:
    """The candidates, best first: most takes, least to wipe, then wear and age as a plan prefers, then number."""
    lengths = [print_.length for print_ in footprints(request, rules)]
    between = gap(request, rules)
    ranked = [_ranked(candidate, lengths, between, request.any_order) for candidate in found]
    spare_good_tape = -1 if request.grade != "critical" else 1
    return sorted(
        ranked,
        key=lambda row: (
            -len(row.takes),
            row.candidate.wipe is not None,
            spare_good_tape * row.longest.wear,
            row.candidate.acquired is None,
            row.candidate.acquired or 0,
            row.candidate.reel,
        ),
    )


def _ranked(candidate: Candidate, lengths: list[int], between: int, any_order: bool) -> Ranked:
    longest = max(candidate.stretches, key=lambda free: (free.length, -free.lo))
    left = longest.length
    takes: list[int] = []
    for index, length in enumerate(lengths):
        wanted = length + (between if takes else 0)
        if wanted <= left:
            left -= wanted
            takes.append(index)
        elif not any_order:
            break
    return Ranked(candidate, longest, tuple(takes), left)
