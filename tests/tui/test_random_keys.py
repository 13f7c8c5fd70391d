"""Random keys and clicks on a copy: no crash, and no fact written that nobody confirmed."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from textual.screen import ModalScreen

from stock.desk.desk import Desk
from stock.store.check import check
from tests.tui.reel_fixtures import LARGE, SMALL, demo_desk, settled
from tui.app import ReelwardApp
from tui.keys import KEYS
from tui.places import FIRST
from tui.screens.session import SessionScreen

PRESSES = 10_000 if os.environ.get("REELWARD_NIGHTLY") else 250
CONFIRMING = frozenset({"f2", "enter", "space"})
"""What confirms in a dialog; a click may, too."""
LOGGING = frozenset({"space", "enter", "m", "x", "f", "f6"})
"""What enters facts in the session log."""
_KEPT_BACK = {False: CONFIRMING, True: LOGGING}

_CHARACTERS = [*"abcdefghijklmnoprstuvwxyz0123456789", "space", "tab", "shift+tab", "backspace", "left_square_bracket"]
TYPED = [key for each in KEYS for key in each.key.split(",") if each.id != "quit"] + _CHARACTERS


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with demo_desk(tmp_path) as desk:
        yield desk


def newest_line(desk: Desk) -> int:
    with desk.store.reading() as reader:
        head = reader.head()
    assert head is not None
    return head.line


def entered_since(desk: Desk, line: int) -> list[tuple[int, str, str]]:
    """What was entered after a line of the journal: line, who, what."""
    with desk.store.reading() as reader:
        return reader.raw("SELECT line, who, what FROM journal WHERE line > ? ORDER BY line", (line,))


@pytest.mark.parametrize(("seed", "size"), [(1, SMALL), (2, LARGE)])
async def test_random_keys_write_nothing_and_break_nothing(
    desk: Desk, seed: int, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ReelwardApp, "DEFAULT_MODE", FIRST)
    rng = Random(seed)
    before = newest_line(desk)
    app = ReelwardApp(lambda: desk)
    screens: set[str] = set()
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        for number in range(PRESSES):
            screens.add(type(app.screen).__name__)
            # in the session log single keys enter facts, as they should: it is only looked into
            in_dialog = isinstance(app.screen, ModalScreen | SessionScreen)
            if rng.random() < 0.1 and not in_dialog:
                # not on the lines of keys, where a click on Quit leaves the program
                await pilot.click(offset=(rng.randrange(size[0]), rng.randrange(size[1] - 2)))
            else:
                # now and then back out of a page that takes every key as something typed
                key = "escape" if rng.random() < 0.05 else rng.choice(TYPED)
                await pilot.press(
                    "escape" if in_dialog and key in _KEPT_BACK[type(app.screen) is SessionScreen] else key
                )
            if number % 25 == 0:
                await settled(pilot)
            assert app.failure is None
            assert app.is_running
        await settled(pilot)
        assert app.failure is None
        assert app.refusal is None
        app.shelf.close()
    assert len(screens) > 3, "the keys went somewhere"
    assert entered_since(desk, before) == []
    assert check(desk.store.path) == []
