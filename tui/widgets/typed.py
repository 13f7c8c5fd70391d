"""A field to type in: what is typed or pasted obeys nothing, not even in a paste with control characters."""

from __future__ import annotations

from collections.abc import Sequence

from textual.filter import LineFilter
from textual.widgets import Input

from stock.edge.visible import safe
from tui import no_color


class Typed(Input):
    """An input line without a border, whose controls and escapes become visible symbols."""

    DEFAULT_CSS = """
    Typed { background: $panel; }
    """

    def __init__(self, value: str = "", *, placeholder: str = "", id: str | None = None) -> None:
        super().__init__(value, placeholder=placeholder, id=id, compact=True)

    def put(self, text: str) -> None:
        """Put a text in; where the cursor stands in the field, all of it is chosen, as when one goes there."""
        self.value = text
        if self.has_focus:
            self.select_all()
        else:
            self.cursor_position = len(self.value)

    def validate_value(self, value: str) -> str:
        return safe(value)

    def get_line_filters(self) -> Sequence[LineFilter]:
        if self.app.no_color:
            return [no_color.colourless(self.app.current_theme.background or "", underlined=True)]
        return super().get_line_filters()
