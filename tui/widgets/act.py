"""The button of an act whose words follow what it would do."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Button

from stock.edge.visible import safe


class Act(Button):
    """A button that can be named anew: it becomes as wide as its words, which Textual's own does not."""

    def name_it(self, words: str) -> None:
        """Say what it does now."""
        self.label = Content(safe(words))
        self.refresh(layout=True)
