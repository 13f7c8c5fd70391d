"""The reel on the machine as one looks at it: the tape left, counting down, the counter, the tape as a bar."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Digits, Static

from stock.core.words import clock
from stock.edge.visible import safe
from tui.present import session as present
from tui.present.row import Piece
from tui.widgets.lines import content_of

if TYPE_CHECKING:
    from stock.desk.session.loaded import Loaded
    from stock.desk.session.next_reel import NextReel


class MachineFace(Vertical):
    """Drawn anew with `show`; it reads nothing itself."""

    DEFAULT_CSS = """
    MachineFace { height: auto; padding: 0 1; }
    MachineFace Static { height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    MachineFace #state { margin-top: 1; }
    MachineFace #clocks { height: 3; }
    MachineFace #left { width: 1fr; height: 3; text-style: bold; }
    MachineFace #left.-runs { color: $accent; }
    MachineFace #left.-low { color: $error; }
    MachineFace #counter { color: $quiet; text-align: right; width: 30; height: 3; }
    MachineFace #captions { height: 1; }
    MachineFace #left_words { width: 1fr; color: $quiet; }
    MachineFace #counter_words { width: 24; color: $quiet; text-align: right; }
    MachineFace #bar { height: 2; }
    MachineFace .some { display: none; }
    MachineFace .some.-shown { display: block; }
    """

    def compose(self) -> ComposeResult:
        yield Static("", id="sheet", classes="some")
        yield Static("", id="state")
        with Horizontal(id="clocks"):
            yield Digits("", id="left")
            yield Digits("", id="counter")
        with Horizontal(id="captions"):
            yield Static("", id="left_words")
            yield Static("", id="counter_words")
        yield Static("", id="bar")
        yield Static("", id="legend")
        yield Static("", id="plan")
        yield Static("", id="go_to", classes="some")
        yield Static("", id="warning", classes="some")

    def show(
        self,
        loaded: Loaded,
        now: present.Now,
        now_us: int,
        *,
        title: str,
        planned: Sequence[int],
        reels: Sequence[NextReel],
    ) -> None:
        """Draw the reel as it is at a moment. title: said for the next take. reels: to go to where takes do not fit."""
        width = self.size.width
        runs = loaded.running is not None
        left = self.query_one("#left", Digits)
        left.update(clock(now.left_us))
        left.set_class(now.low, "-low")
        left.set_class(runs, "-runs")
        self.query_one("#counter", Digits).update(loaded.on.clock_at(now.place))
        self.query_one("#left_words", Static).update(Content(safe(f"left to {now.bound.label}")))
        self.query_one("#counter_words", Static).update(present.counter_words(loaded, now))
        above, bar = present.bar_pieces(loaded, now, width)
        self._put("bar", [*above, Piece("\n"), *bar])
        self._put("state", present.state_pieces(loaded, now, title, now_us))
        self._put("legend", present.legend_pieces(loaded))
        self._put("plan", present.plan_pieces(now, planned, runs))
        self._put_some("sheet", present.sheet_pieces(loaded))
        self._put_some("go_to", present.go_to_pieces(reels))
        self._put_some("warning", present.warning_pieces(loaded))

    def _put(self, id: str, pieces: Sequence[Piece]) -> None:
        self.query_one(f"#{id}", Static).update(content_of(pieces), layout=False)

    def _put_some(self, id: str, pieces: Sequence[Piece]) -> None:
        """A line that is there only while it says something."""
        self._put(id, pieces)
        self.query_one(f"#{id}").set_class(bool(pieces), "-shown")
