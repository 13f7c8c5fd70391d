"""What was quoted, ordered and received, read out of the record as of a moment."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, NamedTuple

from stock.core.moments import AsOf, Calendar
from stock.planning.ordering.ask import Coming, month_of
from stock.planning.ordering.offers import Quote
from stock.store.reader import Reader

Local = Callable[[int | None, int | None], int | None]


class Order(NamedTuple):
    """An order placed. day: None where it is not dated. unit_price: minor units."""

    entry: int
    order: str
    day: int | None
    supplier: str
    stock_item: str
    quantity: int
    unit_price: int
    currency: str
    expected: int | None


class Received(NamedTuple):
    """A receipt of some or all of an order."""

    entry: int
    order: str
    day: int | None
    stock_item: str
    quantity: int
    first_reel: str | None
    batch: str | None


class Standing(NamedTuple):
    """An order and how far it has come. open: reels still to come. late: days past its expected date, else 0.

    counted_on: the day from which the rest is counted on, None where nothing is to come.
    """

    order: Order
    received: int
    open: int
    late: int
    counted_on: int | None


@dataclass(frozen=True)
class Purchases:
    """All of it. late_most: the most days a supplier's orders came after they were expected."""

    today: int
    quotes: tuple[Quote, ...]
    orders: tuple[Order, ...]
    receipts: tuple[Received, ...]
    late_most: dict[str, int]

    def standings(self) -> list[Standing]:
        """Every order, oldest first."""
        came: dict[str, int] = {}
        for receipt in self.receipts:
            came[receipt.order] = came.get(receipt.order, 0) + receipt.quantity
        return [self._standing(order, came.get(order.order, 0)) for order in self.orders]

    def _standing(self, order: Order, received: int) -> Standing:
        left = max(0, order.quantity - received)
        if not left:
            return Standing(order, received, 0, 0, None)
        expected, slip = order.expected, self.late_most.get(order.supplier, 0)
        if expected is None:
            leads = [
                quote.lead_high
                for quote in self.quotes
                if (quote.supplier, quote.stock_item) == (order.supplier, order.stock_item) and quote.lead_high
            ]
            expected = (self.today if order.day is None else order.day) + max(leads, default=slip)
        late = max(0, self.today - expected)
        # what is late already is taken to be as late again
        counted_on = self.today + max(late, slip) if late else expected + slip
        return Standing(order, received, left, late, counted_on)

    def coming(self) -> list[Coming]:
        """What is still on order, counted on late rather than early."""
        return [
            Coming(row.order.order, row.order.stock_item, row.open, row.counted_on)
            for row in self.standings()
            if row.counted_on is not None
        ]

    def committed(self, currency: str) -> dict[int, int]:
        """What was ordered in each month, in one currency, minor units."""
        found: dict[int, int] = {}
        for order in self.orders:
            if order.currency == currency and order.day is not None:
                month = month_of(order.day)
                found[month] = found.get(month, 0) + order.quantity * order.unit_price
        return found


def purchases(reader: Reader, calendar: Calendar, as_of: AsOf) -> Purchases:
    """What stands of quotes, orders and receipts as of a moment."""
    local = calendar.local_day
    quotes = tuple(
        Quote(entry, supplier, item, local(day, at_us), *rest)
        for entry, supplier, item, day, at_us, *rest in _there(
            reader,
            as_of,
            "quotes",
            "supplier, stock_item, day, at_us, from_quantity, unit_price, currency, pricing, minimum, "
            '"case", order_fee, lead_low, lead_likely, lead_high, valid_until',
            2,
        )
    )
    orders = tuple(
        Order(entry, order, local(day, at_us), *rest)
        for entry, order, day, at_us, *rest in _there(
            reader,
            as_of,
            "orders",
            '"order", day, at_us, supplier, stock_item, quantity, unit_price, currency, expected',
            1,
        )
    )
    receipts = tuple(
        Received(entry, order, local(day, at_us), *rest)
        for entry, order, day, at_us, *rest in _there(
            reader, as_of, "receipts", '"order", day, at_us, stock_item, quantity, first_reel, batch', 1
        )
    )
    in_order = tuple(sorted(orders, key=lambda order: (-1 if order.day is None else order.day, order.entry)))
    return Purchases(as_of.day, quotes, in_order, receipts, _late_most(orders, receipts))


def _there(reader: Reader, as_of: AsOf, file: str, columns: str, day_at: int) -> Iterable[tuple[Any, ...]]:
    """The rows of a file that stand, with their entry first. day_at: where the day stands among the columns."""
    voided = reader.voided()
    for row in reader.iterate(f"SELECT entry, {columns} FROM {file} ORDER BY entry"):
        if row[0] not in voided and as_of.has(row[1 + day_at], row[2 + day_at]):
            yield row


def _late_most(orders: Iterable[Order], receipts: Iterable[Received]) -> dict[str, int]:
    by_name = {order.order: order for order in orders}
    found: dict[str, int] = {}
    for receipt in receipts:
        order = by_name.get(receipt.order)
        if order is not None and order.expected is not None and receipt.day is not None:
            found[order.supplier] = max(found.get(order.supplier, 0), receipt.day - order.expected)
    return found
