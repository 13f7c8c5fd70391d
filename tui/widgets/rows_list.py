"""A list of rows cut to the width of the screen, which tells them uncut in a report."""

from __future__ import annotations

from collections.abc import Sequence

from textual.widgets import OptionList


class RowsList(OptionList):
    """The list. uncut: its rows as they are with all the room they need."""

    uncut: Sequence[str] = ()

    def report_lines(self, width: int) -> list[str]:
        """Its rows, uncut."""
        return [row.rstrip() for row in self.uncut]
