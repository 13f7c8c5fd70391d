"""The reel on the machine: it is loaded, the tape left counts down, what others enter shows. No take is made here."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Static

from stock.edge.visible import safe
from tui.dialogs.number import NumberDialog
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.present import session as present
from tui.present.row import Piece
from tui.widgets.lines import KeyLine, content_of
from tui.widgets.machine_face import MachineFace

if TYPE_CHECKING:
    from stock.core.session import Running
    from stock.desk.picking import Picker
    from stock.desk.session.loaded import Loaded
    from stock.desk.session.next_reel import NextReel

_TICK_S = 0.25
"""How often the clock is drawn anew; nothing is read for it."""
"""How often it looks whether anybody else entered something."""


class MachineScreen(PlaceScreen):
    """One reel on the machine: at first one on which a take still runs, else it asks.

    planned: the takes to come, microseconds. set_up: what was said for them. title: said for the next.
    """

    AUTO_FOCUS = ""
    BINDINGS: ClassVar = [
        *bindings("machine", "session log"),
        *(key_binding(id) for id in ("take_back", "back", "number")),
    ]
    DEFAULT_CSS = """
    MachineScreen #head { height: 1; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    MachineScreen #takes_head { height: 1; padding: 0 1; color: $quiet; margin-top: 1; }
    MachineScreen #takes { height: 1fr; min-height: 2; padding: 0 1; scrollbar-size-vertical: 1; }
    MachineScreen #takes Static { height: 1; text-wrap: nowrap; }
    MachineScreen #said { height: 1; padding: 0 1; background: $surface; text-wrap: nowrap; text-overflow: ellipsis; }
    MachineScreen #keys { dock: bottom; height: 2; }
    MachineScreen KeyLine { dock: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.loaded: Loaded | None = None
        self.planned: list[int] = []
        self._number: str | None = None
        self.set_up: dict[str, str] = {}
        self.title_typed = ""
        self.typed_place: int | None = None
        self.busy = False
        self._picker: Picker | None = None
        self._reels: list[NextReel] = []
        self._reels_for: object = None
        self._begun = False

    def compose(self) -> ComposeResult:
        yield PlaceLine("machine")
        yield Static("", id="head")
        yield MachineFace(id="face")
        yield Static("", id="takes_head")
        yield VerticalScroll(id="takes", can_focus=False)
        yield Static("", id="said")
        with Vertical(id="keys"):
            yield KeyLine("machine", everywhere=False)
            yield KeyLine("session log", back=True)

    def opened(self) -> None:
        self._begin()
        self.set_interval(_TICK_S, self.tick)
        self.keep_watch()

    def on_resize(self) -> None:
        self._show_takes()
        self.tick()

    # loading

    def put_on(self, number: str) -> None:
        """Put a reel on the machine, now or once the house is open."""
        self._number = number
        if self._begun:
            self.load(number)

    def take_scan(self, number: str) -> bool:
        """A label scanned is that of the reel put on."""
        self.put_on(number)
        return True

    def _begin(self) -> None:
        """Load the reel named, or the one on which a take still runs."""
        from stock.desk.session.ending import running_takes

        self._begun = True
        if self._number is not None:
            self.load(self._number)
            return
        desk = self.desk
        self.ask(lambda: running_takes(desk), self._found)

    def _found(self, running: list[Running]) -> None:
        if running:
            newest = max(running, key=lambda each: (each.started_us, each.entry))
            self.say(f"{newest.label} still runs on reel {newest.reel}.")
            self.load(newest.reel)
        elif self._number is None:
            self.action_number()

    def load(self, number: str) -> None:
        """Put a reel on the machine; the one before stays where it is if there is no such reel."""
        from stock.desk.session.loaded import load

        desk, wanted = self.desk, dict(self.set_up)
        wanted.pop("machine", None)
        if "project" not in wanted and self.loaded is not None and self.loaded.on.reel != number:
            # the session goes on for whom it was
            running = self.loaded.running
            project = (running.project or "") if running is not None else self.loaded.carried.project
            if project:
                self.set_up["project"] = wanted["project"] = project
        self.ask(lambda: load(desk, number, **wanted), self._show, group="load", instead=self._not_loaded)

    def _not_loaded(self, error: BaseException) -> None:
        self.trouble(error)
        if self.loaded is None:
            self.say("No reel is on the machine: type its number with n, or scan it.")

    def _show(self, loaded: Loaded) -> None:
        if self.loaded is None or self.loaded.on.reel != loaded.on.reel:
            self.typed_place = None
        self.loaded, self.mark = loaded, loaded.seen
        self._show_takes()
        self.tick()

    def anew(self) -> None:
        if self.loaded is not None:
            self.load(self.loaded.on.reel)

    @property
    def holds_still(self) -> bool:
        return self.busy

    # drawing

    def tick(self) -> None:
        """Draw what changes with the clock."""
        loaded = self.loaded
        if loaded is None or not self.size.width:
            return
        now_us = self.desk.now_us()
        now = present.now_of(loaded, self.typed_place, self.planned, now_us)
        self._put("head", present.head_pieces(loaded))
        self._ask_reels(loaded, now)
        self.query_one(MachineFace).show(
            loaded, now, now_us, title=self.title_typed, planned=self.planned, reels=self._reels
        )
        self._put("said", [Piece(self._said_last)])

    _said_last = ""

    def say(self, words: str) -> None:
        """Say what was done, in the line above the keys."""
        self._said_last = safe(words)
        self._put("said", [Piece(self._said_last)])

    def _put(self, id: str, pieces: list[Piece]) -> None:
        self.query_one(f"#{id}", Static).update(content_of(pieces), layout=False)

    def _show_takes(self) -> None:
        loaded = self.loaded
        if loaded is None or not self.size.width:
            return
        width = self.size.width - 4
        takes = self.query_one("#takes", VerticalScroll)
        marks = f", {loaded.marks} mark{'' if loaded.marks == 1 else 's'} today" if loaded.marks else ""
        head = f"on this reel{marks}" if loaded.takes else "nothing is logged on this reel yet"
        self._put("takes_head", [Piece(head, "quiet")])
        takes.remove_children()
        takes.mount_all(Static(content_of(present.take_pieces(loaded, each, width))) for each in loaded.takes)
        takes.call_after_refresh(takes.scroll_end, animate=False)

    def _ask_reels(self, loaded: Loaded, now: present.Now) -> None:
        """Ask for the reel to go to, once for each change of what does not fit."""
        wanting = tuple(each.take_us for each in now.outlooks if not each.fits)
        asked_for = wanting, loaded.on.reel, loaded.carried.project, loaded.seen
        if asked_for == self._reels_for:
            return
        self._reels_for = asked_for
        if not wanting:
            self._reels = []
            return
        desk = self.desk

        def answer() -> list[NextReel]:
            from stock.desk.picking import Picker
            from stock.desk.session.next_reel import next_reels

            if self._picker is None:
                self._picker = Picker(desk)
            return next_reels(self._picker, loaded, wanting)

        self.ask(answer, self._show_reels, group="reels", instead=lambda error: None)

    def _show_reels(self, reels: list[NextReel]) -> None:
        self._reels = reels
        self.tick()

    # another reel

    def action_number(self) -> None:
        """Ask for the number of the reel that is put on."""
        self.app.push_screen(NumberDialog("Put on"), self._new_reel)

    def _new_reel(self, number: str | None) -> None:
        if number:
            self.put_on(number)
        elif self.loaded is None:
            self.say("No reel is on the machine: type its number with n, or scan it.")

    async def action_back(self) -> None:
        await self.leave()

    @on(events.ScreenResume)
    def _resumed(self) -> None:
        self.tick()
