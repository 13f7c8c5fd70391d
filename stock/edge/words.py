"""Measures and texts as people read them on a screen or a page."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from stock.core.measure import FOOT, HOUR, IPS, MINUTE, SECOND, Speed
from stock.edge.numbers import amount_of, plain
from stock.edge.visible import safe

__all__ = ["length_words", "money_words", "playing_time", "safe", "speed_words", "vary_words"]


def playing_time(time_us: int) -> str:
    """A playing time to the whole second below: `28:40`, from an hour on `1:02:03`, below nothing `-0:30`."""
    sign = "-" if time_us <= -SECOND else ""
    minutes, seconds = divmod(abs(time_us) // SECOND, MINUTE // SECOND)
    hours, rest = divmod(minutes, HOUR // MINUTE)
    return f"{sign}{hours}:{rest:02}:{seconds:02}" if hours else f"{sign}{minutes}:{seconds:02}"


def length_words(length: int) -> str:
    """A length in feet, to one decimal where it is not whole: `2500 ft`, `12.5 ft` (tenths of a millimetre given)."""
    return f"{_short(Decimal(length) / FOOT, 1)} ft"


def speed_words(speed: Speed) -> str:
    """A speed in inches a second where that is exact to three places, else in centimetres: `15 ips +3%`, `19 cm/s`."""
    ips = Decimal(speed.nominal) / IPS
    exact = ips * 1000 == (ips * 1000).to_integral_value()
    spelled = f"{_short(ips, 3)} ips" if exact else f"{_short(Decimal(speed.nominal) / 10_000, 4)} cm/s"
    return spelled + (f" {vary_words(speed.vary)}" if speed.vary else "")


def vary_words(vary: int) -> str:
    """A varispeed as it is typed, from hundredths of a percent: `+3%`, `-2.5%`."""
    return f"{'+' if vary >= 0 else ''}{_short(Decimal(vary) / 100, 2)}%"


def money_words(units: int, currency: str) -> str:
    """An amount of minor units with its currency: `210.00 EUR`."""
    return f"{amount_of(units, currency):f} {currency}"


def _short(value: Decimal, places: int) -> str:
    return plain(value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))
