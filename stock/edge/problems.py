"""What is wrong with a cell or a row: which column, what stood there, what was expected."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stock.edge.visible import safe

_LONGEST_SHOWN = 60


class CellError(ValueError):
    """A cell that cannot be read.

    expected: in a few words, what would have been right. str() is the whole message: what was found, what was expected.
    """

    def __init__(self, says: str, expected: str) -> None:
        super().__init__(says)
        self.expected = expected

    @classmethod
    def of(cls, text: str, why: str, expected: str, such_as: str = "") -> CellError:
        """The error of a text that "is a mass" where "a length" was expected, such as "`2500 ft`"."""
        tail = f", such as {such_as}" if such_as else ""
        return cls(f"{shown(text)} {why}; {expected} was expected{tail}", expected + tail)


class Problem(NamedTuple):
    """One thing wrong with a row. says: the whole message, with nothing in it a terminal would obey."""

    column: str
    value: str
    expected: str
    says: str


class FormError(ValueError):
    """Cells that do not make a fact; problems: all that is wrong with them, in the order of the columns."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("; ".join(f"{problem.column}: {problem.says}" for problem in problems))
        self.problems = tuple(problems)


def shown(text: str) -> str:
    """A text as a message shows it: no control character, and cut where it is long; `nothing` for an empty one."""
    if not text:
        return "nothing"
    cut = text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "…"
    return safe(cut)
