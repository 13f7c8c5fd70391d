"""Which kind of fact to enter: by its letter, by words, or picked from the list."""

from __future__ import annotations

from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tui.keys import key_binding
from tui.present.kinds import BY_LETTER, LETTERS, kinds_found
from tui.widgets.typed import Typed
from tui.work import WorkingModal


class ChooseKind(WorkingModal[str]):
    """Gives the name of a kind of fact. One letter chooses; `/` goes to where words are typed."""

    BINDINGS: ClassVar = [key_binding("back")]
    CSS = """
    ChooseKind #box { width: 66; height: auto; max-height: 90%; padding: 1 2; background: $surface; }
    ChooseKind OptionList { height: auto; max-height: 16; margin-top: 1; background: $surface; border: none; }
    ChooseKind OptionList { scrollbar-size-vertical: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    ChooseKind OptionList > .option-list--option-highlighted { background: $panel; color: $foreground; }
    ChooseKind #none { display: none; margin-top: 1; }
    ChooseKind.-none #none { display: block; }
    """

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content.assemble(("Enter what?", "bold"), ("   Type its letter, or click on it.", "$quiet")))
            yield Typed(placeholder="/ finds by words", id="kind")
            yield OptionList(id="kinds", compact=True)
            yield Static("no kind of fact is called that", id="none")

    def on_mount(self) -> None:
        self._list("")
        self.query_one(OptionList).focus()

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
                    (f"{LETTERS[kind.name]}  ", "$accent"),
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
        """A letter chooses a kind. Where words are typed, the arrow keys walk the list."""
        options, typed = self.query_one(OptionList), self.query_one(Typed)
        if typed.has_focus:
            if event.key in ("up", "down"):
                event.stop()
                options.action_cursor_up() if event.key == "up" else options.action_cursor_down()
        elif event.character == "/":
            event.stop()
            typed.focus()
        elif event.is_printable and event.character != " ":
            event.stop()
            name = BY_LETTER.get((event.character or "").casefold())
            if name is not None:
                self.dismiss(name)

    def on_click(self, event: events.Click) -> None:
        if event.widget is self:
            self.action_back()

    def action_back(self) -> None:
        self.dismiss(None)
