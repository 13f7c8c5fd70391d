"""From rows of text cells, as an exchange folder has them, to facts and the house they make."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from stock.core.facts import Fact
from stock.core.house import House
from stock.core.kinds import BY_FILE
from stock.core.moments import NEVER, AsOf, Calendar
from stock.core.record import record_of
from stock.desk.entering import Batch, Sourced
from stock.edge.cells import Context
from stock.edge.forms import RowReader
from stock.store.store import Store

NOW_US = 1_795_000_000_000_000
"""When everything is entered: in November 2026, after every day these tests tell of."""

Rows = Mapping[str, Iterable[Mapping[str, str]]]
"""File stem -> rows (column -> text cell)."""


@cache
def _reader(file: str, header: tuple[str, ...], zone: str) -> RowReader:
    return RowReader(BY_FILE[file], header, Context(Calendar(zone)))


def facts_of(empty: Store, rows: Rows, zone: str = "UTC") -> list[Fact]:
    """The facts that rows become in an empty store, numbered; AssertionError with what is wrong with them."""
    sourced = []
    for file, found in rows.items():
        for row in found:
            entered = _reader(file, tuple(row), zone).read(tuple(row.values()))
            assert not isinstance(entered, list), (file, row, entered)
            sourced.append(Sourced((file, dict(row)), entered))
    with empty.reading() as reader:
        batch = Batch(reader, Calendar(zone), NOW_US)
        batch.take(sourced)
    assert not batch.faults, batch.faults
    return batch.facts


def house_of(facts: Iterable[Fact], as_of: AsOf, zone: str = "UTC", made_us: int = NEVER) -> House:
    """The house that facts make. made_us: when its database was made."""
    return House(record_of(facts, made_us), Calendar(zone), as_of)
