"""Forms left unfinished, for a list of what is to be done: told in a line each, and opened again where they were."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from stock.core.kinds import BY_NAME
from tui.drafting import drafts_of
from tui.present.drafts import left_words, when_words
from tui.work import WorkingScreen

if TYPE_CHECKING:
    from tui.app import ReelwardApp
    from tui.drafts import Draft

_ACTIONS = {"cut": "cut", "inspection": "inspect"}


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


async def go_where_left(app: ReelwardApp, draft: Draft) -> None:
    """Go to where a form was left, and open it there where that can be."""
    from tui.screens.orders import OrdersScreen
    from tui.screens.reel import ReelScreen
    from tui.screens.wear import WearScreen

    form, about = draft.form, draft.about
    if about and form in _ACTIONS:
        app.push_screen(ReelScreen(about, _ACTIONS[form]))
    elif about and form in BY_NAME and form not in ("order", "receipt"):
        app.push_screen(ReelScreen(about, f"enter_kind({form!r})"))
    elif form == "levels":
        app.push_screen(WearScreen(about))
    elif form == "overdubs" and about:
        await app.log_reel(about)
    elif form in ("overdubs", "set-up"):
        app.action_go("machine")
    elif form in ("order", "order line", "receipt"):
        app.action_go("buy")
        if form == "receipt":
            app.push_screen(OrdersScreen())
