"""A report to be read, and closed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge.visible import safe
from tui.keys import key_binding
from tui.present.line import Line
from tui.widgets.page import Page
from tui.work import WorkingModal


class ReportDialog(WorkingModal[None]):
    """Shows lines under a heading, nothing of them cut off."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    ReportDialog #box { width: 92%; height: auto; max-height: 92%; padding: 1 2; background: $surface; }
    ReportDialog #heading { margin-bottom: 1; text-style: bold; }
    ReportDialog Page { max-height: 100%; margin-bottom: 1; }
    """

    def __init__(self, heading: str, lines: Sequence[Line]) -> None:
        super().__init__()
        self._heading = heading
        self._lines = lines

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(self._heading)), id="heading")
            yield Page()
            yield Button("Esc Close", id="leave", compact=True)

    def on_mount(self) -> None:
        page = self.query_one(Page)
        page.show(self._lines)
        page.focus()
        self._fit()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        self.query_one(Page).styles.max_height = max(self.size.height - 9, 3)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
