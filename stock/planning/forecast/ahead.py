"""Projects ahead as a forecast takes them: what was entered made whole, or why it cannot be.

Where a cell is empty, the reading that needs more tape stands in: keep everything, certain to happen; reels come back
only where somebody said when.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal, NamedTuple

from stock.core.measure import Speed
from stock.core.rules import GRADES, Grade, Rules
from stock.core.words import clock

Mode = Literal["keep-all", "keep-masters", "through"]
MODES: tuple[Mode, ...] = ("keep-all", "keep-masters", "through")

Spread = tuple[int, int, int]
"""The lowest, the likeliest and the highest value of a triangular distribution."""


class ProjectRow(NamedTuple):
    """A project's newest entry, cell by cell, None where not stated; units as `stock.core.kinds` stores them."""

    project: str
    first: int | None
    last: int | None
    chance: int | None
    stock_item: str | None
    speed: int | None
    vary: int | None
    titles: int | None
    length_low: int | None
    length_likely: int | None
    length_high: int | None
    takes_low: int | None
    takes_likely: int | None
    takes_high: int | None
    false_starts: int | None
    mode: str | None
    cool_days: int | None
    days_back: int | None
    passes_per_take: int | None
    client_buys: str | None
    grade: str | None


class Ahead(NamedTuple):
    """A project ahead.

    first, last: day numbers. chance, false_starts: thousandths. speed: the tape's, micrometres per second. lengths:
    microseconds. cool_days: of a transfer before its reel may be wiped. days_back: from the last day until its reels
    are back, None where they are not to be counted on. wear: of one take, thousandths of a pass.
    """

    project: str
    first: int
    last: int
    chance: int
    stock_item: str
    speed: int
    titles: int
    lengths: Spread
    takes: Spread
    false_starts: int
    mode: Mode
    cool_days: int
    days_back: int | None
    wear: int
    grade: Grade

    def day_of(self, title: int) -> int:
        """The day a title is recorded on: titles are spread evenly over the project's days, in order."""
        return self.first + title * (self.last - self.first + 1) // self.titles


class LeftOut(NamedTuple):
    """A project the forecast leaves out. column: the cell at fault, None where nothing is wrong with it."""

    project: str
    column: str | None
    says: str


def ahead_of(row: ProjectRow, today: int, items: Collection[str], rules: Rules) -> Ahead | LeftOut:
    """A project made ready for the forecast, or why it is left out. items: the stock items there are."""
    fault = _fault(row, items)
    if row.last is not None and row.last < today:
        return LeftOut(row.project, None, "it is over")
    if row.client_buys == "yes" and (fault is None or fault.column not in ("from", "to")):
        return LeftOut(row.project, None, "the client buys its tape")
    if fault is not None:
        return fault
    assert row.first is not None and row.last is not None and row.stock_item is not None and row.speed is not None
    assert row.titles is not None
    mode: Mode = next((mode for mode in MODES if mode == row.mode), "keep-all")
    cool = 0 if mode == "through" else rules.number("cooling_days")
    return Ahead(
        row.project,
        row.first,
        row.last,
        1000 if row.chance is None else row.chance,
        row.stock_item,
        Speed(row.speed, row.vary or 0).actual,
        row.titles,
        _spread(row.length_low, row.length_likely, row.length_high),
        _spread(row.takes_low, row.takes_likely, row.takes_high),
        row.false_starts or 0,
        mode,
        cool if row.cool_days is None else row.cool_days,
        row.days_back,
        1000 if row.passes_per_take is None else row.passes_per_take,
        next((grade for grade in GRADES if grade == row.grade), "standard"),
    )


def _spread(low: int | None, likely: int | None, high: int | None) -> Spread:
    """A spread from what was stated of it; the likeliest stands for an end that was not."""
    assert likely is not None
    return likely if low is None else low, likely, likely if high is None else high


def _fault(row: ProjectRow, items: Collection[str]) -> LeftOut | None:
    """The first thing that keeps a project from being forecast."""

    def fault(column: str, says: str) -> LeftOut:
        return LeftOut(row.project, column, says)

    for column, value, says in (
        ("from", row.first, "it has no first day"),
        ("to", row.last, "it has no last day, so its titles cannot be set in weeks"),
        ("stock_item", row.stock_item, "it does not say what it records on"),
        ("speed", row.speed, "it has no speed"),
        ("titles", row.titles, "it does not say how many titles"),
        ("length_likely", row.length_likely, "it does not say how long a take usually is"),
        ("takes_likely", row.takes_likely, "it does not say how many takes a title usually needs"),
    ):
        if value is None:
            return fault(column, says)
    assert row.first is not None and row.last is not None and row.speed is not None and row.titles is not None
    if row.last < row.first:
        return fault("to", "its last day is before its first")
    if row.stock_item not in items:
        return fault("stock_item", f"there is no stock item {row.stock_item}")
    if Speed(row.speed, row.vary or 0).actual <= 0:
        return fault("speed", "the tape must move")
    if row.titles < 1:
        return fault("titles", "it has no titles")
    for column, share in (("chance", row.chance), ("false_starts", row.false_starts)):
        if share is not None and not 0 <= share <= 1000:
            return fault(column, "a share lies between 0 and 1")
    for stem, low, likely, high in (
        ("length", row.length_low, row.length_likely, row.length_high),
        ("takes", row.takes_low, row.takes_likely, row.takes_high),
    ):
        least, usual, most = _spread(low, likely, high)
        if not 0 <= least <= usual <= most:
            return fault(f"{stem}_likely", "low, likely and high do not ascend")
    if row.length_likely == 0:
        return fault("length_likely", "a take of no length needs no tape")
    if row.length_high is not None and row.length_high > 24 * 3_600_000_000:
        return fault("length_high", f"no take lasts {clock(row.length_high)}")
    if row.takes_high is not None and row.takes_high > 1000:
        return fault("takes_high", "no title needs more than 1000 takes")
    if row.titles > 1000:
        return fault("titles", "more than 1000 titles: enter it as several projects")
    return None


class Pool(NamedTuple):
    """Reels of one stock item that are alike. floor: the best grade they are fit for, as its number in `GRADES`,
    whatever their wear. wear: thousandths of a pass. wipes: counted as if wiped already. back: the day they come back,
    None on the shelf."""

    count: int  # type: ignore[assignment]
    wear: int
    wipes: int
    floor: int
    back: int | None = None


class Arrival(NamedTuple):
    """Reels on order, and the day they are expected."""

    day: int
    count: int  # type: ignore[assignment]


class Shelf(NamedTuple):
    """What there is of one stock item. length: of its tape, tenths of a millimetre."""

    stock_item: str
    length: int
    pools: tuple[Pool, ...] = ()
    on_order: tuple[Arrival, ...] = ()


class Question(NamedTuple):
    """What a forecast is asked. weeks: the day numbers their days begin at; the first holds `today`."""

    projects: tuple[Ahead, ...]
    shelves: tuple[Shelf, ...]
    today: int
    weeks: tuple[int, ...]
    trials: int
    seed: int


def weeks_from(today: int, how_many: int, first_weekday: int) -> tuple[int, ...]:
    """The starts of so many weeks, the first of them the week of today. first_weekday: 1 is Monday."""
    weekday = (today + 3) % 7 + 1  # day 0, 1970-01-01, was a Thursday
    start = today - (weekday - first_weekday) % 7
    return tuple(start + 7 * week for week in range(how_many))
