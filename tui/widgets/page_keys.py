"""The keys that work now on a page with several parts: those of the part that has the focus come first."""

from __future__ import annotations

from textual.dom import DOMNode
from textual.widget import Widget

from tui.keys import KEYS, Key
from tui.present.row import Piece
from tui.widgets.lines import PartsLine, key_display


class PageKeys(PartsLine[tuple[Key, DOMNode]]):
    """A line of keys made from the table of keys; a click does what the key does."""

    MOST_ROWS = 2
    DEFAULT_CSS = """
    PageKeys {
        dock: bottom;
        background: $footer-background;
        color: $footer-description-foreground;
    }
    """

    def follow(self, part: Widget | None, *places: str) -> None:
        """Show the keys of a part of the page, of the page, and those that work everywhere. places: the part's."""
        doers: list[tuple[str, DOMNode]] = [(where, part) for where in places] if part is not None else []
        doers += [("reel", self.screen), ("everywhere", self.app)]
        self.show(
            [
                ((Piece(key_display(self.app, key), "key"), Piece(f" {key.words}")), (key, doer))
                for where, doer in doers
                for key in KEYS
                if key.where == where and key.shown
            ]
        )

    def report_lines(self, width: int) -> list[str]:
        """Nothing: keys only work the program."""
        return []

    def chosen(self, value: tuple[Key, DOMNode]) -> None:
        key, doer = value
        self.call_later(self.app.run_action, key.action, doer)
