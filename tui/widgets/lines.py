"""One-line widgets whose parts can be clicked: counts, and the keys that work here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar, Generic, TypeVar

from textual import events
from textual.app import App
from textual.binding import Binding
from textual.content import Content
from textual.dom import DOMNode
from textual.message import Message
from textual.widget import Widget

from tui.keys import KEYS, Key
from tui.present.row import Piece

V = TypeVar("V")


class PartsLine(Widget, Generic[V]):
    """Parts in a line, each standing for a value; a click on one calls `chosen`.

    What does not fit goes into further lines, of which there are at most `MOST_ROWS`; then it is cut.
    """

    DEFAULT_CSS = """
    PartsLine {
        height: 1;
        width: 1fr;
        text-wrap: nowrap;
        text-overflow: clip;
    }
    """
    ALLOW_SELECT = False
    BETWEEN: ClassVar = 2
    MOST_ROWS: ClassVar = 1

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._parts: list[tuple[Sequence[Piece], V]] = []

    def show(self, parts: list[tuple[Sequence[Piece], V]]) -> None:
        """Show these parts."""
        self._parts = parts
        self._fit()
        self.refresh()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        if self.MOST_ROWS > 1 and self.size.width:
            self.styles.height = len(self._rows())

    def _rows(self) -> list[list[tuple[Content, V]]]:
        """The parts line by line."""
        rows: list[list[tuple[Content, V]]] = [[]]
        left = 1
        for pieces, value in self._parts:
            content = content_of(pieces)
            if rows[-1] and left + content.cell_length > self.size.width and len(rows) < self.MOST_ROWS:
                rows.append([])
                left = 1
            rows[-1].append((content, value))
            left += content.cell_length + self.BETWEEN
        return rows

    def render(self) -> Content:
        lines = []
        for row in self._rows():
            spaced = [Content(" ")]
            for number, (content, _) in enumerate(row):
                spaced += [Content(" " * self.BETWEEN), content] if number else [content]
            lines.append(Content("").join(spaced))
        return Content("\n").join(lines)

    def on_click(self, event: events.Click) -> None:
        rows = self._rows()
        left = 1
        for content, value in rows[event.y] if event.y < len(rows) else ():
            if left <= event.x < left + content.cell_length:
                event.stop()
                self.chosen(value)
                return
            left += content.cell_length + self.BETWEEN

    def chosen(self, value: V) -> None:
        """A part was clicked."""
        raise NotImplementedError


def content_of(pieces: Sequence[Piece]) -> Content:
    """Pieces as content: their text obeys nothing, their tones name colours of the theme."""
    return Content.assemble(*((piece.text, _style(piece.tone)) for piece in pieces))


def _style(tone: str) -> str:
    words = [_STYLES.get(word, f"${word}") for word in tone.split()]
    return " ".join(words)


_STYLES = {"chosen": "bold underline", "reel": "bold", "key": "bold $footer-key-foreground", "sorted": "bold $accent"}


class VerdictCounts(PartsLine[str | None]):
    """How many reels have each verdict; a click narrows the list to one."""

    class Picked(Message):
        """A verdict was clicked; None for all."""

        def __init__(self, verdict: str | None) -> None:
            super().__init__()
            self.verdict = verdict

    def chosen(self, value: str | None) -> None:
        self.post_message(self.Picked(value))


class KeyLine(PartsLine[Key]):
    """The keys that work in some places, from the table of keys; a click does what the key does."""

    MOST_ROWS = 2
    DEFAULT_CSS = """
    KeyLine {
        dock: bottom;
        background: $footer-background;
        color: $footer-description-foreground;
    }
    """

    def __init__(self, *places: str, of: Widget | None = None, back: bool = False, everywhere: bool = True) -> None:
        """places: whose keys. of: what does as they say, the screen where it is None. back: whether the way back is
        shown as well. everywhere: whether the keys that work everywhere are."""
        super().__init__()
        self._back = back
        self._everywhere = ("everywhere",) if everywhere else ()
        self._places = places
        self._of = of

    def on_mount(self) -> None:
        keys = [key for where in (*self._places, *self._everywhere) for key in KEYS if key.where == where]
        self.show(
            [
                ((Piece(key_display(self.app, key), "key"), Piece(f" {key.words}")), key)
                for key in keys
                if (key.shown or (self._back and key.id == "back"))
                and hasattr(self._doer(key), f"action_{key.action.partition('(')[0]}")
            ]
        )

    def _doer(self, key: Key) -> DOMNode:
        return self.app if key.where == "everywhere" else self._of or self.screen

    def report_lines(self, width: int) -> list[str]:
        """Nothing: keys only work the program."""
        return []

    def chosen(self, value: Key) -> None:
        self.call_later(self.app.run_action, value.action, self._doer(value))


def key_display(app: App[Any], key: Key) -> str:
    """A key as it is written for people: `?`, `Esc`."""
    first = key.key.partition(",")[0]
    return app.get_key_display(Binding(first, ""))
