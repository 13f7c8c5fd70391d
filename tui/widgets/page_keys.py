"""The keys that work now on a page with several parts: those of the part that has the focus come first."""

from __future__ import annotations

from collections.abc import Sequence

from textual.dom import DOMNode
from textual.widget import Widget

from tui.keys import KEYS, Key
from tui.present.row import Piece
from tui.widgets.lines import PartsLine, content_of, key_display


class PageKeys(PartsLine[tuple[Key, DOMNode]]):
    """A line of keys made from the table of keys; a click does what the key does."""

    DEFAULT_CSS = """
    PageKeys {
        dock: bottom;
        background: $footer-background;
        color: $footer-description-foreground;
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self._followed: tuple[Widget | None, tuple[str, ...]] = None, ()

    def follow(self, part: Widget | None, *places: str) -> None:
        """Show the keys of a part of the page, of the page, and those that work everywhere. places: the part's."""
        self._followed = part, places
        own = self._keys([(where, part) for where in places] if part is not None else [])
        always = self._keys([("reel", self.screen), ("everywhere", self.app)])
        # on a narrow page the part's keys give way, its last ones first: help lists them all
        room = self.size.width - 1 - _width(always)
        while own and _width(own) + self.BETWEEN > room > 0:
            own.pop()
        self.show([*own, *always])

    def on_resize(self) -> None:
        part, places = self._followed
        self.follow(part, *places)

    def _keys(self, doers: list[tuple[str, DOMNode]]) -> list[tuple[tuple[Piece, Piece], tuple[Key, DOMNode]]]:
        return [
            ((Piece(key_display(self.app, key), "key"), Piece(f" {key.words}")), (key, doer))
            for where, doer in doers
            for key in KEYS
            if key.where == where and key.shown
        ]

    def chosen(self, value: tuple[Key, DOMNode]) -> None:
        key, doer = value
        self.call_later(self.app.run_action, key.action, doer)


def _width(keys: Sequence[tuple[Sequence[Piece], object]]) -> int:
    """The cells some keys take, the gaps between them counted."""
    return sum(content_of(pieces).cell_length for pieces, _ in keys) + PageKeys.BETWEEN * max(len(keys) - 1, 0)
