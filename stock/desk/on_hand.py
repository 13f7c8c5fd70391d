"""The stock a forecast starts from, taken from the verdicts: on the shelf, due back by date, on order.

What is not sure does not count: reels to look at first, reels whose day is past or not stated. Each of them is told
apart, so that a manager sees what one look or one call would add. Orders are counted on as in order plans.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple

from stock.core.custody import owners
from stock.core.house import House
from stock.core.measure import length_of
from stock.core.picking.candidates import OWN_PROOF
from stock.core.picking.standing import Standing, standing
from stock.core.rules import GRADES, Rules
from stock.core.verdict import Advice, advise
from stock.planning.forecast.ahead import Arrival, Pool, ProjectRow
from stock.planning.ordering.ask import Coming

_COMES_BACK = OWN_PROOF | {"no-release", "unlogged-recording"}
"""What stands against a reel that its project's end will settle."""


class NotCounted(NamedTuple):
    """Reels of a stock item that are not counted on. which: their numbers."""

    stock_item: str
    code: str
    count: int  # type: ignore[assignment]
    which: tuple[str, ...]
    says: str


_SAYS = {
    "inspect": "to look at or listen to first",
    "short": "with too little fit tape left",
    "worn": "worn out, or fit for no grade",
    "no-day": "in use, and nobody said when they come back",
    "overdue": "in use, and past the day they were due back",
    "held": "held, away, or kept for another reason",
    "kept": "masters, safeties and reference tapes",
    "not-ours": "of other owners",
}


class OnHand(NamedTuple):
    """What there is, by stock item."""

    pools: Mapping[str, tuple[Pool, ...]]
    not_counted: tuple[NotCounted, ...]


def on_hand(house: House, projects: list[ProjectRow], going_on: Callable[[], None] | None = None) -> OnHand:
    """The house's own reels as a forecast starts from them. going_on: called for each, may raise to break it off."""
    back = {row.project: _back_day(row, house.rules) for row in projects}
    pools: dict[str, Counter[Pool]] = {}
    left: dict[tuple[str, str], list[str]] = {}
    for answer in advise(house):
        if going_on is not None:
            going_on()
        item = house.reel(answer.reel).stock_item
        found = _pool(answer, house, back)
        if isinstance(found, Pool):
            pools.setdefault(item, Counter())[found] += 1
        else:
            left.setdefault((item, found), []).append(answer.reel)
    return OnHand(
        {
            item: tuple(pool._replace(count=count) for pool, count in sorted(found.items(), key=lambda e: _order(e[0])))
            for item, found in pools.items()
        },
        tuple(
            NotCounted(item, code, len(reels), tuple(reels), _SAYS[code])
            for (item, code), reels in sorted(left.items())
        ),
    )


def _order(pool: Pool) -> tuple[int, ...]:
    return (-1 if pool.back is None else pool.back, pool.floor, pool.wear, pool.wipes)


def _back_day(row: ProjectRow, rules: Rules) -> int | None:
    """The day a project's reels are back, None where that cannot be said."""
    if row.last is None or row.days_back is None:
        return None
    cool = row.cool_days
    if cool is None:
        cool = 0 if row.mode == "through" else rules.number("cooling_days")
    return row.last + max(row.days_back, cool, 1)


def _pool(answer: Advice, house: House, back: Mapping[str, int | None]) -> Pool | str:
    """A reel as a pool of one, or the code that says why it is not counted."""
    reel = answer.view.reel
    if {(owner or "").strip().casefold() for _, _, owner in owners(answer.view)} != {"house"}:
        return "not-ours"
    if reel.role not in (None, "session"):
        return "kept"
    if answer.verdict == "inspect":
        return "inspect"
    if answer.verdict == "retire":
        return "worn"
    held = standing(answer, house.rules.number("usual_speed"))
    day: int | None = None
    if answer.verdict == "keep":
        if not set(held.against) <= _COMES_BACK or not held.recorded:
            return "held"
        days = [back.get(each.project or "") for each in held.recorded if each.in_a_take]
        if not days or any(due is None for due in days):
            return "no-day"
        day = max(due for due in days if due is not None)
        if day <= house.as_of.day:
            return "overdue"
    return _worn(answer, held, house, day)


def _worn(answer: Advice, held: Standing, house: House, day: int | None) -> Pool | str:
    """A reel with its wear; it counts only with nearly as much fit tape in one stretch as a new one has."""
    item = house.item_of(answer.reel)
    whole = item.length if item is not None else answer.view.length
    ends = held.usable[0] + length_of(house.rules.number("unused_tail_s"), held.speed)
    least = (whole - ends) * house.rules.number("counts_as_reel") // 1000
    fit = [at for at, grade in enumerate(GRADES) if held.fits[grade].answer == "yes"]
    if not fit:
        return "inspect" if any(held.fits[grade].answer == "unknown" for grade in GRADES) else "worn"
    floor = next((at for at in fit if held.fits[GRADES[at]].longest >= least), None)
    if floor is None:
        return "short"
    wipes = len(held.wiped) + (answer.verdict != "blank")
    return Pool(1, answer.fitness.wear_most * 100, wipes, floor, day)


def arrivals(coming: Iterable[Coming]) -> dict[str, tuple[Arrival, ...]]:
    """What is still to come of the orders placed, by stock item, each on the day it is counted on, soonest first."""
    found: dict[str, list[Arrival]] = {}
    for each in sorted(coming, key=lambda each: (each.day, each.order)):
        found.setdefault(each.stock_item, []).append(Arrival(each.day, each.quantity))
    return {item: tuple(held) for item, held in found.items()}
