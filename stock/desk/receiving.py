"""Receiving what was ordered: the receipt, and the reels with their numbers, batch and price, in one go."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from stock.core.kinds import BY_NAME
from stock.core.moments import date_of
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import CannotEnter, DeskError
from stock.desk.purchases import Standing, purchases
from stock.edge.cells import amount_of, parse
from stock.edge.problems import CellError, Problem
from stock.store.reader import Reader
from stock.store.writer import Writer

MOST = 500
"""Reels received in one go, at most."""

_NUMBERED = re.compile(r"(.*?)([0-9]+)")


class NoSuchOrder(DeskError):
    code = "no-such-order"
    wording = "there is no order {order}"
    remedy = "See `reelward orders --all` for those there are."


class NothingOpen(DeskError):
    code = "nothing-open"
    wording = "of order {order}, {quantity} reels, {open} are still to come, not {asked}"
    remedy = "Enter what came beyond the order as reels of their own, or void a receipt entered twice."


def orders(desk: Desk) -> list[Standing]:
    """Every order and how far it has come, oldest first, as of the desk's moment."""
    house = desk.house(())
    with desk.store.reading() as reader:
        return purchases(reader, house.calendar, house.as_of).standings()


def numbers_from(first: str, count: int) -> list[str]:
    """Reel numbers in sequence, as wide as the first: `M-0200`, `M-0201`. Raises CannotEnter."""
    found = _NUMBERED.fullmatch(first)
    if found is None:
        says = f"{first} does not end in a number to count on from"
        raise CannotEnter([Problem("first_reel", first, "a number such as `M-0200`", says)])
    stem, digits = found.groups()
    return [f"{stem}{number:0{len(digits)}}" for number in range(int(digits), int(digits) + count)]


def receive(
    desk: Desk,
    order: str,
    *,
    quantity: int | None = None,
    first_reel: str = "",
    batch: str = "",
    tracks: int | None = None,
    date: str = "",
    shelf: str = "",
    arrived_as: str = "sealed",
) -> tuple[Receipt, list[str]]:
    """Enter that so many reels of an order came, and the reels; gives what was entered and the reels' numbers.

    quantity: all that is still to come, where not given. first_reel: the next number of that stock item, where not
    given; tracks: those of its other reels. Raises NoSuchOrder, NothingOpen, CannotEnter.
    """
    standing = next((row for row in orders(desk) if row.order.order == order), None)
    if standing is None:
        raise NoSuchOrder(order=order)
    placed = standing.order
    count = standing.open if quantity is None else quantity
    _refuse_beyond(standing, count)
    if count > MOST:
        raise CannotEnter([Problem("quantity", str(count), f"at most {MOST}", f"at most {MOST} reels in one go")])
    with desk.store.reading() as reader:
        held = list(_held(reader, placed.stock_item))
    heads = tracks if tracks is not None else _tracks(placed.stock_item, held)
    reels = numbers_from(first_reel or _next(placed.stock_item, held), count)
    came = {
        "stock_item": placed.stock_item,
        "tracks": str(heads),
        "batch": batch,
        "owner": "house",
        "acquired": _day(desk, date),
        "arrived_as": arrived_as,
        "passes_before": "0" if arrived_as == "sealed" else "",
        "role": "session",
        "price": f"{amount_of(placed.unit_price, placed.currency):f}",
        "currency": placed.currency,
        "supplier": placed.supplier,
        "shelf": shelf,
    }
    receipt = {
        "order": order,
        "date": date,
        "stock_item": placed.stock_item,
        "quantity": str(count),
        "first_reel": reels[0],
        "batch": batch,
    }
    rows = [(BY_NAME["reel"], {"reel": reel, **came}) for reel in reels]

    def still_open(writer: Writer) -> None:
        """Nobody else may have received it meanwhile."""
        calendar, as_of = desk.moment(writer)[1:]
        standings = purchases(writer, calendar, as_of).standings()
        _refuse_beyond(next(row for row in standings if row.order.order == order), count)

    return desk.add_all([*rows, (BY_NAME["receipt"], receipt)], f"receive {order}", first=still_open), reels


def _refuse_beyond(standing: Standing, count: int) -> None:
    if not 0 < count <= standing.open:
        placed = standing.order
        raise NothingOpen(order=placed.order, quantity=placed.quantity, open=standing.open, asked=count)


def _held(reader: Reader, stock_item: str) -> Iterator[tuple[int, str, int]]:
    """The reels of a stock item there are: entry, number, tracks."""
    voided = reader.voided()
    rows: Iterator[Any] = reader.iterate(
        "SELECT entry, reel, tracks FROM reels WHERE stock_item = ? ORDER BY entry", (stock_item,)
    )
    return (row for row in rows if row[0] not in voided)


def _tracks(stock_item: str, held: list[tuple[int, str, int]]) -> int:
    """The head format of the reels there are, where it is one."""
    found = sorted({tracks for _, _, tracks in held})
    if len(found) != 1:
        said = f"its reels have {', '.join(map(str, found))} tracks" if found else "there is no other reel of it"
        says = f"how many tracks reels of {stock_item} get is not known: {said}"
        raise CannotEnter([Problem("tracks", "", "the head format, such as `24`", says)])
    return found[0]


def _next(stock_item: str, held: list[tuple[int, str, int]]) -> str:
    """The number after the highest of those that go on as the newest reel's does."""
    numbered = [found for _, reel, _ in held if (found := _NUMBERED.fullmatch(reel))]
    if not numbered:
        says = f"no reel of {stock_item} has a number to count on from"
        raise CannotEnter([Problem("first_reel", "", "a number such as `M-0200`", says)])
    stem, digits = numbered[-1].groups()
    highest = max(int(found[2]) for found in numbered if found[1] == stem)
    return f"{stem}{highest + 1:0{len(digits)}}"


def _day(desk: Desk, date: str) -> str:
    """The local day of a date as typed, or today's."""
    context = desk.context()
    if not date.strip():
        return date_of(desk.as_of().day).isoformat()
    try:
        day, at_us = parse(BY_NAME["receipt"].field("date"), date, context)
    except CellError as error:
        raise CannotEnter([Problem("date", date, error.expected, str(error))]) from None
    assert isinstance(day, int | None)
    assert isinstance(at_us, int | None)
    local = context.calendar.local_day(day, at_us)
    assert local is not None
    return date_of(local).isoformat()
