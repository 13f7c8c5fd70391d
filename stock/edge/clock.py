"""Days, instants, playing times, timecode and places on the reel, as people type them and as a dump writes them."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

from stock.core.measure import HOUR, METRE, MINUTE, SECOND
from stock.core.moments import Calendar, date_of, datetime_of, day_number, instant
from stock.core.places import AtCode, AtLength, AtTime, Place
from stock.edge import units
from stock.edge.problems import CellError

_EARLIEST, _LATEST = date(1950, 1, 1), date(2200, 1, 1)
_EARLIEST_US = instant(datetime(1950, 1, 1, tzinfo=UTC))
_LATEST_US = instant(datetime(2200, 1, 1, tzinfo=UTC))
_RANGE = "between 1950 and 2200"

_DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_INSTANT = re.compile(
    r"([0-9]{4})-([0-9]{2})-([0-9]{2})[Tt ]([0-9]{2}):([0-9]{2})(?::([0-9]{2})(?:\.([0-9]{1,6}))?)?"
    r" ?([Zz]|[+-][0-9]{2}:?[0-9]{2})?"
)
_TIME = re.compile(r"(-?)(?:([0-9]{1,5}):([0-5][0-9])|([0-9]{1,6})):([0-5][0-9])(?:\.([0-9]{1,6}))?")
_CODE = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9]):([0-5][0-9])([:;])([0-2][0-9])")

_WANTS_DAY = ("a date, year first (ISO)", "`2026-11-24`")
_WANTS_MOMENT = ("a date or an instant, year first (ISO)", "`2026-11-24` or `2026-11-24T10:15`")
_WANTS_PLACE = ("a place on the reel", "`300 ft`, `2:10` or `01:00:00:00`")
_PLACE = units.LENGTH._replace(expected=_WANTS_PLACE[0], such_as=_WANTS_PLACE[1])
_WANTS_CODE = ("a timecode", "`01:00:00:00`, or `01:00:00;00` for drop frame")


def day(text: str) -> int:
    """A real date as a day number."""
    found = _DAY.fullmatch(text)
    if found is None:
        raise CellError.of(text, "is not a date", *_WANTS_DAY)
    try:
        value = date(int(found[1]), int(found[2]), int(found[3]))
    except ValueError:
        raise CellError.of(text, "is a day no calendar has", *_WANTS_DAY) from None
    if not _EARLIEST <= value <= _LATEST:
        raise CellError.of(text, f"is not {_RANGE}", *_WANTS_DAY)
    return day_number(value)


def spell_day(value: int) -> str:
    """A day number as an ISO date."""
    return date_of(value).isoformat()


def moment(text: str, calendar: Calendar) -> tuple[int | None, int | None]:
    """A date as (day, None), or an instant as (None, microseconds since 1970 UTC); without offset it is local."""
    found = _INSTANT.fullmatch(text)
    if found is None:
        if not _DAY.fullmatch(text):
            raise CellError.of(text, "is neither a date nor an instant", *_WANTS_MOMENT)
        return day(text), None
    year, month, of_month, hour, minute, second, part, offset = found.groups()
    microsecond = int(part.ljust(6, "0")) if part else 0
    try:
        wall = datetime(int(year), int(month), int(of_month), int(hour), int(minute), int(second or 0), microsecond)
        if offset is None:
            at_us = _local_instant(text, wall, calendar.zone)
        else:
            at_us = instant(wall.replace(tzinfo=_zone(offset)))
    except (ValueError, OverflowError) as error:
        if isinstance(error, CellError):
            raise
        raise CellError.of(text, "is an instant no calendar has", *_WANTS_MOMENT) from None
    if not _EARLIEST_US <= at_us <= _LATEST_US:
        raise CellError.of(text, f"is not {_RANGE}", *_WANTS_MOMENT)
    return None, at_us


def at_instant(text: str, calendar: Calendar) -> int:
    """An instant; a date without a time is refused."""
    _, at_us = moment(text, calendar)
    if at_us is None:
        raise CellError.of(text, "has no time of day", "an instant", "`2026-11-24T10:15:00Z`")
    return at_us


def _zone(offset: str) -> timezone:
    if offset in "Zz":
        return UTC
    hours, minutes = int(offset[1:3]), int(offset[-2:])
    if minutes > 59:
        raise ValueError(offset)
    ahead = timedelta(hours=hours, minutes=minutes)
    return timezone(-ahead if offset[0] == "-" else ahead)


def _local_instant(text: str, wall: datetime, zone: ZoneInfo) -> int:
    """The instant of a local wall-clock time; one that a change of the clocks skips or repeats is refused."""
    first, second = (instant(wall.replace(tzinfo=zone, fold=fold)) for fold in (0, 1))
    if first == second:
        return first
    skipped = datetime_of(first).astimezone(zone).replace(tzinfo=None) != wall
    happened = "never was" if skipped else "was twice"
    raise CellError.of(
        text, f"{happened}, as the clocks changed then", "an instant with its offset", "`2026-10-25T02:30+01:00`"
    )


def spell_instant(at_us: int) -> str:
    """An instant in UTC, `2026-11-24T10:15:00Z`, with microseconds where there are any."""
    return datetime_of(at_us).replace(tzinfo=None).isoformat() + "Z"


def duration(text: str) -> int:
    """A playing time, `9:00`, `1:02:03.5`, `540 s`, in microseconds."""
    found = _TIME.fullmatch(text)
    if found is None:
        return units.whole(text, units.DURATION)
    time_us = _clock_us(text, found)
    if found[1]:
        raise CellError.of(text, "is below nothing", units.DURATION.expected, units.DURATION.such_as)
    return time_us


def _clock_us(text: str, found: re.Match[str]) -> int:
    _, hours, minutes, bare_minutes, seconds, part = found.groups()
    whole = int(hours or 0) * HOUR + int(minutes or bare_minutes) * MINUTE + int(seconds) * SECOND
    time_us = whole + (int(part.ljust(6, "0")) if part else 0)
    if time_us > units.DURATION.most:
        raise CellError.of(text, "is far too much", units.DURATION.expected, units.DURATION.such_as)
    return time_us


def spell_time(time_us: int) -> str:
    """A playing time or counter reading, exact to the microsecond: `2:10`, `1:02:03.5`, `-0:30`."""
    seconds, part = divmod(abs(time_us), SECOND)
    minutes, seconds = divmod(seconds, 60)
    hours, rest = divmod(minutes, 60)
    spelled = f"{hours}:{rest:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"
    if part:
        spelled += f".{part:06}".rstrip("0")
    return f"-{spelled}" if time_us < 0 else spelled


def timecode(text: str) -> str:
    """A timecode, `hh:mm:ss:ff` or `hh:mm:ss;ff`, with two digits to each part."""
    found = _CODE.fullmatch(text)
    if found is None:
        raise CellError.of(text, "is not a timecode", *_WANTS_CODE)
    return text.zfill(11)


def place(text: str) -> Place:
    """A place on the reel: a length from the head, a counter time (which may lie before zero), or a timecode."""
    if ":" in text:
        if _CODE.fullmatch(text):
            return AtCode(timecode(text))
        found = _TIME.fullmatch(text)
        if found is None:
            raise CellError.of(text, "is neither a time nor a timecode", *_WANTS_PLACE)
        time_us = _clock_us(text, found)
        return AtTime(-time_us if found[1] else time_us)
    quantity = units.quantity(text, *_WANTS_PLACE)
    if quantity.dimension == "time":
        return AtTime(units.stored(text, quantity, units.DURATION))
    return AtLength(units.stored(text, quantity, _PLACE))


def spell_place(at: Place) -> str:
    """A place as `place` reads it."""
    if isinstance(at, AtLength):
        return spell_length(at.length)
    return spell_time(at.time_us) if isinstance(at, AtTime) else at.code


def spell_length(length: int) -> str:
    """A length in metres to four places, which is exact."""
    return f"{length // METRE}.{length % METRE:04} m"
