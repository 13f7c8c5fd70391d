"""Work off the event loop: no screen waits for the database, and no failure goes unseen."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar, cast

from textual import on
from textual.message import Message
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from stock.edge.visible import safe

if TYPE_CHECKING:
    from stock.desk.desk import Desk
    from stock.desk.reports import Report
    from stock.desk.shelf import Shelf
    from tui.app import ReelwardApp

T = TypeVar("T")
R = TypeVar("R")

Mark = tuple[int, int]
"""The state of the record, and the day answers are for."""

LOOK_S = 1.0
"""How often a screen looks whether somebody entered something, or another day began."""

ANEW = "being worked out anew \u2026"
UNREADABLE = "the record cannot be read just now"


class Stale(Static):
    """Says, over the end of the top line, that what is shown is old."""

    DEFAULT_CSS = """
    Stale {
        layer: stale; dock: right; width: auto; height: 1; padding: 0 1;
        background: $surface; color: $warning; text-style: bold;
    }
    """


class Done(Message):
    """A piece of work is done: `then` takes its result, on the event loop."""

    def __init__(self, then: Callable[[Any], None], result: Any) -> None:
        super().__init__()
        self.then = then
        self.result = result


class Failed(Message):
    """A piece of work failed. instead: what the asker does about it, or None where the screen just says so."""

    def __init__(self, error: BaseException, instead: Callable[[BaseException], None] | None) -> None:
        super().__init__()
        self.error = error
        self.instead = instead


class WorkingScreen(Screen[R]):
    """A screen that asks the desk in threads: the base of every screen and dialog.

    One that shows an answer reads it with `read`, and after `keep_watch` looks whether it still holds: what anybody
    enters, or another day, has it say at once that it is old, and work it out `anew`.
    """

    # the rows of lists are written in several inks, each of which is readable on this ground and not on a bright one
    DEFAULT_CSS = """
    WorkingScreen { layers: default stale; }
    WorkingScreen OptionList:focus > .option-list--option-highlighted {
        background: $list-cursor;
        color: $foreground;
        text-style: bold;
    }
    WorkingScreen SelectCurrent Static#label, WorkingScreen SelectCurrent .arrow { color: $quiet; }
    WorkingScreen SelectCurrent.-has-value Static#label { color: $foreground; }
    """

    mark: Mark | None = None
    """What the shown answer was read from; None where nothing is shown yet."""

    _looking = False
    _reading = 0
    _latest_reading = 0
    _stale_said = ""

    @property
    def desk(self) -> Desk:
        """The open house."""
        return cast("ReelwardApp", self.app).desk

    @property
    def shelf(self) -> Shelf:
        """The list of its reels."""
        return cast("ReelwardApp", self.app).shelf

    def ask(
        self,
        what: Callable[[], T],
        then: Callable[[T], None],
        *,
        group: str | None = None,
        instead: Callable[[BaseException], None] | None = None,
    ) -> None:
        """Do `what` in a thread and hand its result to `then` on the event loop.

        group: newer work of a group makes older of it count for nothing. instead: takes an expected failure (DeskError,
        ProofError, StoreError); without it the screen says what is wrong and what to do.
        """
        turn = self._turns.get(group or "", 0) + 1 if group else 0
        if group:
            self._turns[group] = turn

        def work() -> None:
            try:
                result = what()
            except Exception as error:
                self.post_message(Failed(error, instead))
                return
            if not group or self._turns.get(group) == turn:
                self.post_message(Done(then, result))

        self.run_worker(work, thread=True, exit_on_error=False)

    # keeping up with the record

    def seen(self) -> Mark:
        """The state of the record and the day now; for a thread."""
        return self.desk.store.data_version(), self.desk.as_of().day

    def read(
        self,
        what: Callable[[], T],
        then: Callable[[T], None],
        *,
        group: str = "read",
        instead: Callable[[BaseException], None] | None = None,
    ) -> None:
        """Ask for what the screen shows, as `ask` does: from now on it is held against the record as it was then."""
        self._latest_reading += 1
        turn = self._reading = self._latest_reading

        def work() -> tuple[Mark, T]:
            mark = self.seen()
            return mark, what()

        def shown(found: tuple[Mark, T]) -> None:
            self.mark, result = found
            if self._reading == turn:
                self._reading = 0
                self.say_stale("")
            then(result)

        def failed(error: BaseException) -> None:
            if self._reading == turn:
                self._reading = 0
            (instead or self.trouble)(error)

        self.ask(work, shown, group=group, instead=failed)

    def keep_watch(self) -> None:
        """From now on look whether the answer shown still holds."""
        self.set_interval(LOOK_S, self.look)

    @property
    def holds_still(self) -> bool:
        """Whether nothing may be worked out anew just now."""
        return False

    def look(self) -> None:
        """See whether anybody changed the record, or the day did; then say so and work the answer out anew."""
        if self._looking or self._reading or self.mark is None or self.holds_still:
            return
        self._looking = True
        self.ask(self.seen, self._looked, instead=self._could_not_look)

    def _looked(self, mark: Mark) -> None:
        self._looking = False
        if self._reading or self.holds_still:
            return
        if mark != self.mark:
            self.say_stale(ANEW)
            self.anew()
        else:
            self.say_stale("")

    def _could_not_look(self, error: BaseException) -> None:
        self._looking = False
        self.say_stale(UNREADABLE)

    def anew(self) -> None:
        """What is shown may be old: a screen with an answer works it out once more."""

    def say_stale(self, words: str) -> None:
        """Say that what is shown is old, and why; nothing for no words."""
        if words != self._stale_said:
            self._stale_said = words
            self.show_stale(words)

    def show_stale(self, words: str) -> None:
        """Show, or take away, the words that what is shown is old; over the end of the top line unless overridden."""
        for each in self.query(Stale):
            each.remove()
        if words:
            self.mount(Stale(words, markup=False))

    @cached_property
    def _turns(self) -> dict[str, int]:
        return {}

    @on(Done)
    def _on_done(self, message: Done) -> None:
        message.stop()
        message.then(message.result)

    @on(Failed)
    def _on_failed(self, message: Failed) -> None:
        message.stop()
        # brings in the database library, for which the first picture does not wait
        from stock.desk.errors import DeskError
        from stock.proof.errors import ProofError
        from stock.store.errors import StoreError

        error = message.error
        if not isinstance(error, DeskError | ProofError | StoreError):
            raise error
        if message.instead is not None:
            message.instead(error)
        else:
            self.trouble(error)

    # what is on the screen, to be copied, saved or printed

    def report_title(self) -> str:
        """What the report is about: `Reel M-0151`, by the screen's name and the number of the reel it is about."""
        words = re.sub(r"(Screen|Dialog)$", "", type(self).__name__)
        words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", words).capitalize()
        return f"{words} {getattr(self, 'number', '')}".strip()

    def report(self) -> Report:
        """All that the screen tells, as text; as it stands."""
        from stock.desk.reports import Report
        from tui.report import lines_of, without_room

        return Report(
            self.report_title(), tuple(without_room([line for child in self.children for line in lines_of(child)]))
        )

    def report_rest(self) -> Callable[[], Sequence[str]] | None:
        """What reads the lines that are not on the screen, in a thread; None where all of it is."""
        return None

    def copy_out(self) -> None:
        """Copy, save or print what is on the screen, with the day it was answered for."""
        from stock.core.moments import date_of
        from tui.dialogs.copy_out import CopyOut

        picture, report, rest, desk = self.app.export_screenshot(), self.report(), self.report_rest(), self.desk

        def read() -> Report:
            lines = (*report.lines, *(rest() if rest is not None else ()))
            return report._replace(lines=(*lines, "", f"As of {date_of(desk.as_of().day)}."))

        self.ask(read, lambda whole: CopyOut.show_on(self, whole, picture))

    def action_take_back(self, entry: int | None = None) -> None:
        """Take back the newest of one's own entries, or one entry; what it would change is seen first."""
        from tui.dialogs.take_back import TakeBack

        if hasattr(self.app, "desk"):
            self.app.push_screen(TakeBack(entry), self._taken_back)

    def _taken_back(self, entry: int | None) -> None:
        if entry is not None:
            self.notify(f"Taken back by entry {entry}.", markup=False)
            self.anew()

    def trouble(self, error: BaseException) -> None:
        """Say what is wrong and what to do, as text that obeys nothing."""
        remedy = getattr(error, "remedy", "")
        self.app.notify(safe(f"{error}. {remedy}".strip()), title="That did not work", severity="error", markup=False)


class WorkingModal(WorkingScreen[R], ModalScreen[R]):
    """A dialog: it takes values and gives back one, or None where it was left without."""

    DEFAULT_CSS = """
    WorkingModal {
        align: center middle;
        background: $background 60%;
    }
    """
