"""Amounts and texts as people read them on a screen or a page; measures are worded by `stock.core.words`."""

from __future__ import annotations

from stock.edge.numbers import amount_of


def money_words(units: int, currency: str) -> str:
    """An amount of minor units with its currency: `210.00 EUR`."""
    return f"{amount_of(units, currency):f} {currency}"
