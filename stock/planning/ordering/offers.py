"""Quotes as offers: the newest of each supplier for each stock item, its bands on a day, what is wrong with some."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from stock.planning.ordering.model import Tier

_MOST = 1_000_000
_LONG_AGO = -(1 << 30)


class Quote(NamedTuple):
    """One line of a quote as recorded. day, valid_until: day numbers. unit_price, order_fee: minor units."""

    entry: int
    supplier: str
    stock_item: str
    day: int | None
    from_quantity: int | None
    unit_price: int
    currency: str
    pricing: str | None
    minimum: int | None
    case: int | None
    order_fee: int | None
    lead_low: int | None
    lead_likely: int | None
    lead_high: int | None
    valid_until: int | None


class Offer(NamedTuple):
    """What a supplier asks for one stock item. breaks: (from how many reels, minor units each), rising.

    incremental: whether a band's price counts for its own reels only, else for all. lead_likely, lead_high: days.
    last_day: the last day one may order on, None where none is said.
    """

    supplier: str
    stock_item: str
    currency: str
    breaks: tuple[tuple[int, int], ...]
    incremental: bool
    minimum: int
    case: int
    fee: int
    lead_likely: int
    lead_high: int
    last_day: int | None


class Trouble(NamedTuple):
    """Why a quote, an order or a budget is not used as it stands. about: the supplier and stock item, or the month."""

    code: str
    about: str
    says: str


class Change(NamedTuple):
    """Other prices. thousandths: by how much they rise. day: from when on, None at once. supplier: None for all."""

    thousandths: int
    day: int | None = None
    supplier: str | None = None


class Scenario(NamedTuple):
    """Prices as they might be. ends: suppliers and their last day of selling; prices: one price a reel, by item."""

    changes: tuple[Change, ...] = ()
    ends: tuple[tuple[str, int], ...] = ()
    prices: tuple[tuple[str, int], ...] = ()


def offers_of(
    quotes: Iterable[Quote], today: int, currency: str | None = None
) -> tuple[list[Offer], list[Trouble], str | None]:
    """The offers that stand today in one currency (the one most quotes are in, if none is named), by item and supplier.

    The newest quote of a supplier for an item replaces the older ones, also where it has run out. What is not said is
    taken as it binds most: the longest lead, the largest minimum and fee, the earliest end.
    """
    newest: dict[tuple[str, str], list[Quote]] = {}
    for quote in sorted(quotes, key=lambda quote: (quote.stock_item, quote.supplier, quote.entry)):
        held = newest.setdefault((quote.stock_item, quote.supplier), [])
        if held and _age(quote) > _age(held[0]):
            held.clear()
        if not held or _age(quote) == _age(held[0]):
            held.append(quote)
    found: list[Offer] = []
    troubles: list[Trouble] = []
    for rows in newest.values():
        made = _offer(rows, today)
        if isinstance(made, Trouble):
            troubles.append(made)
        else:
            found.append(made)
    counts = Counter(offer.currency for offer in found)
    usual = min(counts, key=lambda code: (-counts[code], code), default=None)
    kept = currency or usual
    for offer in found:
        if offer.currency != kept:
            says = f"quoted in {offer.currency}, so left out of a plan in {kept}"
            troubles.append(Trouble("other-currency", _about(offer.supplier, offer.stock_item), says))
    return [offer for offer in found if offer.currency == kept], troubles, kept


def _age(quote: Quote) -> int:
    return _LONG_AGO if quote.day is None else quote.day


def _about(supplier: str, stock_item: str) -> str:
    return f"{supplier}, {stock_item}"


def _offer(rows: Sequence[Quote], today: int) -> Offer | Trouble:
    """The offer that the lines of one quote make."""
    first = rows[0]
    about = _about(first.supplier, first.stock_item)
    prices: dict[int, int] = {}
    for row in rows:
        start = row.from_quantity or 1
        if prices.setdefault(start, row.unit_price) != row.unit_price:
            return Trouble("two-prices", about, f"has two prices from {start} up on one day")
    for name, values in (
        ("currencies", {row.currency for row in rows}),
        ("ways of pricing", {row.pricing or "all-units" for row in rows}),
        ("case sizes", {row.case or 1 for row in rows}),
    ):
        if len(values) > 1:
            return Trouble("mixed-quote", about, f"has several {name} in one quote: {', '.join(map(str, values))}")
    leads = [each for row in rows for each in (row.lead_low, row.lead_likely, row.lead_high) if each is not None]
    if not leads:
        return Trouble("no-lead-time", about, "says no lead time, so nobody knows when to order")
    last = min((row.valid_until for row in rows if row.valid_until is not None), default=None)
    if last is not None and last < today:
        return Trouble("quote-ended", about, "has run out; ask for a new quote")
    return Offer(
        first.supplier,
        first.stock_item,
        first.currency,
        tuple(sorted(prices.items())),
        first.pricing == "incremental",
        max(row.minimum or 1 for row in rows),
        first.case or 1,
        max(row.order_fee or 0 for row in rows),
        max((row.lead_likely for row in rows if row.lead_likely is not None), default=max(leads)),
        max(leads),
        last,
    )


def last_day(offer: Offer, scenario: Scenario) -> int | None:
    """The last day one may order on."""
    ends = [day for supplier, day in scenario.ends if supplier == offer.supplier]
    ends += [] if offer.last_day is None else [offer.last_day]
    return min(ends, default=None)


def breaks_on(offer: Offer, day: int, scenario: Scenario) -> tuple[tuple[int, int], ...]:
    """The bands of an offer for an order placed on a day, each price rounded to the minor unit, a half up."""
    breaks = offer.breaks
    for stock_item, price in scenario.prices:
        if stock_item == offer.stock_item:
            breaks = ((breaks[0][0], price),)
    for change in scenario.changes:
        if change.supplier in (None, offer.supplier) and (change.day is None or day >= change.day):
            breaks = tuple((start, _risen(price, change.thousandths)) for start, price in breaks)
    return breaks


def _risen(price: int, thousandths: int) -> int:
    return max(0, (price * (1000 + thousandths) * 2 + 1000) // 2000)


def tiers(offer: Offer, day: int, scenario: Scenario) -> tuple[Tier, ...]:
    """The bands in cases; those that no number of whole cases falls in are left out."""
    breaks = breaks_on(offer, day, scenario)
    found: list[Tier] = []
    base = 0
    for at, (start, unit) in enumerate(breaks):
        following = breaks[at + 1][0] if at + 1 < len(breaks) else _MOST + 1
        if at and offer.incremental:
            base += (breaks[at - 1][1] - unit) * (start - 1)
        first = -(-max(start, offer.minimum) // offer.case)
        last = (following - 1) // offer.case
        if first <= last:
            found.append(Tier(first, last, unit, base))
    return tuple(found)
