"""The places one can go to from anywhere, in the order of their number keys."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from textual.screen import Screen


class Place(NamedTuple):
    """A place. key: its number key. module, screen: where its screen is, brought in when somebody goes there."""

    key: str
    name: str
    words: str
    tooltip: str
    module: str
    screen: str

    def open(self) -> Screen[Any]:
        """Its screen, new."""
        made: Screen[Any] = getattr(import_module(self.module), self.screen)()
        return made


PLACES = (
    Place("1", "now", "Now", "What the house has to do, most urgent first", "tui.screens.now", "NowScreen"),
    Place("2", "shelf", "Shelf", "Every reel with its verdict", "tui.screens.shelf", "ShelfScreen"),
    Place("3", "machine", "Machine", "The session log: takes as they happen", "tui.screens.session", "SessionScreen"),
    Place("4", "pick", "Pick", "Find reels for the takes to come", "tui.screens.pick", "PickScreen"),
    Place("5", "copies", "Copies", "Transfers that wait for proof, copies due to be read", "tui.screens.copies",
          "CopiesScreen"),
    Place("6", "needs", "Needs", "What will have to be bought, week by week, with its odds", "tui.screens.needs",
          "NeedsScreen"),
    Place("7", "buy", "Buy", "What to order, at other prices too, and what tape costs", "tui.screens.buying",
          "BuyingScreen"),
    Place("8", "rules", "Rules", "Every limit of the house, and what another would change", "tui.screens.rules",
          "RulesScreen"),
)  # fmt: skip
FIRST = "now"
"""Where the program begins."""
