"""The dialog that narrows the list: to a verdict, an owner, a stock item, a shelf."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, OptionList, Static
from textual.widgets.option_list import Option

from tui.keys import bindings, key_binding
from tui.present.listing import CHOSEN, FILTERS, OPEN, value_words
from tui.work import WorkingModal

if TYPE_CHECKING:
    from stock.desk.shelf import ShelfQuery

Narrowing = dict[str, str | None]
"""What the list is narrowed to, by column; None for anything."""


class FilterDialog(WorkingModal[Narrowing | None]):
    """Choose what the list is narrowed to.

    values: the values of each column, each with how many reels have it. On the left stands what is chosen of each
    column, on the right what there is of the one under the cursor.
    """

    BINDINGS: ClassVar = [*bindings("filter"), key_binding("back")]
    DEFAULT_CSS = """
    FilterDialog #box { width: 72; height: 20; padding: 1 2; background: $surface; }
    FilterDialog #title { text-style: bold; padding: 0 0 1 0; }
    FilterDialog OptionList { height: 1fr; border: none; padding: 0; background: $surface; }
    FilterDialog OptionList:focus { border: none; background: $panel; }
    FilterDialog #columns { width: 28; margin: 0 2 0 0; }
    FilterDialog #buttons { height: 1; margin: 1 0 0 0; }
    FilterDialog Button { min-width: 8; margin: 0 2 0 0; }
    """

    def __init__(self, values: Mapping[str, Sequence[tuple[str, int]]], query: ShelfQuery) -> None:
        super().__init__()
        self._values = values
        self._chosen: Narrowing = {column: getattr(query, column) for column in FILTERS}
        self._column = next(iter(FILTERS))

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("Only reels with", id="title")
            with Horizontal():
                yield OptionList(*(Option(self._column_prompt(column), id=column) for column in FILTERS), id="columns")
                yield OptionList(id="values")
            with Horizontal(id="buttons"):
                yield Button("F2 Show these", id="show", variant="primary", compact=True)
                yield Button("All reels", id="all", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        columns = self.query_one("#columns", OptionList)
        columns.highlighted = 0
        columns.focus()

    def _column_prompt(self, column: str) -> Content:
        value = self._chosen[column]
        shown = "any" if value is None else value_words(column, value)
        return Content.assemble(f"{FILTERS[column]:<11} ", (shown, "" if value is None else "bold underline"))

    def _show_values(self) -> None:
        chosen = self._chosen[self._column]
        counted = self._values[self._column]
        total = sum(count for _, count in counted)
        rows = [(None, "any", total), *((value, value_words(self._column, value), count) for value, count in counted)]
        prompts = [
            Content.assemble(
                f"{CHOSEN if value == chosen else OPEN} ", (words, "bold" if value == chosen else ""), f"  {count}"
            )
            for value, words, count in rows
        ]
        values = self.query_one("#values", OptionList)
        values.clear_options()
        values.add_options(prompts)
        values.highlighted = next((place for place, (value, *_) in enumerate(rows) if value == chosen), 0)

    @on(OptionList.OptionHighlighted, "#columns")
    def _column_changed(self, event: OptionList.OptionHighlighted) -> None:
        self._column = event.option.id or self._column
        self._show_values()

    @on(OptionList.OptionSelected, "#columns")
    def _column_entered(self) -> None:
        self.query_one("#values").focus()

    @on(OptionList.OptionSelected, "#values")
    def _value_chosen(self, event: OptionList.OptionSelected) -> None:
        place = event.option_index
        self._chosen[self._column] = None if place == 0 else self._values[self._column][place - 1][0]
        columns = self.query_one("#columns", OptionList)
        columns.replace_option_prompt(self._column, self._column_prompt(self._column))
        self._show_values()
        columns.focus()

    @on(Button.Pressed, "#show")
    def action_show(self) -> None:
        """Narrow the list to what is chosen."""
        self.dismiss(self._chosen)

    @on(Button.Pressed, "#all")
    def _all(self) -> None:
        self.dismiss(dict.fromkeys(FILTERS))

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        """Leave the list as it is."""
        self.dismiss(None)
