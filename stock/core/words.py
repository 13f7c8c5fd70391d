"""Measures in plain words, as sentences and screens show them."""

from __future__ import annotations

from stock.core.measure import FOOT, IPS, SECOND, Speed, time_of


def clock(time_us: int) -> str:
    """A playing time to the whole second below: `28:40`, from an hour on `1:02:03`, below nothing `-0:30`."""
    seconds = abs(time_us) // SECOND
    sign = "-" if time_us <= -SECOND else ""
    if seconds >= 3600:
        return f"{sign}{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    return f"{sign}{seconds // 60}:{seconds % 60:02d}"


def feet(length: int) -> str:
    """A length in feet, to one decimal where it is not whole: `2500 ft`, `12.5 ft` (tenths of a millimetre given)."""
    tenths = (abs(length) * 20 + FOOT) // (2 * FOOT)
    sign = "-" if length < 0 and tenths else ""
    return f"{sign}{tenths // 10} ft" if tenths % 10 == 0 else f"{sign}{tenths // 10}.{tenths % 10} ft"


def speed_words(speed: Speed) -> str:
    """A speed in inches a second where that is exact to three places, else in centimetres: `15 ips +3%`, `19 cm/s`."""
    thousandths, rest = divmod(speed.nominal * 1000, IPS)
    spelled = f"{_plain(speed.nominal, 10_000)} cm/s" if rest else f"{_plain(thousandths, 1000)} ips"
    return f"{spelled} {vary_words(speed.vary)}" if speed.vary else spelled


def vary_words(vary: int) -> str:
    """A varispeed as it is typed, from hundredths of a percent: `+3%`, `-2.5%`."""
    return f"{'-' if vary < 0 else '+'}{_plain(abs(vary), 100)}%"


def _plain(units: int, one: int) -> str:
    """A count of decimal fractions of one as a plain number without idle zeros."""
    whole, rest = divmod(units, one)
    return f"{whole}.{rest:0{len(str(one)) - 1}d}".rstrip("0").rstrip(".") if rest else str(whole)


def stretch(lo: int, hi: int, speed: int) -> str:
    """A stretch as `3:10 to 7:40`, times from the head at a speed."""
    return f"{clock(time_of(lo, speed))} to {clock(time_of(hi, speed))}"


def percent(share: float) -> str:
    """A chance in whole percent; one that is not quite nothing, or not quite sure, is not rounded to it."""
    if 0 < share < 0.005:
        return "<1 %"
    if 0.995 <= share < 1:
        return ">99 %"
    return f"{share * 100:.0f} %"
