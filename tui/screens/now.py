"""Now: what the house has to do, most urgent first, each line one key from its cure."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, ClassVar, NamedTuple, cast

from textual import on
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Static

from stock.edge.visible import safe
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.reel_acts import ReelActs
from tui.widgets.lines import KeyLine
from tui.work import ANEW, LOOK_S, Mark

if TYPE_CHECKING:
    from stock.core.now import Code, Group, Task
    from stock.desk.listening import ToHear
    from stock.desk.now import Needs, Now
    from tui.app import ReelwardApp
    from tui.drafts import Draft
    from tui.screens.proving import CopyAsked
    from tui.widgets.heading import Lines
    from tui.widgets.task_list import TaskList

_NEEDS_EACH_S = 60.0
"""The forecast is not made anew sooner than so long after the last."""

_TOLD_BY = 2_000
_WIDE = 110


class Looked(NamedTuple):
    """A look at the record. mark: its state and the day. at: the time of day, in words."""

    mark: Mark
    at: str


class Read(NamedTuple):
    """What is shown, as it was read. has_reels: whether there are any in the house. left: forms left unfinished."""

    looked: Looked
    now: Now
    has_reels: bool
    left: dict[Task, Draft]


class Told(Message):
    """So many verdicts are worked out, of so many."""

    def __init__(self, done: int, total: int) -> None:
        super().__init__()
        self.done = done
        self.total = total


class Leaving(Exception):
    """Work is broken off because the program ends."""


class NowScreen(ReelActs, PlaceScreen):
    """The list of what is to be done, and the line under the cursor in full."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar = [*bindings("now", "reel"), key_binding("back")]
    DEFAULT_CSS = """
    NowScreen #state { height: 1; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    NowScreen #both { layout: vertical; height: 1fr; }
    NowScreen #list { height: 1fr; scrollbar-size-vertical: 1; margin-top: 1; }
    NowScreen #side { height: 5; background: $surface; padding: 0 1; }
    NowScreen #nothing { display: none; margin: 2 4; }
    NowScreen.-nothing #nothing { display: block; }
    NowScreen.-nothing #both { display: none; }
    NowScreen.-wide #both { layout: horizontal; }
    NowScreen.-wide #side { width: 42; height: 1fr; margin: 1 0 0 1; padding: 1 2; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._now: Now | None = None
        self._needs: list[Task] = []
        self._left: dict[Task, Draft] = {}
        self._needs_state = "needs are being worked out \u2026"
        self._forecast: Needs | None = None
        self._forecast_for: Mark | None = None
        self._forecast_at = 0.0
        self._unfolded: dict[Code, int] = {}
        self._has_reels = False
        self._looked_at = ""
        self._working = self._work_again = self._forecasting = False
        self._trouble = ""

    def compose(self) -> ComposeResult:
        yield PlaceLine("now")
        yield Static("Opening the house \u2026", id="state")
        yield KeyLine("now", "reel")

    def on_resize(self) -> None:
        was = self.has_class("-wide")
        self.set_class(self.size.width >= _WIDE, "-wide")
        if self.has_class("-wide") != was and self._now is not None:
            self._fill()

    def opened(self) -> None:
        self.call_later(self._begin)

    async def _begin(self) -> None:
        """Lay out the list and what is beside it, and begin: the first picture is there sooner without them."""
        from textual.containers import Container, VerticalScroll

        from tui.widgets.heading import Lines
        from tui.widgets.task_list import TaskList

        detail, nothing = Lines(id="detail"), Lines(id="nothing")
        detail.one_line_each = False
        listed = VerticalScroll(TaskList(id="tasks"), id="list", can_focus=False)
        await self.mount(Container(listed, Container(detail, id="side"), id="both"), nothing)
        self._list.focus()
        self.keep_up()
        self.set_interval(LOOK_S, self.look)

    @property
    def _list(self) -> TaskList:
        return cast("TaskList", self.query_one("#tasks"))

    @property
    def groups(self) -> list[Group]:
        """All that is shown."""
        return self._now.groups([*self._needs, *self._left]) if self._now is not None else []

    # keeping up

    def _look(self) -> Looked:
        from stock.core.moments import datetime_of

        desk = self.desk
        at = datetime_of(desk.now_us()).astimezone(desk.context().calendar.zone)
        return Looked((desk.store.data_version(), desk.as_of().day), f"{at:%H:%M}")

    def look(self) -> None:
        """See whether anything was entered since, or another day began; if so, list anew. Not while nobody sees it."""
        if not self._working and self.is_current:
            self.ask(self._look, self._has_looked, group="look", instead=self._cannot)

    def on_screen_resume(self) -> None:
        if self._now is not None:
            # a form left meanwhile leaves no trace in the record
            self.keep_up()

    def _has_looked(self, looked: Looked) -> None:
        if looked.mark != self.mark:
            self.say_stale(ANEW)
            self.keep_up()
        elif looked.at != self._looked_at or self._trouble:
            self._looked_at, self._trouble = looked.at, ""
            self._show_state()
        self._keep_needs()

    def anew(self) -> None:
        self.keep_up()

    def keep_up(self) -> None:
        """List anew; while that is under way, once more after it."""
        if self._working:
            self._work_again = True
            return
        self._working = True
        self.ask(self._read, self._show, instead=self._cannot)

    def _read(self) -> Read:
        from stock.desk.now import now

        looked = self._look()
        self.shelf.refresh(self._told)
        found = now(self.desk, self.shelf)
        return Read(looked, found, bool(self.shelf.values("verdict")), self._unfinished())

    def _unfinished(self) -> dict[Task, Draft]:
        from stock.core.now import Task
        from tui.unfinished import left_unfinished

        remedy = "finish it, or throw it away there"
        return {
            Task("unfinished", "form", says, remedy, reel=draft.about, form=draft.form): draft
            for draft, says in left_unfinished(self)
        }

    def _told(self, done: int, total: int) -> None:
        self._going_on()
        if done % _TOLD_BY == 0:
            self.post_message(Told(done, total))

    def _going_on(self) -> None:
        if cast("ReelwardApp", self.app).leaving.is_set():
            raise Leaving

    @on(Told)
    def _on_told(self, message: Told) -> None:
        if self._working:
            from tui.present.listing import working_words

            self._trouble = working_words(message.done, message.total)
            self._show_state()

    def _show(self, read: Read) -> None:
        looked, self._now, self._has_reels, self._left = read
        self.mark, self._looked_at = looked
        self.say_stale("")
        self._working, self._trouble = False, ""
        self._fill()
        self._keep_needs()
        if self._work_again:
            self._work_again = False
            self.keep_up()

    def _cannot(self, error: BaseException) -> None:
        """The house cannot be read just now: say so for as long as that lasts, and look again."""
        self._working = False
        self.mark = None
        self._trouble = f"not up to date: {error}"
        self._show_state()

    # the needs

    def _keep_needs(self) -> None:
        """Make the forecast anew where the record has changed, but not at once again."""
        fresh = self._forecast_for is not None and time.monotonic() - self._forecast_at < _NEEDS_EACH_S
        if self._forecasting or self._now is None or self._forecast_for == self.mark or fresh:
            return
        self._forecasting = True
        mark = self.mark

        def work() -> list[Task]:
            from stock.desk.now import Needs

            if self._forecast is None:
                self._forecast = Needs(self.desk, self._going_on)
            return self._forecast.tasks()

        self.ask(work, lambda tasks: self._show_needs(mark, tasks), instead=self._no_needs)

    def _show_needs(self, mark: Mark | None, tasks: list[Task]) -> None:
        self._forecasting = False
        self._forecast_for, self._forecast_at = mark, time.monotonic()
        self._needs, self._needs_state = tasks, ""
        self._fill()

    def _no_needs(self, error: BaseException) -> None:
        self._forecasting = False
        self._forecast_for, self._forecast_at = self.mark, time.monotonic()
        self._needs_state = f"needs are not known: {error}"
        self._show_state()

    # showing

    def _fill(self, *, stay: bool = False) -> None:
        from tui.present.now import rows_of

        if self._now is None:
            return
        groups = self.groups
        self._list.show(rows_of(groups, self._unfolded, self._now.as_of.day), stay=stay)
        self._show_state()

    def _show_state(self) -> None:
        from tui.present.line import Piece
        from tui.present.now import nothing_lines, state_line
        from tui.widgets.inked import inked

        state = self.query_one("#state", Static)
        said = safe(self._trouble or self._needs_state)
        if self._now is None:
            state.update(inked((Piece(said, "mark"),)))
            return
        groups = self.groups
        state.update(inked(state_line(groups, self._looked_at, said)))
        self.set_class(not groups, "-nothing")
        if not groups:
            cast("Lines", self.query_one("#nothing")).show(nothing_lines(self._looked_at, said, self._has_reels))

    def on_task_list_pointed(self, message: TaskList.Pointed) -> None:
        """Tell the line under the cursor in full."""
        from tui.present.now import detail_lines

        if message.row is not None:
            roomy = self.has_class("-wide")
            cast("Lines", self.query_one("#detail")).show(detail_lines(message.row, self.groups, roomy=roomy))

    # what the keys do

    def action_cure(self) -> None:
        """Do what the line under the cursor asks for, or show more of its kind."""
        if self._now is not None:
            self._list.choose()

    async def action_back(self) -> None:
        """Fold what was unfolded; where nothing is, back to the place before."""
        if self._unfolded:
            self._unfolded = {}
            self._fill()
        else:
            await self.leave()

    def reel_here(self) -> str | None:
        row = self._list.row if self._now is not None else None
        return row.task.reel or None if row is not None and row.task is not None else None

    # cures

    async def on_task_list_chosen(self, message: TaskList.Chosen) -> None:
        """See to a line."""
        row = message.row
        if row.task is None:
            from tui.present.now import FEW, MORE

            self._unfolded[row.code] = self._unfolded.get(row.code, FEW) + MORE
            self._fill(stay=True)
        elif self.is_current:
            await self._cure(row.task)

    async def _cure(self, task: Task) -> None:
        app = cast("ReelwardApp", self.app)
        match task.cure:
            case "session":
                await self.action_log()
            case "wipe":
                self.action_wipe()
            case "proof":
                self.action_proof()
            case "reel":
                app.open_reel(task.reel)
            case "return":
                self._enter("move", {"reel": task.reel, "kind": "back"})
            case "retire":
                app.open_reel(task.reel)
                self._enter("retirement", {"reel": task.reel, "reason": task.says})
            case "prove":
                self.ask(lambda: self._copy_of(task), self._prove)
            case "listen":
                self.ask(lambda: self._to_hear(task.transfer), self._hear)
            case "copies":
                app.action_go("copies")
            case "needs":
                await app.show_need(task.stock_item)
            case "orders":
                from tui.screens.orders import OrdersScreen

                app.push_screen(OrdersScreen())
            case "shelf":
                await app.list_verdict("inspect")
            case "form":
                from tui.unfinished import go_where_left

                await go_where_left(app, self._left[task])

    def _enter(self, kind: str, cells: dict[str, str]) -> None:
        """An entry form with what is known filled in."""
        from stock.core.kinds import BY_NAME
        from tui.dialogs.entry import EntryDialog
        from tui.present.entry import Start

        self.app.push_screen(EntryDialog(Start(BY_NAME[kind], cells, ()), self.desk.who), self._entered)

    def _entered(self, entry: int | None) -> None:
        if entry is not None:
            self.notify(f"Entered as number {entry}.", markup=False)

    def _copy_of(self, task: Task) -> CopyAsked:
        from stock.desk.proving import copy_known
        from tui.screens.proving import CopyAsked

        known = copy_known(self.desk, task.transfer, task.copy) if task.copy else None
        return CopyAsked(task.transfer, *(known or ()))

    def _prove(self, asked: CopyAsked) -> None:
        from tui.screens.proving import ProvingScreen

        self.app.push_screen(ProvingScreen(asked))

    def _to_hear(self, transfer: str) -> ToHear:
        from stock.desk.listening import to_hear

        return to_hear(self.desk, transfer)

    def _hear(self, asked: ToHear) -> None:
        from tui.dialogs.listen import ListenDialog

        self.app.push_screen(ListenDialog(asked), self._entered)
