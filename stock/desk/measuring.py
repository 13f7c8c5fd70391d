"""Measured wear of one reel: its response, how long it will last, what a loss points to, what cutting would give."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from stock.core.fitness import wear_along
from stock.core.kinds import BY_NAME, columns
from stock.core.least_worn import WornSpan, least_worn, worst_place
from stock.core.measure import length_of
from stock.core.response import TOP_TONE_HZ, Series, falls_with, series_of
from stock.core.rules import GRADES, Grade
from stock.core.trimming import Trim, trims
from stock.core.verdict import Advice
from stock.core.view import View
from stock.desk.desk import Desk

if TYPE_CHECKING:
    from stock.wear.life import Life, Track
    from stock.wear.shape import Shape
    from stock.wear.survival import EarlyBatch, Lived, Step

_BY_NUMBER = 200
"""Reels up to which a formulation is read reel by reel; with more the house is read in bulk."""
_MOST_POOLED = 60
"""Other reels a loss per pass is pooled with: more would tell little more."""
_FURTHEST_DAYS = 36_500


class Until(NamedTuple):
    """From when to when a limit is reached at the present rate of use: local days; None where it is too far off."""

    first: int | None
    last: int | None


class Worth(NamedTuple):
    """What a trimmed reel is worth against a new one. share: thousandths of a new reel's usable length. units, price:
    minor units of the currency, None where no price is recorded."""

    share: int
    units: int | None
    price: int | None
    currency: str | None


@dataclass(frozen=True)
class Lasting:
    """How the reels of a formulation last. left_out: reels whose passes before they came are not known."""

    formulation: str
    lived: list[Lived]
    left_out: int
    steps: list[Step]
    early: list[EarlyBatch]


@dataclass(frozen=True)
class Measured:
    """What is measured of a reel. top: the 10 kHz series the life rests on, or the worst. rate: passes a day.

    left_by_limit: passes left by the house's limit on passes. falls: dB by tone, where `shape` tells of them. lasting:
    None where the formulation is not known, or nobody asked.
    """

    advice: Advice
    series: list[Series]
    top: Series | None
    limits: Mapping[Grade, float]
    life: Life
    left_by_limit: Mapping[Grade, int]
    rate: float
    until: Mapping[Grade, Until]
    falls: Mapping[int, float]
    shape: Shape | None
    worst: WornSpan | None
    least: WornSpan | None
    trims: list[tuple[Trim, Worth]]
    formulation: str | None
    lasting: Lasting | None


def measure(desk: Desk, reel: str, *, lasting: bool = True) -> Measured:
    """All that is measured of one reel and of its formulation. Raises NoSuchReel.

    lasting: whether to gather how the reels of the formulation last, which looks at all of them.
    """
    from stock.wear.life import life_of
    from stock.wear.shape import shape_of

    (advice,) = desk.advise([reel])
    house = advice.view.house
    series = series_of(advice.view)
    tops = [each for each in series if each.frequency_hz == TOP_TONE_HZ]
    formulation = house.formulation_of(reel)
    name = formulation.formulation if formulation else None
    limits: dict[Grade, float] = {grade: house.rules.number(f"response_fall_{grade}") / 1000 for grade in GRADES}
    others = _other_tracks(desk, reel, name) if name else []
    life = life_of([track_of(reel, each) for each in tops], others, dict(limits.items()))
    top = tops[life.worst] if life.worst is not None else tops[0] if tops else None
    falls = falls_with(top, series) if top is not None else {}
    shape = shape_of(falls, top.speed) if top is not None and top.speed and falls else None
    most = advice.fitness.wear_most
    rate = _rate(advice, top)
    return Measured(
        advice,
        series,
        top,
        limits,
        life,
        {grade: max(0, house.rules.number(f"passes_{grade}") - -(-most // 10)) for grade in GRADES},
        rate,
        {grade: _until(life, grade, rate, house.as_of.day) for grade in GRADES if grade in life.left},
        falls,
        shape,
        worst_place(advice),
        least_worn(advice, house.rules.number("shortest_stretch")),
        cuts_worth(desk, advice),
        name,
        lasting_of(desk, name) if lasting and name else None,
    )


def track_of(reel: str, series: Series) -> Track:
    """A series as the loss per pass is found from it: whole passes and decibels."""
    from stock.wear.life import Track

    return Track(
        reel,
        tuple(reading.passes / 10 for reading in series.readings),
        tuple(reading.level_db / 1000 for reading in series.readings),
        series.passes_now / 10,
    )


def _other_tracks(desk: Desk, reel: str, formulation: str) -> list[Track]:
    """The 10 kHz readings of the other reels of a formulation, of those checked most often."""
    with desk.store.reading() as reader:
        rows = reader.raw(
            "SELECT x.reel FROM response AS x JOIN reels AS r ON r.reel = x.reel "
            "JOIN stock_items AS s ON s.stock_item = r.stock_item "
            "WHERE s.formulation = ? AND x.frequency_hz = ? AND x.reel <> ? "
            "GROUP BY x.reel HAVING count(DISTINCT x.entry) > 1 ORDER BY count(DISTINCT x.entry) DESC, x.reel LIMIT ?",
            (formulation, TOP_TONE_HZ, reel, _MOST_POOLED),
        )
    numbers = sorted(number for (number,) in rows)
    if not numbers:
        return []
    others = desk.house(numbers)
    return [
        track_of(number, each)
        for number in numbers
        if number in others.reel_numbers
        for each in series_of(View(others, number))
        if each.frequency_hz == TOP_TONE_HZ and len(each.readings) > 1
    ]


def _rate(advice: Advice, top: Series | None) -> float:
    """Passes a day of the last year, or since the reel came if that is less; where it was checked, else at most."""
    house = advice.view.house
    came = advice.view.reel.acquired
    days = 365 if came is None else min(365, max(30, house.as_of.day - came))
    if top is not None:
        return top.year / 10 / days
    before = 10 * (advice.view.reel.passes_before or 0)
    if came is None or days == 365:
        return 0.0
    return max(0, advice.fitness.wear_most - before) / 10 / days


def _until(life: Life, grade: Grade, rate: float, today: int) -> Until:
    left = life.left[grade]

    def day(passes: int | None) -> int | None:
        if passes is None or rate <= 0 or passes / rate > _FURTHEST_DAYS:
            return None
        return today + int(passes / rate)

    return Until(day(left.low), day(left.high))


def cuts_worth(desk: Desk, advice: Advice) -> list[tuple[Trim, Worth]]:
    """The cuts that would help a reel, and what it would be worth after each."""
    return [(trim, _worth(desk, advice, trim)) for trim in trims(advice)]


def _worth(desk: Desk, advice: Advice, trim: Trim) -> Worth:
    house = advice.view.house
    item = house.item_of(advice.reel)
    speed = house.rules.number("usual_speed")
    head = max(length_of(house.rules.number("unused_head_s"), speed), house.rules.number("unused_head_length"))
    whole = (item.length if item else advice.view.length) - head - length_of(house.rules.number("unused_tail_s"), speed)
    share = min(1000, 1000 * trim.fit_left // whole) if whole > 0 else 0
    paid = bought(desk, advice)
    price, currency = paid["price"], paid["currency"]
    return Worth(share, None if price is None else price * share // 1000, price, currency)


def bought(desk: Desk, advice: Advice) -> dict[str, Any]:
    """The stored values of a reel's own entry, by column."""
    kind = BY_NAME["reel"]
    with desk.store.reading() as reader:
        (fact,) = reader.facts(kind, entries=[advice.view.reel.entry])
    return dict(zip((column.name for column in columns(kind)), fact.values, strict=True))


def lasting_of(desk: Desk, formulation: str) -> Lasting:
    """How the reels of a formulation last, by the most passes anywhere on each."""
    from stock.wear.survival import Lived, early_batches, survival

    with desk.store.reading() as reader:
        rows = reader.raw(
            "SELECT DISTINCT r.reel FROM reels AS r JOIN stock_items AS s ON s.stock_item = r.stock_item "
            "WHERE s.formulation = ?",
            (formulation,),
        )
    numbers = sorted(number for (number,) in rows)
    house = desk.house(numbers) if len(numbers) <= _BY_NUMBER else desk.house()
    there = set(house.reel_numbers)
    lived: list[Lived] = []
    left_out = 0
    for number in numbers:
        if number not in there:
            continue
        view = View(house, number)
        came = view.reel.passes_before
        if came is None and view.reel.arrived_as != "sealed":
            left_out += 1
            continue
        lived.append(
            Lived(number, float(came or 0), _most_passes(view), bool(view.spans("retirements")), view.reel.batch or "")
        )
    return Lasting(formulation, lived, left_out, survival(lived), early_batches(lived))


def _most_passes(view: View) -> float:
    return max((tenths for _, _, tenths in wear_along(view)), default=0) / 10
