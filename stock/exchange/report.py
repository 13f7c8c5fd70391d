"""What is wrong in exchange files, and the words for it: file, line, column, what stood there, what was expected."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from stock.edge.visible import safe

_LONGEST_VALUE = 200


class Misread(NamedTuple):
    """One thing that could not be read.

    file: the file's name. line: where its row begins in the file, counted from 1; None where the whole file is meant.
    column: empty where no single one is meant. value: what stood there, cut where it is long, otherwise as it stood.
    says: what was found and what was expected.
    """

    file: str
    line: int | None
    column: str
    value: str
    expected: str
    says: str


def cut(value: str) -> str:
    """A value short enough to keep with a thousand others."""
    return value if len(value) <= _LONGEST_VALUE else value[:_LONGEST_VALUE] + "…"


def words(misread: Misread) -> str:
    """One line for a person: `passes.csv line 12, column speed: 9 kg is a mass; a speed was expected`.

    Nothing in it is obeyed by a terminal, whatever the file and its cells hold.
    """
    where = misread.file
    if misread.line is not None:
        where += f" line {misread.line}"
    if misread.column:
        where += f", column {cut(misread.column)}"
    return safe(f"{where}: {misread.says}")


def lines(problems: Sequence[Misread], found: int) -> Iterator[str]:
    """A line for each problem kept, and one that says how many more of those found there were."""
    yield from map(words, problems)
    more = found - len(problems)
    if more > 0:
        yield f"and {more} more problem{'' if more == 1 else 's'}"
