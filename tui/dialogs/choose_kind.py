"""Which kind of fact to enter: found by its first letters, or picked from the list."""

from __future__ import annotations

from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tui.keys import key_binding
from tui.present.entry import kinds_found
from tui.widgets.typed import Typed
from tui.work import WorkingModal


class ChooseKind(WorkingModal[str]):
    """Gives the name of a kind of fact."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    ChooseKind #box { width: 66; height: auto; max-height: 90%; padding: 1 2; background: $surface; }
    ChooseKind OptionList { height: auto; max-height: 15; margin-top: 1; background: $surface; }
    ChooseKind OptionList { scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    ChooseKind #none { display: none; margin-top: 1; }
    ChooseKind.-none #none { display: block; }
    """

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("Enter what?  Type its first letters, or click on it.")
            yield Typed(id="kind")
            yield OptionList(id="kinds", compact=True)
            yield Static("no kind of fact is called that", id="none")

    def on_mount(self) -> None:
        self._list("")
        self.query_one(Typed).focus()

    @on(Typed.Changed)
    def _typed(self, message: Typed.Changed) -> None:
        self._list(message.value)

    def _list(self, typed: str) -> None:
        kinds = kinds_found(typed)
        options = self.query_one(OptionList)
        options.clear_options()
        options.add_options(
            Option(
                Content.assemble(
                    (f"{kind.name.replace('-', ' '):<13}", "bold"),
                    (kind.help, "$quiet"),
                ),
                id=kind.name,
            )
            for kind in kinds
        )
        options.highlighted = 0 if kinds else None
        self.set_class(not kinds, "-none")

    @on(Typed.Submitted)
    def _submitted(self) -> None:
        options = self.query_one(OptionList)
        if options.highlighted is not None:
            self.dismiss(options.get_option_at_index(options.highlighted).id)

    @on(OptionList.OptionSelected)
    def _selected(self, message: OptionList.OptionSelected) -> None:
        self.dismiss(message.option_id)

    def on_key(self, event: events.Key) -> None:
        """The arrow keys walk the list while the letters are typed."""
        if event.key in ("up", "down") and self.query_one(Typed).has_focus:
            event.stop()
            options = self.query_one(OptionList)
            if event.key == "up":
                options.action_cursor_up()
            else:
                options.action_cursor_down()

    def on_click(self, event: events.Click) -> None:
        if event.widget is self:
            self.action_back()

    def action_back(self) -> None:
        self.dismiss(None)
