"""Which takes go onto which reels, and where: fewest reels, then the house's order of preference."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from time import monotonic
from typing import NamedTuple

from stock.core.picking.candidates import Candidate, Wipe
from stock.core.picking.request import Footprint, Request, footprints
from stock.core.rules import Rules
from stock.planning.bounds import least_reels
from stock.planning.choose import Chooser
from stock.planning.exact import MOST_TAKES, Search
from stock.planning.fill import Packing, fill, first_fit, orders, restarts
from stock.planning.model import Key, Option, Task, option_of, simple, task_of
from stock.planning.ordered import fewest_in_order
from stock.planning.solver import improve

LIMIT_S = 5.0


class Placement(NamedTuple):
    """Where one take goes. lo, hi: its footprint; start, end: the take itself, if it keeps to its time.

    margin: tape from its end to the next footprint or the end of the free stretch. wear: the most passes under it, in
    tenths. splice: the place of the nearest splice.
    """

    take: int
    reel: str
    lo: int
    hi: int
    start: int
    end: int
    margin: int
    wear: int
    splice: int | None


class Plan(NamedTuple):
    """A plan. reels: in the order the session comes to them.

    bound: how many reels any plan needs at least; proved_fewest: it needs no more. proved_best: no plan is better in
    the whole order of preference. wipe_first: reels and how. spare: for each reel the longest stretch left free.
    """

    reels: tuple[str, ...]
    proved_fewest: bool
    bound: int
    proved_best: bool
    placements: tuple[Placement, ...]
    wipe_first: tuple[tuple[str, Wipe], ...]
    spare: dict[str, int]
    formulations: tuple[str | None, ...]
    batches: tuple[str | None, ...]


class Outcome(NamedTuple):
    """The best plan found on some reels, if any; how many any plan needs; whether the plan is proved the best."""

    key: Key | None
    bound: int
    settled: bool


def plan(found: Sequence[Candidate], request: Request, rules: Rules, *, limit_s: float = LIMIT_S) -> Plan | None:
    """The plan for a request on the candidates; None where no plan is found.

    limit_s: how long the hard part may take, 0 for not at all; what is decided without it is the same every time.
    """
    task = task_of(request, rules)
    until = monotonic() + limit_s
    outcomes: list[Outcome] = []
    most = request.reels_most
    for options in _by_formulation([option_of(candidate, task) for candidate in found], request.mix):
        outcome = solve(task, options, most, until - monotonic())
        if outcome is not None:
            outcomes.append(outcome)
            most = outcome.key[0] if outcome.key is not None else most
    plans = [outcome for outcome in outcomes if outcome.key is not None]
    if not plans:
        return None
    best = min(plans, key=lambda outcome: outcome.key or ())
    assert best.key is not None
    bound = min(outcome.bound for outcome in outcomes)
    fewest = best.key[0] == bound
    settled = fewest and all(outcome.settled or outcome.bound > bound for outcome in outcomes)
    prints = footprints(request, rules)
    return _told(best.key, found, prints, task, bound, settled)


def _by_formulation(options: list[Option], mix: bool) -> list[list[Option]]:
    """Reels that may be in one plan together: those of one formulation, unless several may be mixed."""
    if mix or not options:
        return [options]
    groups: dict[str, list[Option]] = {}
    for option in options:
        groups.setdefault(option.formulation or "", []).append(option)
    return [group for _, group in sorted(groups.items())]


def solve(task: Task, options: list[Option], reels_most: int | None, limit_s: float) -> Outcome | None:
    """The best plan on reels that may all be used together; None where it is proved that there is none."""
    if task.ordered:
        found = fewest_in_order(task, options)
        if found is None:
            return None
        packing, bound = found
    else:
        least = least_reels(task, options)
        if least is None:
            return None
        bound = least
        plain = [simple(option, task) for option in options]
        packing, plain = _quick(task, plain, bound)
    most = len(options) if reels_most is None else min(reels_most, len(options))
    search = Search(task, options)
    while bound <= most and (packing is None or bound < len(packing)) and _small(task):
        exact = search.best(bound)
        if exact.key is not None and exact.settled:
            return Outcome(exact.key, bound, True)
        if not exact.settled:
            break
        bound += 1
    if bound > most:
        return None
    if limit_s > 0 and not task.ordered and (packing is None or len(packing) > bound):
        packing, bound = improve(task, plain, packing, bound, limit_s)
    if packing is None or len(packing) > most:
        return None if bound > most else Outcome(None, bound, False)
    if len(packing) == bound:
        exact = search.best(bound)
        if exact.key is not None and exact.settled:
            return Outcome(exact.key, bound, True)
    return Outcome(Chooser(task, options, packing).choose(), bound, False)


def _small(task: Task) -> bool:
    return task.ordered or len(task.lengths) <= MOST_TAKES


def _quick(task: Task, options: Sequence[Option], bound: int) -> tuple[Packing | None, list[Option]]:
    """As few reels as sums of takes find soon, and the reels in the order that did best; it stops at the bound."""
    best: Packing | None = None
    ways: tuple[Callable[[list[Option]], Packing | None], ...] = (
        lambda order: first_fit(task, order),
        lambda order: fill(task, order),
        lambda order: restarts(task, order, bound),
    )
    best_order, *_ = both = orders(task, options)
    for way in ways:
        for order in both:
            packing = way(order)
            if packing is not None and (best is None or len(packing) < len(best)):
                best, best_order = packing, order
            if best is not None and len(best) == bound:
                return best, best_order
    return best, best_order


def _told(
    key: Key, found: Sequence[Candidate], prints: Sequence[Footprint], task: Task, bound: int, settled: bool
) -> Plan:
    """A plan in the words of the answer."""
    by_reel = {candidate.reel: candidate for candidate in found}
    order = list(dict.fromkeys(laid.reel for laid in key[6]))
    used = [by_reel[reel] for reel in order]
    placements: dict[int, Placement] = {}
    spare: dict[str, int] = {}
    for candidate in used:
        mine = sorted((laid.start, laid.take) for laid in key[6] if laid.reel == candidate.reel)
        left = []
        for free in candidate.stretches:
            inside = [(start, take) for start, take in mine if free.lo <= start < free.hi]
            end = free.lo
            for number, (start, take) in enumerate(inside):
                shape = prints[take]
                end = start + shape.length
                after = inside[number + 1][0] if number + 1 < len(inside) else free.hi
                placements[take] = _placed(candidate, take, start, shape, after)
            left.append(free.hi - end - (task.gap if inside else 0))
        spare[candidate.reel] = max(0, *left)
    return Plan(
        tuple(order),
        len(order) == bound,
        bound,
        settled,
        tuple(placements[take] for take in sorted(placements)),
        tuple((candidate.reel, candidate.wipe) for candidate in used if candidate.wipe is not None),
        spare,
        tuple(dict.fromkeys(candidate.formulation for candidate in used)),
        tuple(dict.fromkeys(batch for candidate in used for batch in candidate.batches)),
    )


def _placed(candidate: Candidate, take: int, start: int, shape: Footprint, after: int) -> Placement:
    lo, hi = start, start + shape.length
    away = [(max(lo - at, at - hi, 0), at) for at in candidate.splices]
    return Placement(
        take,
        candidate.reel,
        lo,
        hi,
        lo + shape.slate,
        lo + shape.ends,
        after - lo - shape.ends,
        max((tenths for a, b, tenths in candidate.wear if a < hi and lo < b), default=0),
        min(away)[1] if away else None,
    )
