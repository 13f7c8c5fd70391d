"""What picking answers, in lines: the plan, each reel that may serve with a picture of its tape, and why not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from stock.core.explain import EXPLAINED
from stock.core.measure import time_of
from stock.core.to_do import few
from stock.core.words import clock, feet, speed_words
from tui.present.row import Piece, fitted
from tui.present.sheet import Said, SheetLine, said_sheet

if TYPE_CHECKING:
    from stock.core.picking.ranking import Ranked
    from stock.desk.picking import Picked
    from stock.planning.plan import Placement

FREE, TAKEN, UNUSED = "\u2500", "\u2588", "\u00b7"
_NAMED = 6
"""How many reels are named for each reason; the others are counted."""
LEGEND = f"{FREE} free for this  {TAKEN} a take of the plan  {UNUSED} not for this"


def tape_bar(length: int, stretches: Sequence[tuple[int, int]], placed: Sequence[tuple[int, int]], cells: int) -> str:
    """A reel's tape from head to tail in so many cells: free stretches, and where takes are placed on them."""
    if length <= 0 or cells <= 0:
        return ""
    bar = [UNUSED] * cells
    for spans, sign in ((stretches, FREE), (placed, TAKEN)):
        for lo, hi in spans:
            first = lo * cells // length
            last = max(first + 1, -(-hi * cells // length))
            for at in range(first, min(last, cells)):
                bar[at] = sign
    return "".join(bar)


def plan_pieces(picked: Picked) -> list[list[Piece]]:
    """The plan in lines, or what would make it fit."""
    plan, request = picked.plan, picked.request
    if plan is None:
        return [[Piece("Nothing fits.", "verdict-keep")], *([Piece(f"  \u2192 {hint}")] for hint in picked.hints)]
    many = "reel" if len(plan.reels) == 1 else "reels"
    proved = "proved the fewest" if plan.proved_fewest else f"at least {plan.bound} needed"
    lines = [
        [
            Piece(f"{len(plan.reels)} {many}", "verdict-clear"),
            Piece(f", {proved}, at {speed_words(request.speed)}, {request.grade}"),
        ]
    ]
    for placement in plan.placements:
        lines.append([Piece(f"  {_placement_words(picked, placement)}")])
    for reel, how in plan.wipe_first:
        lines.append([Piece(f"  wipe {reel} first{', in bulk' if how == 'bulk' else ''}", "verdict-inspect")])
    return lines


def _placement_words(picked: Picked, placement: Placement) -> str:
    start, end = (picked.counter_time(placement, at) for at in (placement.start, placement.end))
    spare = clock(time_of(placement.margin, picked.request.speed.actual))
    code = picked.code(placement, placement.start)
    words = (
        f"take {placement.take + 1}, {clock(picked.request.takes[placement.take])}: {placement.reel} {start} to {end} "
        f"({feet(placement.start)}), {spare} to spare, {placement.wear // 10} passes"
    )
    if placement.splice is not None:
        words += f", splice at {feet(placement.splice)}"
    return f"{words}, code {code}" if code else words


def reel_pieces(picked: Picked, row: Ranked, width: int) -> list[Piece]:
    """One reel that may serve: number, longest free stretch, passes, what is to be done first, and its tape."""
    candidate = row.candidate
    placed = [(p.lo, p.hi) for p in (picked.plan.placements if picked.plan else ()) if p.reel == candidate.reel]
    longest = clock(time_of(row.longest.length, picked.request.speed.actual))
    first = {None: "", "bulk": "wipe in bulk", "any": "wipe first"}[candidate.wipe]
    words = (
        f"{fitted(candidate.reel, 10)} {fitted(longest, 8, right=True)} free "
        f"{fitted(str(row.longest.wear // 10), 4, right=True)} passes  {fitted(first, 12)} "
    )
    length = picked.lengths.get(candidate.reel, 0)
    bar = tape_bar(length, [(free.lo, free.hi) for free in candidate.stretches], placed, max(8, width - len(words) - 2))
    return [Piece(words, "verdict-clear" if placed else ""), Piece(bar, "tape-proved" if placed else "quiet")]


def rejected_words(picked: Picked) -> str:
    """Why the other reels may not serve, as counts of each reason."""
    if not picked.rejected:
        return "Every other reel may serve."
    most = ", ".join(f"{code} {len(reels)}" for code, reels in _by_code(picked))
    return f"{_reels(len(picked.rejected))} may not serve: {most}"


def _reels(count: int) -> str:
    return "1 reel" if count == 1 else f"{count} reels"


def _by_code(picked: Picked) -> list[tuple[str, list[str]]]:
    """The reels that may not serve by each code they are given, the commonest first."""
    held: dict[str, list[str]] = {}
    for found in picked.rejected:
        for code in found.codes:
            held.setdefault(code, []).append(found.reel)
    return sorted(held.items(), key=lambda pair: (-len(pair[1]), pair[0]))


def rejected_title(picked: Picked) -> str:
    """What the sheet of the reels that may not serve is about."""
    return f"{_reels(len(picked.rejected))} may not serve: why not?"


def rejected_sheet(picked: Picked, rules: Mapping[str, str]) -> list[SheetLine]:
    """Every code that keeps reels from serving, with some of those reels, explained.

    rules: values of house rules as they are typed, by name. A reel may stand under several codes.
    """
    said = [
        Said(EXPLAINED[code], SheetLine(_reels(len(reels)), f"{code}: {few(reels, _NAMED)}", "no"))
        for code, reels in _by_code(picked)
    ]
    return said_sheet(said, rules) or [SheetLine("", "Every other reel may serve.", "yes")]
