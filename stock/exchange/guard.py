"""The mark before a cell that a spreadsheet would take for a formula: one `'` put there by a dump, taken off by a load.

A text that begins with the mark itself is marked as well, so that what is taken off is always what was put there.
"""

from __future__ import annotations

from collections.abc import Iterable

MARK = "'"

_MARKED = frozenset("'=+-@\t\r")


def guard(text: str) -> str:
    """A text as a dump writes it: with the mark before it where it begins like a formula, or with the mark."""
    return MARK + text if text[:1] in _MARKED else text


def unguard(cells: Iterable[str]) -> list[str]:
    """The cells of a row as they were before they were guarded: without one leading mark."""
    return [cell[1:] if cell.startswith(MARK) else cell for cell in cells]
