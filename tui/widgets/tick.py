"""A choice that is on or off, told by its sign and not by colour alone."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

_ON, _OFF = "\u2713", " "


class Tick(Widget, can_focus=True):
    """A box with a tick where it is on; a click, the space bar or Enter turns it over."""

    BINDINGS: ClassVar = [Binding("space,enter", "turn", "On or off", show=False)]
    DEFAULT_CSS = """
    Tick { width: auto; height: 1; margin: 0 2 0 0; }
    Tick:focus { background: $block-cursor-background; color: $block-cursor-foreground; }
    """
    value: reactive[bool] = reactive(False)

    class Changed(Message):
        """It was turned over."""

    def __init__(self, label: str, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._label = label

    def render(self) -> Content:
        return Content(f"[{_ON if self.value else _OFF}] {self._label}")

    def tell(self, label: str) -> None:
        """Give it another label."""
        self._label = label
        self.refresh(layout=True)

    def watch_value(self, before: bool, now: bool) -> None:
        if before != now:
            self.post_message(self.Changed())

    def action_turn(self) -> None:
        self.value = not self.value

    def on_click(self) -> None:
        self.action_turn()
