"""What the palette finds beside the keys, by fuzzy words: every reel, project and client, every kind of fact."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from rapidfuzz import fuzz, process, utils
from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

from stock.edge.visible import safe
from tui.present.kinds import kinds_of_a_reel

if TYPE_CHECKING:
    from tui.app import ReelwardApp

_MOST = 12
_ENOUGH = 60
"""A likeness of 100 from which something may be what was meant."""


class Goal(NamedTuple):
    """What the palette leads to. words: what is searched, shown as well. says: what happens."""

    words: str
    says: str
    run: Callable[[], Any]


class HouseProvider(Provider):
    """Reels, projects and clients of the house; on a reel's page, the facts that can be entered."""

    async def startup(self) -> None:
        app = cast("ReelwardApp", self.app)
        self._goals = [*_kinds(self.screen)]
        if app.is_open:
            self._goals += await asyncio.to_thread(_house, app)
        self._words = [goal.words for goal in self._goals]

    async def search(self, query: str) -> Hits:
        found = await asyncio.to_thread(
            process.extract,
            query,
            self._words,
            scorer=fuzz.WRatio,
            processor=utils.default_process,
            limit=_MOST,
            score_cutoff=_ENOUGH,
        )
        for words, likeness, at in found:
            goal = self._goals[at]
            # between 0 and 1, as the palette's own
            yield Hit(likeness / 100, Content(safe(words)), goal.run, help=goal.says)

    async def discover(self) -> Hits:
        for goal in _kinds(self.screen):
            yield DiscoveryHit(Content(goal.words), goal.run, help=goal.says)


def _house(app: ReelwardApp) -> list[Goal]:
    """All reels, projects and clients; for a thread."""
    from stock.desk.names_known import names_known

    names = names_known(app.desk)
    return [
        *(Goal(reel, "Open this reel", partial(app.open_reel, reel)) for reel in names.reels),
        *(Goal(name, "List the reels of this project", partial(app.search_shelf, name)) for name in names.projects),
        *(Goal(name, "List the reels of this client", partial(app.search_shelf, name)) for name in names.clients),
    ]


def _kinds(screen: Any) -> list[Goal]:
    enter = getattr(screen, "action_enter_kind", None)
    if enter is None:
        return []
    return [
        Goal(f"Enter {kind.name.replace('-', ' ')}", kind.help, partial(enter, kind.name)) for kind in kinds_of_a_reel()
    ]
