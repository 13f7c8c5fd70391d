"""The voids of a batch: of an entry that is there, or that the batch brings, and each of another one."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from stock.core.kinds import Kind
from stock.core.moments import Calendar
from stock.desk.laying import Refusal
from stock.desk.voiding import why_not_void
from stock.store.reader import Reader


class Voids:
    """Looks over what voids take back. entered: the kinds of the entries that the batch itself brings.

    going: all the entries that the batch takes back.
    """

    def __init__(self, reader: Reader, calendar: Calendar, entered: Mapping[int, Kind], going: Collection[int]) -> None:
        self._reader = reader
        self._calendar = calendar
        self._entered = entered
        self._going = going
        self._taken: set[int] = set()

    def find(self, target: int) -> None:
        """Refusal where there is no such entry, or it is a void itself."""
        kind = self._entered.get(target)
        if kind is None:
            fact = self._reader.fact(target)
            kind = fact.kind if fact is not None else None
        if kind is None:
            raise Refusal("entry", f"there is no entry {target}", "the number of an entry")
        if kind.name == "void":
            raise Refusal("entry", f"entry {target} is a void itself", "enter the fact again instead")

    def take_back(self, target: int) -> None:
        """Refusal where an entry may not be voided, or was by another void of the batch."""
        expected = "an entry that may be taken back"
        if target in self._taken:
            raise Refusal("entry", f"entry {target} is voided twice", expected)
        self._taken.add(target)
        if target not in self._entered:
            problem = why_not_void(self._reader, self._calendar, target, self._going)
            if problem is not None:
                raise Refusal("entry", problem, expected)
