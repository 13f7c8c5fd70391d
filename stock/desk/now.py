"""What the house has to do today: from the list of reels, the copies, the orders and the journal; the needs apart."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, suppress
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from stock.core.house import House
from stock.core.moments import AsOf, Calendar, date_of, datetime_of, day_number
from stock.core.now import Group, Task, grouped, reel_tasks
from stock.core.proof import copies_of
from stock.core.record import Transfer
from stock.core.words import percent
from stock.desk.desk import Desk
from stock.desk.projects import project_rows
from stock.desk.proving import copies_house, due_of
from stock.desk.purchases import purchases
from stock.desk.reading import zone_in_force
from stock.desk.wiping import permits_open
from stock.store.reader import Reader

if TYPE_CHECKING:
    from stock.desk.forecasting import Told
    from stock.desk.shelf import Shelf

_SURE = 1000


class Now(NamedTuple):
    """What is to be done, as of a moment. tasks: in no order; the needs are not among them."""

    as_of: AsOf
    tasks: tuple[Task, ...]

    def groups(self, needs: Sequence[Task] = ()) -> list[Group]:
        """All of it, and what is short, by what it is."""
        return grouped([*self.tasks, *needs])


def now(desk: Desk, shelf: Shelf | None = None) -> Now:
    """What the house has to do. shelf: the list of its reels, up to date; without it every reel is worked out."""
    of_reels = shelf.tasks() if shelf is not None else [task for each in desk.advise() for task in reel_tasks(each)]
    with desk.store.reading() as reader:
        calendar, as_of = Calendar(zone_in_force(reader)), desk.as_of()
        permits = list(_permits(reader, calendar, as_of))
        of_copies = list(_copies(copies_house(reader, calendar, as_of)))
        orders = list(_orders(reader, calendar, as_of))
    return Now(as_of, tuple(_each_once([*of_reels, *of_copies, *permits, *orders])))


def quick_now(desk: Desk) -> Now:
    """What the house has to do, by the list of reels kept beside the database where that can be used."""
    from stock.desk.shelf import Shelf

    # the list is kept for this day alone
    if desk.today is None:
        with suppress(OSError, sqlite3.Error), closing(Shelf(desk)) as shelf:
            shelf.refresh()
            return now(desk, shelf)
    return now(desk)


def _each_once(tasks: Sequence[Task]) -> Iterator[Task]:
    """A copy is told once: as failed, else as what a transfer waits for, else as due."""
    failed = {(task.transfer, task.copy) for task in tasks if task.code == "copy-failed"}
    waiting = {(task.transfer, task.copy) for task in tasks if task.code == "to-prove"}
    for task in tasks:
        about = task.transfer, task.copy
        told = (task.code == "to-prove" and about in failed) or (task.code == "copy-due" and about in waiting)
        if not told:
            yield task


def _permits(reader: Reader, calendar: Calendar, as_of: AsOf) -> Iterator[Task]:
    for each in permits_open(reader, calendar, as_of):
        given = datetime_of(each.at_us).astimezone(calendar.zone)
        says = f"{each.who} was given a permit at {given:%H:%M}; it is good for today"
        yield Task(
            "permit-open", "wipe", says, "erase it and enter that, or let the permit lapse", reel=each.reel,
            since=as_of.day,
        )  # fmt: skip


def _copies(house: House) -> Iterator[Task]:
    """The copies that failed their newest check, and then the others that are due."""
    checks = {row.entry: row for row in house.record.of("copy_checks")}
    standing: list[Transfer] = [
        row
        for row in sorted(house.record.of("transfers"))
        if row.entry not in house.record.voided and house.as_of.has(row.day, row.at_us)
    ]
    newest = {row.transfer: row for row in standing}
    told: set[tuple[str, str]] = set()
    for transfer in newest.values():
        for copy, fault in copies_of(house, transfer):
            if fault is not None and fault.code == "copy-check-failed":
                told.add((copy.transfer, copy.copy))
                check = checks[fault.facts[0]]
                yield Task(
                    "copy-failed", "prove", f"{fault.says}: what is on the reel may be all there is",
                    f"{fault.remedy}, and prove it", transfer=copy.transfer, copy=copy.copy,
                    since=house.calendar.local_day(check.day, check.at_us),
                )  # fmt: skip
    most = house.rules.number("copy_check_days")
    for due in due_of(house):
        if (due.transfer, due.copy) in told:
            continue
        last = day_number(date.fromisoformat(due.last)) if due.last is not None else None
        read = "never read through"
        if last is not None:
            read = f"read {house.as_of.day - last} days ago; {most} is the most"
        yield Task(
            "copy-due", "prove", f"copy {due.copy} on {due.medium}, {due.place}, {read}", "read it through",
            transfer=due.transfer, copy=due.copy, since=last,
        )  # fmt: skip


def _orders(reader: Reader, calendar: Calendar, as_of: AsOf) -> Iterator[Task]:
    for row in purchases(reader, calendar, as_of).standings():
        if row.late:
            placed = row.order
            days = f"{row.late} day{'' if row.late == 1 else 's'}"
            says = f"{row.open} of {placed.quantity} {placed.stock_item} not here, {days} late, from {placed.supplier}"
            yield Task(
                "order-late", "orders", says, "ask the supplier, and receive what came", order=placed.order,
                since=as_of.day - row.late,
            )  # fmt: skip


class Needs:
    """What is short by the forecast, asked for again and again; it is worked out anew when the record has changed.

    going_on: called now and then while it is under way; what it raises breaks it off.
    """

    def __init__(self, desk: Desk, going_on: Callable[[], None] | None = None) -> None:
        from stock.desk.forecasting import Forecaster

        self._desk = desk
        self._forecaster = Forecaster(desk, going_on)

    def tasks(self) -> list[Task]:
        """The stock items that may run short; none, and at once, where no project is ahead."""
        with self._desk.store.reading() as reader:
            rows = project_rows(reader)
        if not any(row.last is not None and row.last >= self._desk.as_of().day for row in rows):
            return []
        return short_tasks(self._forecaster.forecast())


def short_tasks(told: Told) -> list[Task]:
    """The stock items of a forecast that the house may run short of by more than its service level bears."""
    tasks = []
    bears = 1 - told.service / _SURE
    for need in told.forecast.needs:
        at = next((at for at, share in enumerate(need.short) if share > bears), None)
        if at is None:
            continue
        coming = sum(order.count for order in told.shelf(need.stock_item).on_order)
        week = date_of(need.weeks[at]).isoformat()
        says = f"week of {week}: {percent(need.short[at])} chance of running short; {percent(bears)} is borne"
        reels = f"{need.service[-1]} reel{'' if need.service[-1] == 1 else 's'}"
        remedy = f"to have bought {reels} by {date_of(need.weeks[-1]).isoformat()} would do; {coming} are on order"
        tasks.append(Task("short", "needs", says, remedy, stock_item=need.stock_item, since=need.weeks[at]))
    return tasks
