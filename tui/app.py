"""The program's screens: themes, keys, and the one place where they are put together with a house."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import signal
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Any, ClassVar

from rich.console import Console
from textual.app import App, SystemCommand
from textual.binding import Binding
from textual.dom import DOMNode
from textual.filter import LineFilter, Monochrome
from textual.screen import Screen
from textual.theme import Theme
from textual.widgets import OptionList

from tui import crash, no_color
from tui.going import Going
from tui.keys import KEYS, bindings
from tui.places import FIRST, PLACES
from tui.theme import DARK, THEMES, after

if TYPE_CHECKING:
    from textual.command import Provider

    from stock.desk.desk import Desk

SIGNALS = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)
"""What asks the program to end from outside: each of them leaves the terminal as it was."""

NO_TERMINAL = 2


def _palette() -> type[Provider]:
    from tui.palette import HouseProvider

    return HouseProvider


_KEYS_IN_WORDS = {
    "f2": "F2",
    "f3": "F3",
    "f4": "F4",
    "f5": "F5",
    "f6": "F6",
    "f7": "F7",
    "f8": "F8",
    "enter": "Enter",
    "space": "Space",
    "escape": "Esc",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "home": "Home",
    "end": "End",
}


class ReelwardApp(Going):
    """The screens on one house.

    opening: opens the house, in a thread, once the first picture stands. leaving: set when nothing more is wanted of
    work under way. lanes_hidden: of the tape map. failure: why the program stopped, or None.
    """

    TITLE = "reelward"
    BINDINGS: ClassVar = bindings("everywhere")
    CSS: ClassVar = no_color.CSS
    MODES: ClassVar = {place.name: place.open for place in PLACES}
    DEFAULT_MODE = FIRST
    COMMANDS: ClassVar = App.COMMANDS | {_palette}

    def __init__(self, opening: Callable[[], Desk], theme: Theme = DARK) -> None:
        super().__init__()
        self._opening = opening
        self.leaving = Event()
        self.drafts_in: Path | None = None
        self.failure: Exception | None = None
        self.refusal: BaseException | None = None
        # a crash is told by `tui.crash`: what is printed otherwise shows what people typed
        self.error_console = Console(quiet=True)
        self.lanes_hidden: frozenset[str] = frozenset()
        for each in THEMES:
            self.register_theme(each)
        self.theme = theme.name
        self.no_color = no_color.unwanted()

    def get_line_filters(self) -> Sequence[LineFilter]:
        # Textual's own answer to NO_COLOR is shades of grey, which are colours too, and it asks for them even where the
        # variable is empty
        if self.no_color:
            return [no_color.colourless(self.current_theme.background or "")]
        return [each for each in super().get_line_filters() if not isinstance(each, Monochrome)]

    async def run_action(
        self,
        action: str | tuple[str, str, tuple[Any, ...]],
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        # Textual's lists break on a page key that comes before they have been laid out
        if (
            action in ("page_up", "page_down")
            and isinstance(default_namespace, OptionList)
            and not default_namespace.scrollable_content_region
        ):
            return True
        return await super().run_action(action, default_namespace, namespaces)

    def open_house(self) -> None:
        """Open the house and its list of reels; for a thread (StoreError where that is refused)."""
        from stock.desk.shelf import Shelf

        self.desk = self._opening()
        self.shelf = Shelf(self.desk)
        self.is_open = True

    def refuse(self, error: BaseException) -> None:
        """Leave because the house cannot be opened: `run` raises the error once the terminal is restored."""
        self.refusal = error
        self.exit()

    # Textual offers no public place to learn of a crash; the exit status does not rest on this one, only the log.
    def _handle_exception(self, error: Exception) -> None:
        self.failure = self.failure or error
        super()._handle_exception(error)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The keys that work now, by their words."""
        for active in screen.active_bindings.values():
            binding, node = active.binding, active.node
            if any(key.id == binding.id for key in KEYS):
                run = self._runner(binding.action, node)
                yield SystemCommand(binding.description, active.tooltip or binding.description, run)

    def _runner(self, action: str, node: Any) -> Callable[[], Any]:
        return lambda: self.run_action(action, node)

    def get_key_display(self, binding: Binding) -> str:
        """A key as it is written for people."""
        return _KEYS_IN_WORDS.get(binding.key) or super().get_key_display(binding)

    def action_help(self) -> None:
        from tui.screens.help import HelpScreen

        if not isinstance(self.screen, HelpScreen):
            self.push_screen(HelpScreen())

    def action_copy_out(self) -> None:
        """Copy, save or print what is on the screen."""
        from tui.dialogs.copy_out import CopyOut
        from tui.work import WorkingScreen

        if self.is_open and isinstance(self.screen, WorkingScreen) and not isinstance(self.screen, CopyOut):
            self.screen.copy_out()

    def action_theme(self) -> None:
        self.theme = after(self.theme).name

    def action_quit_program(self) -> None:
        self.exit()

    def action_help_quit(self) -> None:
        self.notify("q leaves the program.", markup=False)


def run(opening: Desk | Callable[[], Desk], theme: Theme = DARK, *, drafts_in: Path | None = None) -> int:
    """Show the screens until somebody leaves them; gives the exit status.

    opening: an open house, or what opens one, which is closed again. What refuses to open it is raised. A crash is
    logged and gives 3, a signal 128 and its number, as shells count. drafts_in: where what is typed is kept, else in
    the user's state folder.
    """
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        print("reelward: the screens need a terminal; `reelward --help` lists what works without one", file=sys.stderr)
        return NO_TERMINAL
    app = ReelwardApp(opening if callable(opening) else lambda: opening, theme)
    app.drafts_in = drafts_in
    try:
        with _terminal_kept():
            asyncio.run(_run(app))
    except Exception as error:
        return crash.tell(app.failure or error)
    finally:
        if hasattr(app, "shelf"):
            app.shelf.close()
        if callable(opening) and hasattr(app, "desk"):
            app.desk.close()
    if app.refusal is not None:
        raise app.refusal
    if app.failure is not None or app.return_code == 1:
        return crash.tell(app.failure or RuntimeError())
    return app.return_code or 0


async def _run(app: ReelwardApp) -> None:
    # a full collection walks all of the program and takes longer than a picture may; by default every twentieth key of
    # a search waited for one
    gc.set_threshold(20_000, 20, 50)
    loop = asyncio.get_running_loop()
    for each in SIGNALS:
        loop.add_signal_handler(each, lambda number: app.exit(return_code=128 + number), each)
    try:
        await app.run_async()
    finally:
        app.leaving.set()


@contextlib.contextmanager
def _terminal_kept() -> Iterator[None]:
    """The terminal's settings as they were before, whatever happens between."""
    try:
        import termios
    except ImportError:  # no such settings on this system
        yield
        return
    before = termios.tcgetattr(sys.stdin)
    try:
        yield
    finally:
        # the terminal may be gone by now
        with contextlib.suppress(termios.error):
            termios.tcsetattr(sys.stdin, termios.TCSANOW, before)
