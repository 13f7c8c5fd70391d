"""What the house's tape costs: read out of the record, divided among projects, as tables to show, print and write."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from stock.core.costing import (
    Bought,
    Charge,
    End,
    ItemValue,
    Priced,
    Share,
    WriteOff,
    charges,
    divide,
    prices_paid,
    values,
    write_offs,
)
from stock.core.custody import is_house
from stock.core.facts import Stretch
from stock.core.house import House
from stock.core.measure import MINUTE, time_of
from stock.core.record import Record
from stock.core.view import take_names
from stock.desk.desk import Desk
from stock.desk.purchases import Purchases, purchases
from stock.desk.reading import rows_of
from stock.edge.collecting import no_collecting
from stock.planning.ordering.ask import month_of
from stock.store.reader import Reader

TENTHS = 10


@dataclass(frozen=True)
class Month:
    """One month's tape: reels that came, at their prices, orders still open, by the month they were placed; budget."""

    month: int
    currency: str
    spent: int
    committed: int
    budget: int | None


@dataclass(frozen=True)
class Rate:
    """What a minute and a pass of one stock item cost, at the newest price of new tape: hundredths of a minor unit."""

    stock_item: str
    currency: str
    price: int
    minute: int
    pass_: int


@dataclass(frozen=True)
class Costs:
    """All tables of cost as of a day. unpriced: reels of the house that no price was entered for."""

    day: int
    reels: tuple[Priced, ...]
    shares: tuple[Share, ...]
    values: tuple[ItemValue, ...]
    charges: tuple[Charge, ...]
    write_offs: tuple[WriteOff, ...]
    paid: tuple[Bought, ...]
    months: tuple[Month, ...]
    rates: tuple[Rate, ...]
    unpriced: tuple[str, ...]
    life_passes: int


def costs(desk: Desk) -> Costs:
    """The costs of the house as of the desk's moment."""
    rules = desk.house(())
    with desk.store.reading() as reader:
        house = _house(reader, rules)
        read = purchases(reader, house.calendar, house.as_of)
        prices = _prices(reader)
        work = _work(reader, house)
    life = house.rules.number("passes_scratch")
    reels: list[Priced] = []
    shares: list[Share] = []
    unpriced: list[str] = []
    for number in house.reel_numbers:
        if not _ours(house, number):
            continue
        price, currency, supplier = prices.get(house.reel(number).entry, (None, None, None))
        if price is None or currency is None:
            unpriced.append(number)
            continue
        reel = _priced(house, number, price, currency, supplier)
        reels.append(reel)
        shares += divide(reel, work.get(number, {}), life)
    paid = prices_paid(reels)
    return Costs(
        house.as_of.day,
        tuple(reels),
        tuple(shares),
        tuple(values(reels, shares)),
        tuple(charges(reels, shares)),
        tuple(write_offs(reels, shares)),
        tuple(paid),
        tuple(_months(reels, read, house)),
        tuple(_rates(house, paid, life)),
        tuple(unpriced),
        life,
    )


_FILES = ("rules", "formulations", "stock_items", "reels", "owners", "retirements", "moves", "takes")


def _house(reader: Reader, like: House) -> House:
    """As much of the house as costs need, as of the same moment: no passes, which are read one by one."""
    record = Record(made_us=reader.made_us, voided=reader.voided())
    for file in _FILES:
        record.rows[file] = rows_of(reader, file)
    for entry, tape, lo, hi in reader.iterate("SELECT entry, tape, lo, hi FROM places ORDER BY entry, seq"):
        record.more.setdefault(entry, []).append(Stretch(tape, lo, hi))
    with no_collecting():
        return House(record, like.calendar, like.as_of)


def _prices(reader: Reader) -> dict[int, tuple[int | None, str | None, str | None]]:
    return {
        entry: (price, currency, supplier)
        for entry, price, currency, supplier in reader.iterate("SELECT entry, price, currency, supplier FROM reels")
    }


def _ours(house: House, number: str) -> bool:
    """Whether the tape that came on a reel is the house's: all of it, by its newest owner."""
    row = house.reel(number)
    held = [
        (house.calendar.binds(owner.day, owner.at_us), not is_house(owner.owner), owner.owner)
        for _, _, owner in house.on_tape("owners", number)
    ]
    return is_house(max(held)[2] if held else row.owner)


def _priced(house: House, number: str, price: int, currency: str, supplier: str | None) -> Priced:
    row, item = house.reel(number), house.item_of(number)
    length = row.length if row.length is not None else item.length if item else 0
    end, day = _end(house, number)
    new = row.arrived_as == "sealed"
    keeper = _keeper(house, number)
    return Priced(number, row.stock_item, price, currency, row.acquired, supplier, length, new, keeper, end, day)


def _moves(house: House, number: str) -> list[Any]:
    bind = house.calendar.binds
    return sorted(house.keyed("moves", number), key=lambda move: (bind(move.day, move.at_us), move.entry))


def _end(house: House, number: str) -> tuple[End, int | None]:
    """How a reel was lost to use, and when."""
    local = house.calendar.local_day
    retired = [row for _, _, row in house.on_tape("retirements", number)]
    if retired:
        first = min(retired, key=lambda row: (house.calendar.binds(row.day, row.at_us), row.entry))
        return "retired", local(first.day, first.at_us)
    moves = _moves(house, number)
    if moves and moves[-1].kind == "lost":
        return "lost", local(moves[-1].day, moves[-1].at_us)
    return "", None


def _keeper(house: House, number: str) -> str | None:
    """The project a reel is to stay with: a master, a safety, or one that went back for good, by its newest take."""
    moves = _moves(house, number)
    if house.reel(number).role not in ("master", "safety") and not (moves and moves[-1].kind == "returned"):
        return None
    bind = house.calendar.binds
    takes = [(bind(row.day, row.at_us), row.entry, row.project) for _, _, row in house.on_tape("takes", number)]
    return max(takes)[2] if takes else None


Work = dict[str, dict[str | None, int]]
"""Tenths of a pass times tenths of a millimetre, by tape and project."""


def _work(reader: Reader, house: House) -> Work:
    """How much each project wore of each tape: its passes by the takes they name, else by the newest take before."""
    voided = reader.voided()
    there, bind = house.as_of.has, house.calendar.binds
    takes: dict[str, list[tuple[int, str | None]]] = {}
    named: dict[tuple[str, str], str | None] = {}
    rows = [row for row in house.record.of("takes") if row.entry not in voided and there(row.day, row.at_us)]
    for row in sorted(rows, key=lambda row: (bind(row.day, row.at_us), row.entry)):
        for tape in {row.tape, *(piece.tape for piece in house.record.more.get(row.entry, ()))}:
            takes.setdefault(tape, []).append((bind(row.day, row.at_us), row.project))
        for name in take_names(row):
            named[row.reel, name] = row.project
    work: Work = {}
    logged: set[tuple[str, str]] = set()
    for entry, reel, day, at_us, kind, count, take, tape, lo, hi in reader.iterate(_PASSES):
        if entry in voided or not there(day, at_us) or tape is None:
            continue
        tenths = (1 if count is None else count) * (1 if kind == "wind" else TENTHS)
        if take is not None and kind == "record":
            logged.add((reel, take))
        project = named.get((reel, take)) if take is not None else None
        if project is None:
            project = _newest(takes.get(tape, ()), bind(day, at_us))
        _add(work, tape, project, tenths * (hi - lo))
    for row in rows:
        if not any((row.reel, name) in logged for name in take_names(row)):
            for tape, lo, hi in ((row.tape, row.lo, row.hi), *house.record.more.get(row.entry, ())):
                _add(work, tape, row.project, TENTHS * (hi - lo))
    return work


_PASSES = (
    "SELECT entry, reel, day, at_us, kind, count, take, tape, lo, hi FROM passes UNION ALL "
    "SELECT k.entry, k.reel, k.day, k.at_us, k.kind, k.count, k.take, p.tape, p.lo, p.hi "
    "FROM places AS p JOIN passes AS k ON k.entry = p.entry"
)


def _add(work: Work, tape: str, project: str | None, amount: int) -> None:
    own = work.setdefault(tape, {})
    own[project] = own.get(project, 0) + amount


def _newest(takes: Iterable[tuple[int, str | None]], moment: int) -> str | None:
    """The project of the newest take not after a moment. takes: oldest first."""
    found = None
    for at, project in takes:
        if at > moment:
            break
        found = project
    return found


def _months(reels: Iterable[Priced], read: Purchases, house: House) -> list[Month]:
    spent: dict[tuple[int, str], int] = {}
    committed: dict[tuple[int, str], int] = {}
    for reel in reels:
        if reel.acquired is not None:
            key = month_of(reel.acquired), reel.currency
            spent[key] = spent.get(key, 0) + reel.price
    for row in read.standings():
        if row.open and row.order.day is not None:
            key = month_of(row.order.day), row.order.currency
            committed[key] = committed.get(key, 0) + row.open * row.order.unit_price
    budget = house.rules.number("budget_month") or None
    return [
        Month(month, currency, spent.get((month, currency), 0), committed.get((month, currency), 0), budget)
        for month, currency in sorted(spent.keys() | committed.keys())
    ]


def _rates(house: House, paid: Iterable[Bought], life: int) -> list[Rate]:
    """From the newest price of each item bought new. The minutes are those of all its tape at the usual speed."""
    newest: dict[tuple[str, str], Bought] = {}
    for row in paid:
        if row.new and row.price:
            newest[row.stock_item, row.currency] = row
    speed = house.rules.number("usual_speed")
    found = []
    for (item, currency), row in sorted(newest.items()):
        own = house.keyed("stock_items", item)
        time_us = time_of(max(own).length, speed) if own else 0
        if time_us:
            found.append(
                Rate(item, currency, row.price, row.price * 100 * MINUTE // time_us, row.price * 100 // max(1, life))
            )
    return found
