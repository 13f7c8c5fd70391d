"""The demo house on a copy, a small app that shows one reel's page, and pictures of what it shows."""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import tempfile
from collections.abc import AsyncIterator, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager, contextmanager
from datetime import UTC, datetime
from functools import cache
from itertools import count
from pathlib import Path

from textual.app import App
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import DirectoryTree, Input

from stock.core.measure import SECOND
from stock.core.moments import instant
from stock.desk.desk import Desk
from stock.desk.exchanging import load
from tui.keys import bindings
from tui.screens.reel import ReelScreen
from tui.theme import DARK, THEMES
from tui.widgets.heading import Lines

NOW_US = instant(datetime(2026, 11, 25, 10, 0, tzinfo=UTC))
SEED = Path(__file__).parents[2] / "seed"
PICTURES = Path(__file__).parent / "snapshots"
SMALL, LARGE = (80, 24), (120, 40)
PAINTED_S = 30
"""What was asked for is on the screen by then, however busy the machine is."""

HOSTILE = (
    "side [A] take [/]",
    "[@click=app.quit]x[/]",
    "[bold red]loud",
    "[[[",
    "]]",
    "$error {x}",
    "\\[b]",
    "a\x1b[31mred",
    "\x1b]0;title\x07",
    "bell\x07",
    "line\nline",
    "tab\tstop",
    "\u202egnirts",
    "wide 漢字 and e\u0301",
    "'; DROP TABLE takes; --",
    "=cmd|' /C calc'!A0",
)
"""Sixteen texts that markup, terminals, SQL or spreadsheets might obey."""


@cache
def _loaded() -> Path:
    folder = Path(tempfile.mkdtemp(prefix="reelward-tests-"))
    desk = Desk.open(folder / "house.db", "Tess Amblin", now_us=lambda: NOW_US)
    report = load(desk, SEED)
    assert not report.problems, report.problems
    desk.close()
    return folder / "house.db"


@contextmanager
def demo_desk(folder: Path, now_us: Callable[[], int] | None = None) -> Iterator[Desk]:
    """A desk on a copy of the demo house, by a clock that goes on by a second each time it is looked at."""
    copy = folder / "house.db"
    shutil.copy(_loaded(), copy)
    clock = count(NOW_US, SECOND)
    desk = Desk.open(copy, "Tess Amblin", now_us=now_us or (lambda: next(clock)))
    try:
        yield desk
    finally:
        desk.close()


class PageApp(App[None]):
    """One reel's page and nothing else."""

    BINDINGS = bindings("everywhere")

    def __init__(self, desk: Desk, reel: str) -> None:
        super().__init__()
        self.desk = desk
        self.reel = reel
        self.lanes_hidden: frozenset[str] = frozenset()
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = DARK.name

    def on_mount(self) -> None:
        self.push_screen(ReelScreen(self.reel))

    def action_back(self) -> None:
        self.pop_screen()

    @property
    def page(self) -> ReelScreen:
        (page,) = (screen for screen in self.screen_stack if isinstance(screen, ReelScreen))
        return page

    def said(self, id: str = "readout") -> str:
        """The words of one of the page's parts."""
        return self.page.query_one(f"#{id}", Lines).text()


@asynccontextmanager
async def page_of(desk: Desk, reel: str, size: tuple[int, int] = SMALL) -> AsyncIterator[tuple[PageApp, Pilot[None]]]:
    """A reel's page with its answer on it.

    Whoever closes the desk afterwards does so when no thread reads from it any more.
    """
    app = PageApp(desk, reel)
    with ThreadPoolExecutor() as threads:
        asyncio.get_running_loop().set_default_executor(threads)
        async with app.run_test(size=size) as pilot:
            await settled(pilot)
            yield app, pilot


async def settled(pilot: Pilot[None]) -> None:
    """Wait until nothing is under way: no work in a thread, no message not yet answered, all of it on the screen."""
    for _ in range(2):
        await pilot.pause()
        workers = pilot.app.workers
        # a tree of folders has one that never ends: it waits for the next folder to be looked into
        ending = [each for each in workers if not isinstance(each.node, DirectoryTree)]
        if ending:
            await workers.wait_for_complete(ending)
    await pilot.pause()
    painted = asyncio.Event()
    pilot.app.screen.call_after_refresh(painted.set)
    async with asyncio.timeout(PAINTED_S):  # an application that broke down paints no more
        await painted.wait()


async def keys(pilot: Pilot[None], *pressed: str) -> None:
    """Press keys one after another, each when what the one before started is done."""
    for key in pressed:
        await pilot.press(key)
        await settled(pilot)


def where_it_says(widget: Widget, words: str) -> tuple[int, int]:
    """The column and the line at which a widget of one or more lines says something, to click on."""
    lines = str(widget.render()).split("\n")
    return next((line.index(words), y) for y, line in enumerate(lines) if words in line)


async def check_picture(pilot: Pilot[None], name: str) -> None:
    """Compare what the screen comes to with the stored picture; REELWARD_UPDATE_SNAPSHOTS=1 stores it anew."""
    for typed in pilot.app.screen.query(Input):
        typed.cursor_blink = False
    stored = PICTURES / f"{name}.svg"
    if os.environ.get("REELWARD_UPDATE_SNAPSHOTS") == "1":
        await asyncio.sleep(0.3)
        await pilot.pause()
        stored.write_text(_picture(pilot), encoding="utf-8")
    assert stored.exists(), f"no picture {stored.name}: make it with REELWARD_UPDATE_SNAPSHOTS=1 and look at it"
    wanted = stored.read_text(encoding="utf-8")
    for _ in range(40):  # a layout may follow another once more after all is answered
        await pilot.pause()
        shown = _picture(pilot)
        if shown == wanted:
            return
        await asyncio.sleep(0.05)
    beside = Path(tempfile.mkdtemp(prefix="reelward-shown-")) / stored.name
    beside.write_text(shown, encoding="utf-8")
    raise AssertionError(f"{stored.name} looks different now: {beside}")


def _picture(pilot: Pilot[None]) -> str:
    return re.sub(r"terminal-\d+", "terminal", pilot.app.export_screenshot(title="reelward"))
