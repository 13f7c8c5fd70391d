"""Every kind of screen and dialog on the demo house, to be looked at as a whole."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from textual.pilot import Pilot
from textual.screen import Screen

from stock.core.kinds import BY_NAME
from stock.core.rule_groups import group_of
from stock.core.rules import BY_NAME as RULES
from stock.desk.desk import Desk
from stock.desk.house_rules import RuleLine
from tests.tui.reel_fixtures import SMALL, keys, settled
from tui.app import ReelwardApp
from tui.dialogs.choose_kind import ChooseKind
from tui.dialogs.confirm import Confirm
from tui.dialogs.entry import EntryDialog
from tui.dialogs.inspect import InspectDialog
from tui.dialogs.lanes import LanesDialog
from tui.dialogs.number import NumberDialog
from tui.dialogs.order import OrderDialog
from tui.dialogs.rule import RuleDialog
from tui.present.entry import Start
from tui.screens.buying import BuyingScreen
from tui.screens.copies import CopiesScreen
from tui.screens.help import HelpScreen
from tui.screens.needs import NeedsScreen
from tui.screens.now import NowScreen
from tui.screens.pick import PickScreen
from tui.screens.reel import ReelScreen
from tui.screens.rules import RulesScreen
from tui.screens.session import SessionScreen
from tui.screens.wear import WearScreen
from tui.screens.wipe import WipeScreen

SCREENS: dict[str, Callable[[], Screen[Any]]] = {
    "now": NowScreen,
    "reel": lambda: ReelScreen("M-0151"),
    "needs": NeedsScreen,
    "buying": BuyingScreen,
    "pick": PickScreen,
    "copies": CopiesScreen,
    "session": SessionScreen,
    "wear": lambda: WearScreen("M-0104"),
    "wipe": lambda: WipeScreen("M-0103"),
    "rules": RulesScreen,
    "lanes": lambda: LanesDialog(frozenset()),
    "number": lambda: NumberDialog("Open"),
    "rule": lambda: RuleDialog(RuleLine(RULES["gap_s"], group_of("gap_s"), 5_000_000, "5 s", "5 s", None)),
    "help": HelpScreen,
    "choose kind": ChooseKind,
    "order": lambda: OrderDialog("verdict"),
    "confirm": lambda: Confirm("Enter it?", "Enter it"),
    "inspect": lambda: InspectDialog("M-0151", set()),
    "entry": lambda: EntryDialog(Start(BY_NAME["take"], {}, ()), "Tess Amblin"),
}


@asynccontextmanager
async def running(desk: Desk, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[ReelwardApp, Pilot[None]]]:
    """The screens on a house, at its list, which is worked out."""
    app = ReelwardApp(lambda: desk)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await keys(pilot, "2")
        yield app, pilot
        app.shelf.close()


async def shown(pilot: Pilot[None], name: str) -> None:
    """Open one of the screens."""
    screen = SCREENS[name]()
    if isinstance(screen, SessionScreen):
        screen.put_on("M-0151")
    pilot.app.push_screen(screen)
    await settled(pilot)
