"""Names that facts are known by: which there are, which a fact may not take, and which it may not name in vain."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from operator import itemgetter
from typing import Any, NamedTuple

from stock.core.facts import Value
from stock.core.kinds import BY_NAME, Kind
from stock.desk.laying import Refusal, reader_of
from stock.store.reader import Reader

NAMED_BY: dict[str, tuple[str, ...]] = {
    "formulation": ("formulation",),
    "stock-item": ("stock_item",),
    "machine": ("machine",),
    "reel": ("reel",),
    "transfer": ("transfer",),
    "copy": ("transfer", "copy"),
    "order": ("order",),
    "hold": ("hold",),
}
"""The columns of the name of each kind that others refer to."""

SHARED = frozenset({"hold"})
"""Kinds of which several facts may have one name; of the others, another needs the first voided."""

REFERS: tuple[tuple[str, str], ...] = (
    ("formulation", "formulation"),
    ("stock_item", "stock-item"),
    ("machine", "machine"),
    ("reel", "reel"),
    ("to_reel", "reel"),
    ("transfer", "transfer"),
    ("copy", "copy"),
    ("order", "order"),
    ("hold", "hold"),
)
"""Column, and the kind that what stands in it must be entered as."""

Name = Any
"""A name as it is looked up: one value, or several where a name has several columns."""


class _Known(dict[Name, bool]):
    """Whether there is a fact of each name. find: answers for a name that was not asked for yet."""

    def __init__(self, names: Iterator[Name], find: Callable[[Name], bool]) -> None:
        super().__init__(dict.fromkeys(names, True))
        self._find = find

    def __missing__(self, name: Name) -> bool:
        found = self[name] = self._find(name)
        return found


class _Reference(NamedTuple):
    """A column of a kind in which another fact is named. at: its index; name: the whole name, out of the values."""

    column: str
    at: int
    name: Callable[[Sequence[Value]], Name]
    of: str


class Names:
    """The names there are, in the store and in a batch.

    gone: the entries that are voided, going: those about to be. few: whether so few names will be asked for that each
    is looked up, rather than all read.
    """

    def __init__(self, reader: Reader, gone: Collection[int], going: Collection[int], *, few: bool) -> None:
        self._reader = reader
        self._gone = gone
        self._going = going
        self._few = few
        self._known: dict[str, _Known] = {}
        self._to_go: dict[str, set[Name]] = {}
        self._references: dict[str, list[_Reference]] = {}
        self._named: dict[str, Callable[[Sequence[Value]], Name]] = {}

    def refer(self, kind: Kind, values: Sequence[Value]) -> None:
        """Refusal where a fact names something that is not there."""
        references = self._references.get(kind.name)
        if references is None:
            references = self._references[kind.name] = _references(kind)
        for column, at, named, of in references:
            if values[at] is None:
                continue
            name = named(values)
            if not self._of(of)[name] and name not in self._to_go.get(of, ()):
                raise Refusal(column, f"there is no {of} {_said(name)}", f"a {of} that is entered")

    def claim(self, kind: Kind, values: Sequence[Value], entry: int | None) -> None:
        """Note the name of a fact that is entered now; Refusal where another has it, and it is not to be shared."""
        columns = NAMED_BY.get(kind.name)
        if columns is None:
            return
        named = self._named.get(kind.name)
        if named is None:
            named = self._named[kind.name] = _picker(kind, columns)
        name = named(values)
        known = self._of(kind.name)
        if kind.name not in SHARED:
            if entry in self._going:
                self._to_go.setdefault(kind.name, set()).add(name)
                return
            if known[name]:
                raise Refusal(
                    columns[-1],
                    f"{kind.name} {_said(name)} is entered already",
                    "another name; or void the first entry",
                )
        known[name] = True

    def _of(self, kind_name: str) -> _Known:
        found = self._known.get(kind_name)
        if found is None:
            kind = BY_NAME[kind_name]
            found = self._known[kind_name] = (
                _Known(iter(()), lambda name: self._is_stored(kind, name))
                if self._few
                else _Known(self._stored(kind), lambda name: False)
            )
        return found

    def _stored(self, kind: Kind) -> Iterator[Name]:
        columns = NAMED_BY[kind.name]
        picked = itemgetter(*range(1, len(columns) + 1))
        for row in self._reader.iterate(f"SELECT entry, {_quoted(columns, ', ')} FROM {kind.file}"):
            if not self._is_gone(kind, row[0]):
                yield picked(row)

    def _is_stored(self, kind: Kind, name: Name) -> bool:
        columns = NAMED_BY[kind.name]
        rows = self._reader.iterate(
            f"SELECT entry FROM {kind.file} WHERE {_quoted(columns, ' = ? AND ')} = ?",
            name if isinstance(name, tuple) else (name,),
        )
        return any(not self._is_gone(kind, entry) for (entry,) in rows)

    def _is_gone(self, kind: Kind, entry: int) -> bool:
        return entry in self._gone or (kind.name not in SHARED and entry in self._going)


def _references(kind: Kind) -> list[_Reference]:
    at = reader_of(kind).at
    return [
        _Reference(column, at[column], _picker(kind, NAMED_BY[of] if len(NAMED_BY[of]) > 1 else (column,)), of)
        for column, of in REFERS
        if column in at and kind.name != of
    ]


def _picker(kind: Kind, columns: Sequence[str]) -> Callable[[Sequence[Value]], Name]:
    at = reader_of(kind).at
    return itemgetter(*(at[column] for column in columns))


def _said(name: Name) -> str:
    return "/".join(map(str, name)) if isinstance(name, tuple) else str(name)


def _quoted(columns: Sequence[str], between: str) -> str:
    return between.join(f'"{column}"' for column in columns)
