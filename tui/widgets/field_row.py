"""One field of an entry form: its name, where to type or choose, what to type, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Select, Static

from stock.core.kinds import Field, Kind
from stock.edge.visible import safe
from tui.present.entry import Offer, is_needed, label_of
from tui.widgets.typed import Typed

_STATED_LATER = {"date": "now"}
_YES_NO = ("yes", "no")


class _Row(Vertical):
    DEFAULT_CSS: ClassVar[str] = """
    _Row { height: auto; }
    _Row Horizontal { height: auto; }
    _Row .label { width: 16; }
    _Row Typed, _Row Select { width: 26; margin-right: 2; }
    _Row SelectCurrent { background: $panel; }
    _Row .help { width: 1fr; height: auto; color: $quiet; }
    _Row .error { height: auto; color: $error; padding-left: 16; display: none; }
    _Row.-wrong .error { display: block; }
    _Row.-wrong .label { color: $error; }
    """


class FieldRow(_Row):
    """A field. column: its name in the table of kinds. needed: whether the form cannot do without it."""

    def __init__(self, kind: Kind, field: Field, text: str, who: str) -> None:
        super().__init__()
        self._field = field
        self._start = text
        self._who = who
        self.column = field.name
        self.needed = is_needed(field)

    def compose(self) -> ComposeResult:
        field = self._field
        choices = _YES_NO if field.cell == "yesno" else field.choices
        with Horizontal():
            yield Static(Content(f"{label_of(field)}{' *' if self.needed else ''}"), classes="label")
            if choices:
                value = self._start if self._start in choices else Select.NULL
                yield Select(
                    [(Content(choice), choice) for choice in choices], prompt="not stated", value=value, compact=True
                )
            else:
                later = safe(self._who) if field.name == "by" else _STATED_LATER.get(field.name, "")
                yield Typed(self._start, placeholder=later)
            yield Static(Content(field.help.replace("`", "")), classes="help")
        yield Static("", classes="error")

    @property
    def text(self) -> str:
        """What is typed or chosen; empty for nothing."""
        for typed in self.query(Typed):
            return typed.value
        for select in self.query(Select):
            return str(select.value) if select.value is not Select.NULL else ""
        return self._start

    def fill(self, text: str) -> None:
        """Put a text into the field."""
        for typed in self.query(Typed):
            typed.value = text

    def complain(self, words: str) -> None:
        """Say what is wrong with the field; nothing is, where there are no words."""
        self.query_one(".error", Static).update(Content(f"\u2717 {safe(words)}" if words else ""))
        self.set_class(bool(words), "-wrong")

    def put_focus(self) -> None:
        for widget in self.query("Typed, Select"):
            widget.focus()


class OfferRow(_Row):
    """What the reel offers to choose from instead of typing."""

    DEFAULT_CSS: ClassVar[str] = """
    OfferRow { margin-bottom: 1; }
    OfferRow Select { width: 1fr; }
    """

    class Chosen(Message):
        """One was chosen: cells to fill, by column."""

        def __init__(self, cells: Mapping[str, str]) -> None:
            super().__init__()
            self.cells = cells

    def __init__(self, offer: Offer, number: int) -> None:
        super().__init__(id=f"offer-{number}")
        self._offer = offer

    def compose(self) -> ComposeResult:
        offer = self._offer
        with Horizontal():
            yield Static(Content(offer.label), classes="label")
            yield Select(
                [(Content(words), number) for number, (words, _) in enumerate(offer.choices)],
                value=Select.NULL if offer.chosen is None else offer.chosen,
                prompt="choose",
                allow_blank=offer.chosen is None,
                compact=True,
            )

    @on(Select.Changed)
    def _choose(self, message: Select.Changed) -> None:
        message.stop()
        if isinstance(message.value, int):
            self.post_message(self.Chosen(self._offer.choices[message.value][1]))
