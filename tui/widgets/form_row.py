"""A line of a form: a label, a field to type in, and a few words about it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from stock.edge.visible import safe
from tui.widgets.typed import Typed


class FormRow(Horizontal):
    """One field. name: the id of what is typed into. example: shown in the field while it is empty."""

    DEFAULT_CSS = """
    FormRow { height: auto; }
    FormRow .label { width: 18; }
    FormRow Typed { width: 30; margin-right: 2; }
    FormRow .about { width: 1fr; height: auto; color: $quiet; }
    """

    def __init__(self, name: str, label: str, about: str = "", *, value: str = "", example: str = "") -> None:
        super().__init__(id=f"row-{name}")
        self._field = name
        self._label = label
        self._about = about
        self._value = value
        self._example = example

    def compose(self) -> ComposeResult:
        yield Static(Content(safe(self._label)), classes="label")
        yield Typed(self._value, placeholder=self._example, id=self._field)
        if self._about:
            yield Static(Content(safe(self._about)), classes="about")

    def tell(self, label: str) -> None:
        """Give the field another label."""
        self._label = label
        self.query_one(".label", Static).update(Content(safe(label)))
