"""How the cases of reasons are gathered: each told twice, one unit past a limit and just on it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from stock.core.reasons import About, Severity

from .builder import Studio

Tell = Callable[[Studio, bool], None]
"""Tells a house: with True so that the reason must be given, with False one unit short of that."""


class Case(NamedTuple):
    """One way a reason comes about. name: of the function that tells it."""

    code: str
    about: About
    severity: Severity
    name: str
    tell: Tell


class Cases(list[Case]):
    """Cases about one of the two questions."""

    def __init__(self, about: About) -> None:
        super().__init__()
        self._about = about

    def case(self, code: str, severity: Severity = "no") -> Callable[[Tell], Tell]:
        """A decorator for the function that tells a case."""

        def gather(tell: Tell) -> Tell:
            self.append(Case(code, self._about, severity, tell.__name__, tell))
            return tell

        return gather
