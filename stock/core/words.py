"""Measures in plain words, for sentences in answers."""

from __future__ import annotations

from stock.core.measure import FOOT, IPS, SECOND, Speed, time_of


def clock(time_us: int) -> str:
    """A playing time as `28:40`, from an hour on as `1:02:03`; rounded down to the second."""
    seconds = abs(time_us) // SECOND
    sign = "-" if time_us < 0 else ""
    if seconds >= 3600:
        return f"{sign}{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    return f"{sign}{seconds // 60}:{seconds % 60:02d}"


def feet(length: int) -> str:
    """A length as `2500 ft`, to a tenth of a foot where it is not whole."""
    tenths = (length * 10 + FOOT // 2) // FOOT
    return f"{tenths // 10} ft" if tenths % 10 == 0 else f"{tenths // 10}.{tenths % 10} ft"


def ips(speed: Speed) -> str:
    """A speed as `15 ips`, with its varispeed."""
    whole, rest = divmod(speed.nominal * 1000, IPS)
    figure = f"{whole / 1000:.3f}".rstrip("0").rstrip(".") if not rest else f"{speed.nominal / IPS:.4f}"
    if not speed.vary:
        return f"{figure} ips"
    return f"{figure} ips {speed.vary / 100:+g}%"


def stretch(lo: int, hi: int, speed: int) -> str:
    """A stretch as `3:10 to 7:40`, times from the head at a speed."""
    return f"{clock(time_of(lo, speed))} to {clock(time_of(hi, speed))}"
