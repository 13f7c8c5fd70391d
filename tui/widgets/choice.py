"""A field to choose in: a letter takes what begins with it, without the list being opened."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from textual import events
from textual.content import Content
from textual.widgets import Select

from stock.edge.visible import safe

T = TypeVar("T")


class Choice(Select[T]):
    """Shows words, holds the value of one of them. optional: whether none may be chosen.

    A letter takes the first choice that begins with it; once more, the next. Where only one begins with it, the focus
    goes on to the next field.
    """

    def __init__(
        self, choices: Sequence[tuple[str, T]], chosen: T | None, *, prompt: str, optional: bool = True
    ) -> None:
        super().__init__(
            [(Content(safe(words)), value) for words, value in choices],
            prompt=prompt,
            value=Select.NULL if chosen is None else chosen,
            allow_blank=optional,
            compact=True,
        )
        self._choices = choices

    @property
    def chosen(self) -> T | None:
        """What is chosen; None for nothing."""
        return self.selection

    def choose(self, value: T | None) -> None:
        """Choose one; nothing, for one that is not there."""
        known = [each for _, each in self._choices]
        if value in known:
            self.value = value
        elif value is None:
            self.clear()

    def on_key(self, event: events.Key) -> None:
        """What is typed chooses, as long as the list is not open, and means nothing else here."""
        letter = event.character if event.is_printable else None
        if self.expanded or not letter or letter == " ":
            return
        event.stop()
        event.prevent_default()
        found = [value for words, value in self._choices if words.casefold().startswith(letter.casefold())]
        if found:
            at = found.index(self.value) + 1 if self.value in found else 0
            self.value = found[at % len(found)]
        if len(found) == 1:
            self.screen.focus_next()
