"""An ordering task made of what is asked: the need that is left, the days worth ordering on, what budgets leave."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from stock.planning.need import Need
from stock.planning.ordering.ask import Ask, Line, month_of
from stock.planning.ordering.model import Choice, Item, Task
from stock.planning.ordering.offers import Offer, breaks_on, last_day, tiers
from stock.planning.ordering.solve import running

_DAYS_A_YEAR = 365


def task_of(needs: Sequence[Need], offers: Sequence[Offer], locked: Sequence[Line], ask: Ask) -> Task:
    """The task of the needs, beside what is on order and set by hand."""
    coming = [
        *((each.stock_item, each.day, each.quantity) for each in ask.coming),
        *((line.stock_item, line.arrives, line.quantity) for line in locked),
    ]
    return Task(
        tuple(_item(need, coming, offers, ask) for need in needs),
        tuple(_choices(needs, offers, locked, ask)),
        _budgets_left(ask, locked),
    )


def _item(need: Need, coming: Iterable[tuple[str, int, int]], offers: Sequence[Offer], ask: Ask) -> Item:
    """The need that is left once what is on order is counted, and what a reel weighs."""
    own = [(day, reels) for item, day, reels in coming if item == need.stock_item]
    left = [
        wanted - sum(reels for day, reels in own if day <= week)
        for week, wanted in zip(need.weeks, need.service, strict=True)
    ]
    days = (ask.today, *(change.day for change in ask.scenario.changes if change.day is not None))
    lowest = min(
        (
            price
            for offer in offers
            if offer.stock_item == need.stock_item
            for day in days
            for _, price in breaks_on(offer, day, ask.scenario)
        ),
        default=0,
    )
    lengths = (*(after - before for before, after in pairwise(need.weeks)), 7)
    return Item(
        need.stock_item,
        running(left),
        lowest * ask.holding_share // _DAYS_A_YEAR,
        lowest * min(ask.end_share, 1000),
        lengths,
    )


def _choices(needs: Sequence[Need], offers: Sequence[Offer], locked: Sequence[Line], ask: Ask) -> Iterable[Choice]:
    paid: dict[tuple[str, int], int] = {}
    for line in locked:
        key = line.supplier, line.order_by
        paid[key] = max(paid.get(key, 0), line.fee)
    days_of: dict[str, set[int]] = {}
    wanted = [
        (at, need, offer) for at, need in enumerate(needs) for offer in offers if offer.stock_item == need.stock_item
    ]
    for _, need, offer in wanted:
        days_of.setdefault(offer.supplier, set()).update(_days(need, offer, ask))
    days_paid: dict[str, set[int]] = {}
    for supplier, day in paid:
        days_paid.setdefault(supplier, set()).add(day)
    for at, need, offer in wanted:
        last = last_day(offer, ask.scenario)
        days = days_of[offer.supplier] if offer.fee else _days(need, offer, ask)
        for day in sorted(days | days_paid.get(offer.supplier, set())):
            week = next((week for week, start in enumerate(need.weeks) if start >= day + offer.lead_high), None)
            if week is None or day < ask.today or (last is not None and day > last):
                continue
            fee = max(0, offer.fee - paid.get((offer.supplier, day), 0))
            bands = tiers(offer, day, ask.scenario)
            if bands:
                yield Choice(at, offer.supplier, day, week, offer.case, bands, fee, month_of(day))


def _days(need: Need, offer: Offer, ask: Ask) -> set[int]:
    """The days worth ordering on: for each week the last that does, and before each change of price, end or month.

    Ordering on any other day costs no less than on the next of these.
    """
    last = last_day(offer, ask.scenario)
    latest = min(need.weeks[-1] - offer.lead_high, need.weeks[-1] if last is None else last)
    days = {start - offer.lead_high for start in need.weeks}
    days |= {change.day - 1 for change in ask.scenario.changes if change.day is not None}
    days |= set() if last is None else {last}
    if ask.budgets:
        days |= {day for day in range(ask.today, latest + 1) if month_of(day) != month_of(day + 1)}
    return {day for day in days if ask.today <= day <= latest}


def _budgets_left(ask: Ask, locked: Iterable[Line]) -> dict[int, int]:
    left = {month: limit - ask.committed.get(month, 0) for month, limit in ask.budgets.items()}
    seen: set[tuple[str, int]] = set()
    for line in sorted(locked, key=lambda line: -line.fee):
        month, key = month_of(line.order_by), (line.supplier, line.order_by)
        if month in left:
            left[month] -= line.goods + (0 if key in seen else line.fee)
        seen.add(key)
    return {month: max(0, limit) for month, limit in left.items()}
