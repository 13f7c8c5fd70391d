"""How one moves: from place to place and back, to a reel by its number, and by a label scanned wherever one is."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any, cast

from textual import events
from textual.app import App
from textual.screen import ModalScreen
from textual.widgets import Input

from stock.edge.visible import safe
from tui import scan

if TYPE_CHECKING:
    from stock.desk.desk import Desk
    from stock.desk.shelf import Shelf, ShelfRow
    from tui.screens.needs import NeedsScreen
    from tui.screens.session import SessionScreen
    from tui.screens.shelf import ShelfScreen
    from tui.work import WorkingScreen

_MOST_BACK = 50
"""So many places are remembered to go back to."""


class Going(App[None]):
    """The base of the app: places are its modes. is_open: whether the house is; before that one goes nowhere."""

    desk: Desk
    shelf: Shelf

    def __init__(self) -> None:
        super().__init__()
        self.is_open = False
        self._trail: list[str] = []
        self._scanning: scan.Scanning[events.Key] = scan.Scanning(scan.BURST_S)

    def action_go(self, place: str) -> None:
        """Go to a place, as it was left."""
        if self.is_open and place != self.current_mode:
            self._trail = [*self._trail, self.current_mode][-_MOST_BACK:]
            self.switch_mode(place)

    async def action_back(self) -> None:
        if len(self.screen_stack) > 1:
            # not waited for: a click asks for it from a screen that would then wait for its own end
            self.pop_screen()
        elif self._trail:
            self.switch_mode(self._trail.pop())

    def open_reel(self, number: str) -> None:
        """Show a reel's page, over where the person is."""
        from tui.screens.reel import ReelScreen

        self.push_screen(ReelScreen(number))

    async def log_reel(self, number: str) -> None:
        """Go to the session log with a reel on the machine."""
        await self._to_base("machine")
        cast("SessionScreen", self.screen).put_on(number)

    async def search_shelf(self, words: str) -> None:
        """Go to the list with what was searched for."""
        await self._to_base("shelf")
        cast("ShelfScreen", self.screen).search(words)

    async def list_verdict(self, verdict: str) -> None:
        """Go to the list with the reels of one verdict."""
        await self._to_base("shelf")
        cast("ShelfScreen", self.screen).narrow(verdict)

    async def show_need(self, stock_item: str) -> None:
        """Go to the needs with a stock item."""
        await self._to_base("needs")
        cast("NeedsScreen", self.screen).look_at(stock_item)

    async def _to_base(self, place: str) -> None:
        """Go to a place and to its own screen, away from what lies over it."""
        self.action_go(place)
        while len(self.screen_stack) > 1:
            await self.pop_screen()

    def action_number(self) -> None:
        """Ask for a reel's number, and open its page."""
        from tui.dialogs.number import NumberDialog

        if self.is_open:
            self.push_screen(NumberDialog("Open"), lambda number: self.open_reel(number) if number else None)

    # scans

    async def on_event(self, event: events.Event) -> None:
        if not isinstance(event, events.Key) or event.is_forwarded:
            await super().on_event(event)
            return
        typing = isinstance(self.focused, Input)
        await self._taken(self._scanning.take(event, event.key, event.character, event.time, typing=typing))

    async def _taken(self, taken: scan.Taken[events.Key]) -> None:
        for key in taken.let_go:
            await super().on_event(key)
        if taken.scan is not None:
            self._scanned(taken.scan)
        if taken.again_s is not None:
            self.set_timer(taken.again_s, self._look_for_scan)

    async def _look_for_scan(self) -> None:
        await self._taken(self._scanning.look(time.monotonic()))

    def _scanned(self, found: scan.Scan) -> None:
        """Hand a scan to what has the focus, or what it lies in; else show the reel."""
        if found.number is None:
            self.notify(
                "The label was misread: scan it again. If that goes on, see which keyboard the scanner is set to.",
                severity="error",
                markup=False,
            )
            return
        for node in (self.focused or self.screen).ancestors_with_self:
            take_scan = getattr(node, "take_scan", None)
            if take_scan is not None and take_scan(found.number):
                return
        if isinstance(self.screen, ModalScreen):
            self._tell_verdict(found.number)
        elif self.is_open:
            self.open_reel(found.number)

    def _tell_verdict(self, number: str) -> None:
        """Say a reel's verdict over a dialog, which stays."""
        from tui.present.listing import row_words

        def told(rows: list[ShelfRow]) -> None:
            says = row_words(rows[0]) if rows else f"There is no reel {number}."
            self.notify(safe(says), markup=False)

        def work() -> list[ShelfRow]:
            each = self.shelf.id_of(number)
            return self.shelf.rows([each]) if each is not None else []

        cast("WorkingScreen[Any]", self.screen).ask(work, told)
