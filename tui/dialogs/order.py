"""The dialog of the list's order."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from tui.keys import key_binding
from tui.present.listing import CHOSEN, OPEN, ORDERS
from tui.work import WorkingModal


class OrderDialog(WorkingModal[str | None]):
    """Choose an order; gives its name, or None where it was left without."""

    BINDINGS: ClassVar = [key_binding("back")]
    DEFAULT_CSS = """
    OrderDialog #box { width: 44; height: auto; padding: 1 2; background: $surface; }
    OrderDialog #title { text-style: bold; padding: 0 0 1 0; }
    OrderDialog OptionList { height: auto; border: none; padding: 0; background: $surface; }
    OrderDialog OptionList:focus { border: none; }
    OrderDialog #leave { min-width: 8; margin: 1 0 0 0; }
    """

    def __init__(self, sort: str) -> None:
        super().__init__()
        self._sort = sort

    def compose(self) -> ComposeResult:
        marks = ((name, CHOSEN if name == self._sort else OPEN, words) for name, (words, _) in ORDERS.items())
        with Vertical(id="box"):
            yield Static("Order of the list", id="title")
            yield OptionList(*(Option(Content(f"{mark} {words}"), id=name) for name, mark, words in marks))
            yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        options = self.query_one(OptionList)
        options.highlighted = list(ORDERS).index(self._sort)
        options.focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option.id)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        """Leave the order as it is."""
        self.dismiss(None)
