"""The picture of a whole reel to scale along time, with a cursor that walks along the tape."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.message import Message
from textual.strip import Strip

from tui.keys import bindings
from tui.present.line import Line, Piece, text_of
from tui.present.rows import GUTTER, draw, height_of
from tui.present.tape import Tape
from tui.present.window import Window, whole
from tui.widgets.inked import Inked


class TapeMap(Inked, can_focus=True):
    """The map. place: the reel place the cursor is at. speed: micrometres per second, for times and steps.

    hidden: the lanes left out.
    """

    BINDINGS: ClassVar = bindings("tape map")
    DEFAULT_CSS = """
    TapeMap { height: 7; width: 1fr; }
    TapeMap:focus { background-tint: $foreground 4%; }
    """

    class Moved(Message):
        """The cursor is at another place."""

    class Wanted(Message):
        """Somebody asks the page for something. what: `speed`, `go_to`, `read`, `lanes`."""

        def __init__(self, what: str) -> None:
            super().__init__()
            self.what = what

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.tape: Tape | None = None
        self.speed = 0
        self.place = 0
        self.window: Window | None = None
        self.hidden: frozenset[str] = frozenset()
        self._lines: list[Line] = []

    def show(self, tape: Tape, speed: int) -> None:
        """Draw a reel, the cursor and the window staying where they are as far as the reel goes."""
        longer = self.tape is not None and self.window is not None and self.window.hi >= self.tape.length
        self.tape, self.speed = tape, speed
        self.place = max(0, min(self.place, tape.length))
        if self.window is not None:
            shown_whole = longer and self.window.lo == 0
            self.window = whole(tape.length, self.window.width) if shown_whole else self.window.within(tape.length)
        self.take_height(height_of(tape, self.hidden))
        self._redraw()
        self.post_message(self.Moved())

    def report_lines(self, width: int) -> list[str]:
        """The whole reel drawn for a width, whatever part is shown."""
        if self.tape is None:
            return []
        window = whole(self.tape.length, width - GUTTER)
        return [text_of(line) for line in draw(self.tape, window, self.place, self.speed)]

    def hide(self, lanes: frozenset[str]) -> None:
        """Leave some lanes out, and draw all others."""
        self.hidden = lanes
        if self.tape is not None:
            self.take_height(height_of(self.tape, lanes))
        self._redraw()

    def go(self, place: int) -> None:
        """Put the cursor at a place, within the reel, and show it."""
        if self.tape is None:
            return
        self.place = max(0, min(place, self.tape.length))
        if self.window is not None:
            self.window = self.window.showing(self.place, self.tape.length)
        self._redraw()
        self.post_message(self.Moved())

    def on_resize(self) -> None:
        self._redraw()

    def _redraw(self) -> None:
        width = self.size.width - GUTTER
        if self.tape is not None and width > 0:
            if self.window is None:
                self.window = whole(self.tape.length, width)
            elif self.window.width != width:
                self.window = self.window._replace(width=width)
            self._lines = draw(self.tape, self.window, self.place, self.speed, self.hidden)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        if self.tape is None:
            words = "working out what is on the tape …" if y == 3 else ""
            return self.strip((Piece(words, "quiet"),), width)
        if y >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        return self.strip(self._lines[y], width)

    def action_step(self, by: int) -> None:
        if self.window is not None:
            self.go(self.place + by * self.window.step(self.speed))

    def action_event(self, way: int) -> None:
        """To the next place worth stopping at, on either side."""
        if self.tape is None:
            return
        if way > 0:
            found = next((at for at in self.tape.events if at > self.place), self.tape.length)
        else:
            found = next((at for at in reversed(self.tape.events) if at < self.place), 0)
        self.go(found)

    def action_to_end(self, way: int) -> None:
        if self.tape is not None:
            self.go(self.tape.length if way > 0 else 0)

    def action_zoom(self, closer: int) -> None:
        if self.tape is not None and self.window is not None:
            self.window = self.window.zoomed(self.place, closer, self.tape.length, self.speed)
            self._redraw()

    def action_speed(self) -> None:
        self.post_message(self.Wanted("speed"))

    def action_go_to(self) -> None:
        self.post_message(self.Wanted("go_to"))

    def action_lanes(self) -> None:
        self.post_message(self.Wanted("lanes"))

    def action_read_place(self) -> None:
        self.post_message(self.Wanted("read"))

    def on_click(self, event: events.Click) -> None:
        at = event.get_content_offset(self)
        if self.window is not None and at is not None and at.x >= GUTTER:
            self.go(self.window.place(at.x - GUTTER))
            if event.chain == 2:
                self.action_read_place()

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        event.stop()
        self.action_zoom(1)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        event.stop()
        self.action_zoom(-1)
