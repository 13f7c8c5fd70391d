"""A chart by week with a cursor that a click moves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.message import Message
from textual.strip import Strip

from tui.present.chart import Band, Trace, chart_lines, week_at
from tui.present.line import Line, Piece, text_of
from tui.widgets.inked import Inked


class WeekChart(Inked):
    """The chart. It takes the size it is given and draws as much as goes in."""

    DEFAULT_CSS: ClassVar[str] = """
    WeekChart { height: 10; width: 1fr; }
    """

    class Clicked(Message):
        """A week was clicked."""

        def __init__(self, week: int) -> None:
            super().__init__()
            self.week = week

    def __init__(self, waiting: str, *, id: str | None = None) -> None:
        """waiting: what it says while there is nothing to draw."""
        super().__init__(id=id)
        self.says = waiting
        self._shown: tuple[Band, Sequence[Trace], Sequence[int]] | None = None
        self._cursor = 0
        self._lines: list[Line] = []

    def show(self, band: Band, traces: Sequence[Trace], weeks: Sequence[int]) -> None:
        """Draw these."""
        self._shown = band, traces, weeks
        self._draw()

    def say(self, words: str) -> None:
        """Say something instead of drawing."""
        self.says, self._shown = words, None
        self._draw()

    def put_cursor(self, week: int) -> None:
        """Mark a week."""
        self._cursor = week
        self._draw()

    def report_lines(self, width: int) -> list[str]:
        """The chart as it is drawn."""
        return [text_of(line) for line in self._lines]

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        width, height = self.size
        self._lines = [()] * (height // 2) + [(Piece(f"  {self.says}", "quiet"),)]
        if self._shown is not None and width and height:
            self._lines = chart_lines(*self._shown, width, height, self._cursor)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        if y >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        return self.strip(self._lines[y], width)

    def on_click(self, event: events.Click) -> None:
        at = event.get_content_offset(self)
        if self._shown is not None and at is not None:
            week = week_at(at.x, len(self._shown[2]), self.size.width)
            if week is not None:
                self.post_message(self.Clicked(week))
