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
from tui.present.entry import Offer, help_of, is_needed, label_of
from tui.widgets.choice import Choice
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
    _Row.-read .help { color: $success; }
    _Row.-wrong .error { display: block; }
    _Row.-wrong .label { color: $error; }
    """

    def put_focus(self) -> None:
        """Go to where one types or chooses."""
        self.query("Typed, Choice").first().focus()


class FieldRow(_Row):
    """A field. column: its name in the table of kinds. needed: whether the form cannot do without it."""

    def __init__(self, kind: Kind, field: Field, text: str, who: str) -> None:
        super().__init__()
        self.field = field
        self._start = text
        self._who = who
        self.column = field.name
        self.needed = is_needed(field)

    def compose(self) -> ComposeResult:
        field = self.field
        choices = _YES_NO if field.cell == "yesno" else field.choices
        with Horizontal():
            yield Static(Content(f"{label_of(field)}{' *' if self.needed else ''}"), classes="label")
            if choices:
                chosen = self._start if self._start in choices else None
                yield Choice([(choice, choice) for choice in choices], chosen, prompt="not stated")
            else:
                later = safe(self._who) if field.name == "by" else _STATED_LATER.get(field.name, "")
                yield Typed(self._start, placeholder=later)
            yield Static(Content(help_of(field)), classes="help")
        yield Static("", classes="error")

    @property
    def text(self) -> str:
        """What is typed or chosen; empty for nothing."""
        for typed in self.query(Typed):
            return typed.value
        for choice in self.query(Choice):
            return str(choice.chosen or "")
        return self._start

    def put(self, text: str) -> None:
        """Put in what somebody typed."""
        for typed in self.query(Typed):
            typed.put(text)
        for choice in self.query(Choice):
            choice.choose(text or None)

    def tell(self, understood: str) -> None:
        """Say how what is typed is understood; what to type, where nothing is."""
        self.query_one(".help", Static).update(Content(safe(f"= {understood}" if understood else help_of(self.field))))
        self.set_class(bool(understood), "-read")

    def complain(self, words: str) -> None:
        """Say what is wrong with the field; nothing is, where there are no words."""
        self.query_one(".error", Static).update(Content(f"\u2717 {safe(words)}" if words else ""))
        self.set_class(bool(words), "-wrong")


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
        self._taken = offer.chosen

    @property
    def open(self) -> bool:
        """Whether it is left to choose: nothing was chosen at first."""
        return self._offer.chosen is None

    def compose(self) -> ComposeResult:
        offer = self._offer
        with Horizontal():
            yield Static(Content(offer.label), classes="label")
            yield Choice(
                [(words, number) for number, (words, _) in enumerate(offer.choices)],
                offer.chosen,
                prompt="choose",
                optional=offer.chosen is None,
            )

    @on(Select.Changed)
    def _choose(self, message: Select.Changed) -> None:
        message.stop()
        # it tells of what was chosen at first as well, when something else may be typed by now
        if isinstance(message.value, int) and message.value != self._taken:
            self._taken = message.value
            self.post_message(self.Chosen(self._offer.choices[message.value][1]))
