"""What every place has: the line of places, and the house opened once the first of them stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from tui.places import PLACES, Place
from tui.present.row import Piece
from tui.widgets.lines import PartsLine
from tui.work import WorkingScreen

if TYPE_CHECKING:
    from tui.app import ReelwardApp


class PlaceLine(PartsLine[str]):
    """The places and their number keys, and the number typed; a click does what the key does."""

    DEFAULT_CSS = """
    PlaceLine { dock: top; background: $footer-background; color: $footer-description-foreground; }
    """

    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here

    def on_mount(self) -> None:
        parts: list[tuple[Sequence[Piece], str]] = [
            (self._pieces(place), f"app.go('{place.name}')") for place in PLACES
        ]
        # of the screen where it has a meaning of its own for it
        doer = "screen" if hasattr(self.screen, "action_number") else "app"
        self.show([*parts, ((Piece("n", "key"), Piece(" Number")), f"{doer}.number")])

    def _pieces(self, place: Place) -> tuple[Piece, ...]:
        return Piece(place.key, "key"), Piece(" "), Piece(place.words, "chosen" if place.name == self._here else "")

    def report_lines(self, width: int) -> list[str]:
        """Nothing: it only leads elsewhere."""
        return []

    def chosen(self, value: str) -> None:
        self.call_later(self.app.run_action, value, self)


class PlaceScreen(WorkingScreen[None]):
    """The screen of a place. `opened` is called once the house is open."""

    def on_mount(self) -> None:
        app = cast("ReelwardApp", self.app)
        if app.is_open:
            self.opened()
        else:
            # the first picture does not wait for the house
            self.call_after_refresh(lambda: self.ask(app.open_house, lambda _: self.opened(), instead=app.refuse))

    def report_title(self) -> str:
        return next((place.words for place in PLACES if place.screen == type(self).__name__), super().report_title())

    def opened(self) -> None:
        """Begin: the house is open."""
        raise NotImplementedError

    async def leave(self) -> None:
        """Go back to where the person was before."""
        await cast("ReelwardApp", self.app).action_back()
