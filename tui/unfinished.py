"""Forms left unfinished, for a list of what is to be done: told in a line each, and opened again where they were."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from stock.core.kinds import BY_NAME
from tui.drafting import drafts_of
from tui.present.drafts import left_words, when_words
from tui.work import WorkingScreen

if TYPE_CHECKING:
    from textual.screen import Screen

    from tui.drafts import Draft


def left_unfinished(screen: WorkingScreen[Any]) -> list[tuple[Draft, str]]:
    """Every form left unfinished, newest first, with its line: `Left unfinished at 15:12: splice on M-0147`.

    For a thread: it reads files.
    """
    desk = screen.desk
    zone, now_us = desk.context().calendar.zone, desk.now_us()
    return [
        (draft, left_words(draft.form, draft.about, when_words(draft.at_us, now_us, zone)))
        for draft in drafts_of(screen).left()
    ]


def where_left(draft: Draft) -> Screen[Any] | None:
    """The screen on which a form was left, which opens it where it can; None for a form that no screen has now."""
    from tui.screens.buying import BuyingScreen
    from tui.screens.orders import OrdersScreen
    from tui.screens.reel import ReelScreen
    from tui.screens.session import SessionScreen
    from tui.screens.wear import WearScreen

    form, about = draft.form, draft.about
    if about and (form in ("cut", "inspection") or form in BY_NAME and form not in ("order", "receipt")):
        return ReelScreen(about, form)
    if form == "levels":
        return WearScreen(about)
    if form == "overdubs":
        return SessionScreen(about)
    if form == "set-up":
        return SessionScreen(None, resume=True)
    if form == "receipt":
        return OrdersScreen()
    return BuyingScreen() if form in ("order", "order line") else None
