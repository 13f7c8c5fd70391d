"""Plain numbers as people type them: counts, decimals kept as thousandths, shares, frequencies, money."""

from __future__ import annotations

import re
from decimal import Decimal

from stock.edge.problems import CellError

MOST = (1 << 63) - 1
"""The largest integer a store's column holds."""

_DECIMAL = re.compile(r"([+\-\u2212]?)([0-9]{1,15})(?:\.([0-9]{1,12}))?")
_CURRENCY = re.compile(r"[A-Z]{3}")

_EXPONENTS = {
    code: digits
    for digits, codes in (
        (0, "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"),
        (3, "BHD IQD JOD KWD LYD OMR TND"),
        (4, "CLF UYW"),
    )
    for code in codes.split()
}
"""Digits of the minor unit where it is not 2 (ISO 4217; the list is from memory)."""


def count(text: str, expected: str = "a whole number") -> int:
    """A whole number from 0 up."""
    if not (text.isascii() and text.isdigit()):
        raise CellError.of(text, "is not a whole number from 0 up", expected, "`12`")
    digits = text.lstrip("0") or "0"
    if len(digits) > 19 or int(digits) > MOST:
        raise CellError.of(text, "is far too much", expected, "`12`")
    return int(digits)


def thousandths(text: str, unit: str = "") -> int:
    """A decimal number of at most three places, in thousandths; unit: one that may stand behind it."""
    bare = text
    if unit and text.casefold().endswith(unit.casefold()):
        bare = text[: -len(unit)].rstrip(" ")
    found = _DECIMAL.fullmatch(bare)
    if found is None:
        raise CellError.of(text, "is not a plain number", "a number", "`-1.5`")
    return _scaled(text, found, 3, "a number of at most three places", "`-1.5`")


def share(text: str) -> int:
    """A part of one, `0.8` or `80 %`, in thousandths."""
    expected = "a part between 0 and 1, or 0 % and 100 %, to a thousandth"
    percent = text.endswith("%")
    found = _DECIMAL.fullmatch(text[:-1].rstrip(" ") if percent else text)
    if found is None:
        raise CellError.of(text, "is not a plain number", expected, "`0.8` or `80 %`")
    value = _scaled(text, found, 1 if percent else 3, expected, "`0.8` or `80 %`")
    if not 0 <= value <= 1000:
        raise CellError.of(text, "is not a part of a whole", expected, "`0.8` or `80 %`")
    return value


def _scaled(text: str, found: re.Match[str], places: int, expected: str, such_as: str) -> int:
    sign, digits, part = found.groups()
    part = (part or "").rstrip("0")
    if len(part) > places:
        raise CellError.of(text, "has too many places", expected, such_as)
    value = int(digits + part.ljust(places, "0"))
    return -value if sign and sign != "+" else value


def money(text: str) -> Decimal:
    """An amount of money, from 0 up; how many places it may have is the currency's, checked with it."""
    found = _DECIMAL.fullmatch(text)
    if found is None or (found[1] and found[1] != "+"):
        why = "is not a plain amount" if found is None else "is below nothing"
        raise CellError.of(text, why, "an amount without currency or separators", "`210` or `210.50`")
    return Decimal(text.lstrip("+"))


def spell_money(amount: Decimal) -> str:
    """An amount as `money` reads it."""
    return f"{amount:f}"


def currency(text: str) -> str:
    """The code of a currency."""
    if not _CURRENCY.fullmatch(text):
        raise CellError.of(text, "is not a currency code", "a code of three capital letters (ISO 4217)", "`EUR`")
    return text


def minor_units(amount: Decimal, code: str) -> int:
    """An amount in the minor units of its currency; CellError where it has more places than the currency."""
    places = _EXPONENTS.get(code, 2)
    units = amount.scaleb(places)
    if units != units.to_integral_value():
        raise CellError.of(f"{amount:f}", f"has too many places for {code}", f"an amount of at most {places} places")
    if units > MOST:
        raise CellError.of(f"{amount:f}", "is far too much", "an amount of money")
    return int(units)


def amount_of(units: int, code: str) -> Decimal:
    """The amount that so many minor units of a currency are, with all its places."""
    return Decimal(units).scaleb(-_EXPONENTS.get(code, 2))


def spell_scaled(value: int, places: int) -> str:
    """An integer count of 10^-places as a plain decimal number, exact and without closing zeros."""
    return plain(Decimal(value).scaleb(-places))


def plain(value: Decimal) -> str:
    """A decimal without exponent and without closing zeros."""
    spelled = f"{value:f}"
    return spelled.rstrip("0").rstrip(".") if "." in spelled else spelled
