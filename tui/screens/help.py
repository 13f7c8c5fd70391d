"""The page of help."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from stock.core.cautions import CAUTIONS
from tui.present.helping import help_lines
from tui.widgets.lines import KeyLine, content_of, key_display
from tui.work import WorkingScreen

_MARGINS = 6
"""Cells beside the text: the padding of the page, and its scrollbar."""


class HelpScreen(WorkingScreen[None]):
    """What every key does, what the verdicts mean, and the cautions; made from the tables of each."""

    DEFAULT_CSS = """
    HelpScreen VerticalScroll { padding: 1 2; scrollbar-size-vertical: 1; }
    HelpScreen Static { height: auto; }
    """

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(id="page")
        yield KeyLine(back=True)

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def on_resize(self) -> None:
        page = self.query_one("#page", Static)
        lines = help_lines(self.size.width - _MARGINS, lambda key: key_display(self.app, key), CAUTIONS)
        page.update(Content("\n").join(content_of(pieces) for pieces in lines))
