"""Lines of text of any length, to be scrolled through: reports and lists of what is known."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from tui.present.line import Line
from tui.widgets.heading import Lines


class Page(VerticalScroll):
    """Lines wrapped to the width, with the focus to scroll them."""

    DEFAULT_CSS = """
    Page { height: auto; scrollbar-size-vertical: 1; }
    """

    def compose(self) -> ComposeResult:
        yield Lines()

    def show(self, lines: Sequence[Line]) -> None:
        """Show other lines, from their top."""
        words = self.query_one(Lines)
        words.one_line_each = False
        words.show(lines)
        self.scroll_home(animate=False)

    def text(self) -> str:
        """All the words shown."""
        return self.query_one(Lines).text()
