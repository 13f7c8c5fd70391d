"""What somebody types for an order plan, read: needs, budgets, lines set by hand, other prices."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, NamedTuple, TypeVar

from stock.core.moments import date_of
from stock.desk.errors import CannotEnter
from stock.edge import numbers
from stock.edge.cells import CellError, Context, minor_units
from stock.edge.clock import day
from stock.edge.problems import Problem
from stock.planning.need import Need
from stock.planning.ordering.ask import Lock, month_of
from stock.planning.ordering.offers import Change, Scenario

T = TypeVar("T")

_WEEK = 7
_MOST_REELS = 10_000
_FURTHEST = 3 * 365
"""Days that a plan looks ahead, at most."""


class Wanted(NamedTuple):
    """A need typed: so many more reels, there by a day."""

    stock_item: str
    quantity: int
    day: int


class Amount(NamedTuple):
    """An amount typed for a month or a stock item, not yet in minor units."""

    of: Any
    amount: Decimal


@dataclass(frozen=True)
class Asked:
    """An order plan asked for. service: thousandths, None for the house's own."""

    service: int | None = None
    needs: tuple[Wanted, ...] = ()
    months: tuple[Amount, ...] = ()
    locks: tuple[Lock, ...] = ()
    without: tuple[str, ...] = ()
    ends: tuple[tuple[str, int], ...] = ()
    rises: tuple[Change, ...] = ()
    prices: tuple[Amount, ...] = ()
    currency: str | None = None

    def budgets(self, currency: str) -> dict[int, int]:
        """The budgets in minor units, by month. Raises CannotEnter."""
        return {each.of: _minor("budget", each, currency) for each in self.months}

    def scenario(self, currency: str) -> Scenario:
        """The prices asked for. Raises CannotEnter."""
        prices = tuple((each.of, _minor("price", each, currency)) for each in self.prices)
        return Scenario(self.rises, self.ends, prices)

    def typed_needs(self, today: int) -> list[Need]:
        """The needs typed, week by week up to each day named; each of those days begins a week of its own.

        Raises CannotEnter for a day too far ahead to plan for.
        """
        days = sorted({wanted.day for wanted in self.needs})
        if days[-1] > today + _FURTHEST:
            says = f"a plan looks at most {_FURTHEST // 365} years ahead"
            raise CannotEnter([Problem("need", date_of(days[-1]).isoformat(), "a day to plan for", says)])
        weeks = tuple(sorted({each for last in days for each in range(last, today - 1, -_WEEK)} | set(days)))
        found = []
        for item in sorted({wanted.stock_item for wanted in self.needs}):
            rows = [wanted for wanted in self.needs if wanted.stock_item == item]
            reels = tuple(sum(row.quantity for row in rows if row.day <= week) for week in weeks)
            found.append(
                Need(item, weeks, reels, reels, reels, reels, reels, (0.0,) * len(weeks), {}, (0.0,) * len(weeks))
            )
        return found


def _minor(column: str, each: Amount, currency: str) -> int:
    try:
        return minor_units(each.amount, currency)
    except CellError as error:
        raise CannotEnter([Problem(column, str(each.amount), error.expected, str(error))]) from None


def asked_of(cells: Mapping[str, Any], context: Context) -> Asked:
    """A request from what somebody typed, by option: lists of texts, or one. Raises CannotEnter with every problem."""
    problems: list[Problem] = []

    def each(name: str, read: Callable[[str], T]) -> tuple[T, ...]:
        found = []
        for text in _texts(cells.get(name)):
            try:
                found.append(read(text))
            except CellError as error:
                problems.append(Problem(name, text, error.expected, str(error)))
        return tuple(found)

    ends = each("without", _ended)
    made = Asked(
        next(iter(each("service", numbers.share)), None),
        each("need", _wanted),
        each("budget", lambda text: Amount(*_pair(text, "=", _month, numbers.money, _BUDGET))),
        each("lock", _lock),
        tuple(name for name, last in ends if last is None),
        tuple((name, last) for name, last in ends if last is not None),
        each("rise", _rise),
        each("price", lambda text: Amount(*_pair(text, "=", str, numbers.money, _PRICE))),
        next(iter(each("currency", numbers.currency)), None),
    )
    if made.service is not None and not 0 < made.service < 1000:
        says = "a service level is more than 0 and less than 1"
        problems.append(Problem("service", str(cells.get("service")), "such as `0.9` or `90 %`", says))
    if problems:
        raise CannotEnter(problems)
    return made


def _texts(given: Any) -> list[str]:
    several: Iterable[Any] = given if isinstance(given, (list, tuple)) else [given]
    return [str(text).strip() for text in several if text is not None and str(text).strip()]


_NEED = ("a need", "`C40=12@2027-01-15`")
_BUDGET = ("a month and an amount", "`2026-12=2400`")
_LOCK = ("a line to order", "`Supplier:C40=12@2026-12-01`")
_RISE = ("a date and a percentage", "`2027-01-01=10`")
_PRICE = ("a stock item and a price", "`C40=250`")
_END = ("a supplier, and its last day if it goes on till then", "`Supplier@2027-01-31`")


def _pair(text: str, sign: str, first: Callable[[str], Any], second: Callable[[str], Any], wants: Any) -> Any:
    left, found, right = text.rpartition(sign)
    if not found or not left.strip() or not right.strip():
        raise CellError.of(text, f"has no `{sign}` between two parts", *wants)
    return first(left.strip()), second(right.strip())


def _month(text: str) -> int:
    return month_of(day(f"{text}-01"))


def _wanted(text: str) -> Wanted:
    rest, on = _pair(text, "@", str, day, _NEED)
    item, quantity = _pair(rest, "=", str, numbers.count, _NEED)
    if not 0 < quantity <= _MOST_REELS:
        raise CellError.of(text, "is no number of reels to plan for", f"1 to {_MOST_REELS} reels")
    return Wanted(item, quantity, on)


def _lock(text: str) -> Lock:
    rest, on = _pair(text, "@", str, day, _LOCK)
    line, quantity = _pair(rest, "=", str, numbers.count, _LOCK)
    supplier, item = _pair(line, ":", str, str, _LOCK)
    return Lock(supplier, item, quantity, on)


def _rise(text: str) -> Change:
    on, percent = _pair(text, "=", day, lambda part: part.rstrip(" %"), _RISE)
    return Change(numbers.thousandths(percent) // 100, on)


def _ended(text: str) -> tuple[str, int | None]:
    if "@" not in text:
        return text, None
    name, last = _pair(text, "@", str, day, _END)
    return name, last
