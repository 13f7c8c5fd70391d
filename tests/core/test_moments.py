"""Days as instants, the order of moments, and ages."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.moments import (
    EVER,
    NEVER,
    AsOf,
    Calendar,
    Moment,
    as_of_instant,
    date_of,
    datetime_of,
    day_number,
    end_of_day,
    instant,
)
from stock.store.store import Store

from .builder import Studio, codes

HOUR = 3_600_000_000
ZONES = ("UTC", "Europe/Berlin", "America/St_Johns", "Pacific/Auckland", "America/Sao_Paulo", "America/Havana")
DAYS = st.dates(date(1980, 1, 1), date(2045, 12, 31)).map(day_number)


def at(text: str) -> int:
    return instant(datetime.fromisoformat(text))


@pytest.mark.parametrize(
    ("zone", "day", "start", "hours"),
    [
        ("UTC", "2026-03-29", "2026-03-29T00:00Z", 24),
        # European summer time begins and ends on the last Sundays of March and October at 01:00 UTC (from memory)
        ("Europe/Berlin", "2026-03-28", "2026-03-27T23:00Z", 24),
        ("Europe/Berlin", "2026-03-29", "2026-03-28T23:00Z", 23),
        ("Europe/Berlin", "2026-03-30", "2026-03-29T22:00Z", 24),
        ("Europe/Berlin", "2026-10-25", "2026-10-24T22:00Z", 25),
        ("Europe/Berlin", "2026-10-26", "2026-10-25T23:00Z", 24),
        # in the zone database: clocks went from 00:00 to 01:00, so that the day had no midnight
        ("America/Sao_Paulo", "2018-11-04", "2018-11-04T03:00Z", 23),
        # in the zone database: clocks went from 01:00 back to 00:00, so that there was midnight twice
        ("America/Havana", "2025-11-02", "2025-11-02T04:00Z", 25),
    ],
)
def test_a_day_begins_and_ends_by_the_clock_of_the_house(zone: str, day: str, start: str, hours: int) -> None:
    calendar, number = Calendar(zone), day_number(date.fromisoformat(day))
    assert calendar.day_start(number) == at(start)
    assert calendar.day_end(number) == at(start) + hours * HOUR - 1


@given(st.sampled_from(ZONES), DAYS)
def test_days_follow_one_another_and_every_instant_is_in_its_own(zone: str, day: int) -> None:
    calendar = Calendar(zone)
    start, end = calendar.day_start(day), calendar.day_end(day)
    assert end + 1 == calendar.day_start(day + 1)
    for moment in (start, (start + end) // 2, end):
        assert calendar.local_day(None, moment) == day
    assert calendar.local_day(None, start - 1) == day - 1
    assert calendar.local_day(day, None) == day


@given(st.dates(), st.datetimes(timezones=st.just(UTC)))
def test_numbers_of_days_and_instants_are_exact(day: date, moment: datetime) -> None:
    assert date_of(day_number(day)) == day
    assert datetime_of(instant(moment)) == moment
    assert day_number(date(1970, 1, 1)) == instant(datetime(1970, 1, 1, tzinfo=UTC)) == 0
    assert Moment.of_date(day) == Moment(day=day_number(day))
    assert Moment.of_datetime(moment) == Moment(at_us=instant(moment))


@given(st.sampled_from(ZONES), DAYS, st.integers(0, 22 * HOUR))
def test_what_loosens_counts_first_of_its_day_and_what_binds_last(zone: str, day: int, into: int) -> None:
    calendar = Calendar(zone)
    timed = calendar.day_start(day) + into
    # a timed fact counts at its time, whichever it is
    assert calendar.loosens(None, timed) == calendar.binds(None, timed) == timed
    assert calendar.loosens(day, None) == calendar.day_start(day) <= timed <= calendar.binds(day, None)
    assert calendar.binds(day, None) == calendar.day_end(day)
    # so a whole day never helps: what loosens on the day of what binds does not come after it
    assert not calendar.loosens(day, None) > calendar.binds(day, None)
    assert calendar.loosens(day + 1, None) > calendar.binds(day, None)


def test_what_is_not_dated_never_helps() -> None:
    calendar = Calendar()
    assert calendar.loosens(None, None) == EVER < calendar.loosens(day_number(date(1950, 1, 1)), None)
    assert calendar.binds(None, None) == NEVER > calendar.binds(day_number(date(2200, 1, 1)), None)
    assert calendar.local_day(None, None) is None


def test_a_fact_is_there_from_its_day_or_its_instant() -> None:
    calendar = Calendar("Europe/Berlin")
    day = day_number(date(2026, 10, 25))
    noon = as_of_instant(calendar, at("2026-10-25T11:00Z"))
    assert noon == AsOf(at("2026-10-25T11:00Z"), day)
    assert noon.has(None, None)
    assert noon.has(day, None)
    assert not noon.has(day + 1, None)
    assert noon.has(None, noon.at_us)
    assert not noon.has(None, noon.at_us + 1)
    evening = end_of_day(calendar, day)
    assert evening == AsOf(at("2026-10-25T23:00Z") - 1, day)
    assert evening.has(None, calendar.day_end(day))
    assert not evening.has(None, calendar.day_start(day + 1))


def test_ages_are_whole_days_of_the_house(empty: Store) -> None:
    # half past midnight in Berlin, the evening before in UTC: 13 days old there, 14 days old in UTC
    for zone, cooling in (("Europe/Berlin", True), ("UTC", False)):
        studio = Studio(empty, zone)
        chain = studio.proved_take()
        chain.transfer["date"] = "2026-05-18T22:30:00Z"
        for row in (chain.listen, *chain.checks):
            row["date"] = "2026-05-20"
        assert ("cooling-off" in codes(studio.answer())) == cooling


def test_a_day_of_daylight_saving_decides_by_its_own_bounds(empty: Store) -> None:
    # the take binds to the end of its day, which comes an hour later than 24 hours after its start
    last = at("2026-03-29T22:00Z") - 1
    spelled = [(datetime_of(last + late).isoformat().replace("+00:00", "Z"), late > 0) for late in (-1, 0, 1)]
    for transferred, after in spelled:
        studio = Studio(empty, "Europe/Berlin")
        chain = studio.proved_take()
        chain.take["date"] = "2026-03-29"
        chain.transfer["date"] = transferred
        chain.listen["date"] = "2026-04-02"
        for check in chain.checks:
            check["date"] = "2026-04-02"
        assert (codes(studio.answer()) == set()) == after
        assert ("not-transferred" in codes(studio.answer())) == (not after)


def test_days_of_a_year_leave_no_gap() -> None:
    calendar = Calendar("Europe/Berlin")
    first = day_number(date(2026, 1, 1))
    starts = [calendar.day_start(first + day) for day in range(366)]
    lengths = {(right - left) // HOUR for left, right in pairwise(starts)}
    assert lengths == {23, 24, 25}
    assert starts[-1] - starts[0] == timedelta(days=365) // timedelta(microseconds=1)
