"""Moments and their order.

A fact is dated by a whole local day or by an instant. What loosens an answer counts from the start of its day, what
binds counts at its end, so that a day without a time never helps towards "may be wiped".
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

EPOCH = date(1970, 1, 1)
_EPOCH_UTC = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)

EVER = -(1 << 62)
"""Before every moment."""
NEVER = 1 << 62
"""After every moment."""


class Moment(NamedTuple):
    """A whole day (days since 1970-01-01) or an instant (microseconds since 1970-01-01 UTC): one of the two.

    Both empty is "not dated".
    """

    day: int | None = None
    at_us: int | None = None

    @classmethod
    def of_date(cls, value: date) -> Moment:
        return cls(day=day_number(value))

    @classmethod
    def of_datetime(cls, value: datetime) -> Moment:
        """The instant of a datetime with a zone."""
        return cls(at_us=instant(value))


def day_number(value: date) -> int:
    """Days since 1970-01-01."""
    return (value - EPOCH).days


def date_of(day: int) -> date:
    """The date of a day number."""
    return EPOCH + timedelta(days=day)


def instant(value: datetime) -> int:
    """Microseconds since 1970-01-01 UTC of a datetime with a zone."""
    return (value - _EPOCH_UTC) // _MICROSECOND


def datetime_of(at_us: int) -> datetime:
    """The UTC datetime of an instant."""
    return _EPOCH_UTC + timedelta(microseconds=at_us)


class Calendar:
    """Days of one time zone as instants, remembered as they are asked for."""

    def __init__(self, zone: str = "UTC") -> None:
        self.zone = ZoneInfo(zone)
        self._starts: dict[int, int] = {}

    def day_start(self, day: int) -> int:
        """The instant a local day begins."""
        found = self._starts.get(day)
        if found is None:
            local = datetime.combine(date_of(day), datetime.min.time(), self.zone)
            found = self._starts[day] = instant(local)
        return found

    def day_end(self, day: int) -> int:
        """The last microsecond of a local day."""
        return self.day_start(day + 1) - 1

    def loosens(self, day: int | None, at_us: int | None) -> int:
        """When a loosening fact counts: its instant, or the start of its day; an undated one before everything."""
        if at_us is not None:
            return at_us
        return EVER if day is None else self.day_start(day)

    def binds(self, day: int | None, at_us: int | None) -> int:
        """When a binding fact counts: its instant, or the end of its day; an undated one after everything."""
        if at_us is not None:
            return at_us
        return NEVER if day is None else self.day_end(day)

    def local_day(self, day: int | None, at_us: int | None) -> int | None:
        """The local day number of a moment."""
        if at_us is None:
            return day
        return day_number(datetime_of(at_us).astimezone(self.zone).date())


class AsOf(NamedTuple):
    """The moment an answer is given for: an instant and its local day."""

    at_us: int
    day: int

    def has(self, day: int | None, at_us: int | None) -> bool:
        """Whether a fact so dated is there yet; an undated one always is."""
        if at_us is not None:
            return at_us <= self.at_us
        return day is None or day <= self.day


def end_of_day(calendar: Calendar, day: int) -> AsOf:
    """The as-of moment of a whole day: its last microsecond."""
    return AsOf(calendar.day_end(day), day)


def as_of_instant(calendar: Calendar, at_us: int) -> AsOf:
    """The as-of moment of an instant."""
    day = calendar.local_day(None, at_us)
    assert day is not None
    return AsOf(at_us, day)
