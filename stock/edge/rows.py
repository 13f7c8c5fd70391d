"""Reading many rows of one kind: the same parsers as a form, each cell's text read once and remembered."""

from __future__ import annotations

from collections.abc import Sequence
from operator import getitem, itemgetter

from stock.core.facts import Entered
from stock.core.kinds import Kind
from stock.edge.cells import CellError, Context
from stock.edge.plan import Slot, header_problems, plan_of
from stock.edge.problems import FormError, Problem


class _Memo(dict[str, tuple[object, ...]]):
    """What the texts of one column were read into; emptied when full, so that no column can fill the memory."""

    def __init__(self, slot: Slot, context: Context) -> None:
        self._read = slot.read
        self._most = slot.often
        self._context = context

    def __missing__(self, text: str) -> tuple[object, ...]:
        parsed = self._read(text, self._context)
        if self._most or not text:
            # an empty cell is worth remembering even where every other text is one of its own
            if len(self) > self._most:
                self.clear()
            self[text] = parsed
        return parsed


class RowReader:
    """A reader of rows under one header. FormError where the header is not one of the kind's file."""

    def __init__(self, kind: Kind, header: Sequence[str], context: Context) -> None:
        problems = header_problems(kind, header)
        if problems:
            raise FormError(problems)
        self._header = tuple(header)
        self._plan = plan_of(kind)
        self._memos = [_Memo(slot, context) for slot in self._plan.slots]
        # a column that is not there is read from the empty cell put behind each row
        where = [header.index(slot.column) if slot.column in header else len(header) for slot in self._plan.slots]
        self._in_order = itemgetter(*where)

    def read(self, row: Sequence[str]) -> Entered | list[Problem]:
        """The fact of one row, or all that is wrong with it; a row has a cell for each column of the header."""
        if len(row) != len(self._header):
            return [self._wrong_length(row)]
        cells = self._in_order((*row, ""))
        try:
            parts = list(map(getitem, self._memos, cells))
        except CellError:
            return self._problems(cells)
        return self._plan.entered(parts)

    def _wrong_length(self, row: Sequence[str]) -> Problem:
        expected = f"{len(self._header)} cells, one for each column"
        column = self._header[len(row)] if len(row) < len(self._header) else ""
        return Problem(column, "", expected, f"the row has {len(row)} cells; {expected} were expected")

    def _problems(self, cells: Sequence[str]) -> list[Problem]:
        """All cells that cannot be read, in the order of the kind's columns."""
        problems = []
        for slot, memo, text in zip(self._plan.slots, self._memos, cells, strict=True):
            try:
                memo[text]
            except CellError as error:
                problems.append(Problem(slot.column, text, error.expected, str(error)))
        return problems
