"""Lines of text that do not take the focus, and the way back for the mouse."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from textual import events
from textual.strip import Strip

from tui.present.line import Line, Piece, text_of, wrap
from tui.widgets.inked import Inked

_LABEL = 8


class Lines(Inked):
    """Some lines, each cut or wrapped to the width. labels: whether each has a word before it."""

    DEFAULT_CSS = """
    Lines { height: 1; width: 1fr; }
    """

    def __init__(self, *, id: str | None = None, labels: bool = False) -> None:
        super().__init__(id=id)
        self._lines: Sequence[Line] = ()
        self._labels: Sequence[str] = ()
        self._indent = _LABEL if labels else 0
        self._one_line_each = not labels

    @property
    def one_line_each(self) -> bool:
        """Whether what does not fit in one line is cut, not wrapped."""
        return self._one_line_each

    @one_line_each.setter
    def one_line_each(self, value: bool) -> None:
        self._one_line_each = value
        self._fit()

    def show(self, lines: Sequence[Line], labels: Sequence[str] = ()) -> None:
        """Show other lines, and the words before them where they have such."""
        self._lines, self._labels = lines, labels
        self._fit()

    def say(self, words: str, ink: str = "plain") -> None:
        """Show one line in one ink, as wide as its words; nothing for no words."""
        self.styles.width = cell_len(words)
        self.show([(Piece(words, ink),)] if words else [])

    def text(self) -> str:
        """All the words shown."""
        return "\n".join(text_of(line) for line in self._laid(10_000))

    def report_lines(self, width: int) -> list[str]:
        """All the words shown, wrapped to a width."""
        return [text_of(line) for line in self._laid(width)]

    def _laid(self, width: int) -> list[Line]:
        laid: list[Line] = []
        for number, line in enumerate(self._lines):
            label = self._labels[number] if number < len(self._labels) else ""
            whole = (Piece(f"{label:<{self._indent}}", "quiet"), *line) if self._indent else line
            laid += [whole] if self._one_line_each else wrap(whole, width, self._indent)
        return laid

    def _fit(self) -> None:
        if self.size.width:
            self.take_height(max(1, len(self._laid(self.size.width))))

    def on_resize(self) -> None:
        self._fit()

    def render_line(self, y: int) -> Strip:
        laid = self._laid(self.size.width)
        return self.strip(laid[y] if y < len(laid) else (), self.size.width)


class BackLink(Inked):
    """`‹ back`: a click on it goes back, as escape does."""

    DEFAULT_CSS = """
    BackLink { height: 1; width: 8; }
    BackLink:hover { text-style: underline; }
    """

    def render_line(self, y: int) -> Strip:
        return self.strip((Piece("‹ back", "quiet"),), self.size.width)

    def report_lines(self, width: int) -> list[str]:
        """Nothing: it only leads back."""
        return []

    async def on_click(self, event: events.Click) -> None:
        event.stop()
        await self.run_action("app.back")
