"""The session log: takes logged by single keys as they happen, each in the record at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeVar

from textual.containers import VerticalScroll

from tui.dialogs.ask_first import AskFirst
from tui.dialogs.session_prompts import ask_overdubs, ask_place, ask_takes, ask_title
from tui.dialogs.set_up import SetUp
from tui.dialogs.sheet import Sheet
from tui.drafting import draft_done
from tui.present.sheet import to_do_lines
from tui.screens.machine import MachineScreen

if TYPE_CHECKING:
    from stock.core.session import Concern
    from stock.core.to_do import ToDo
    from stock.desk.session.log import Ended, Marked, Started

T = TypeVar("T")

_NAMED = re.compile(r"(?P<title>.*[^ /]) */ *(?P<take>[^/ ]{1,12})")


class SessionScreen(MachineScreen):
    """The reel on the machine, and the keys that log what is done with it."""

    def _do(self, what: Callable[[], T], then: Callable[[T], None], instead: Callable[[BaseException], None]) -> None:
        """Enter something, one thing at a time, and read the reel anew."""
        if self.busy:
            return
        self.busy = True

        def done(result: T) -> None:
            self.busy = False
            then(result)
            if self.loaded is not None:
                self.load(self.loaded.on.reel)

        def failed(error: BaseException) -> None:
            self.busy = False
            instead(error)

        self.ask(what, done, instead=failed)

    def action_roll(self) -> None:
        """Start a take, or end the one that runs."""
        if self.loaded is None:
            return
        if self.loaded.running is None:
            self._start()
        else:
            self._stop()

    def _start(self, agreed: Sequence[Concern] = ()) -> None:
        from stock.desk.session import log
        from stock.edge.clock import spell_length

        loaded, desk = self.loaded, self.desk
        assert loaded is not None
        at = "" if self.typed_place is None else spell_length(self.typed_place)
        title, take = _named(self.title_typed)
        planned_us, reel, wanted = self.planned[0] if self.planned else None, loaded.on.reel, dict(self.set_up)

        def start() -> Started:
            return log.start(desk, reel, at=at, title=title, take=take, planned_us=planned_us, yes=agreed, **wanted)

        self._do(start, self._started, self._not_started)

    def _started(self, started: Started) -> None:
        self.typed_place, self.title_typed = None, ""
        said = "; ".join(concern.says for concern in started.concerns)
        self.say(f"{started.running.label} runs{f': {said}' if said else '.'}")

    def _not_started(self, error: BaseException) -> None:
        from stock.desk.session.errors import AsksFirst

        if not isinstance(error, AsksFirst) or self.loaded is None:
            self.trouble(error)
            return
        asked = error.concerns
        self.app.push_screen(AskFirst(self.loaded.on.reel, asked), lambda yes: self._start(asked) if yes else None)

    def _stop(self, *, at: str = "", false_start: bool = False, then_next: bool = False) -> None:
        from stock.desk.session import log

        loaded, desk = self.loaded, self.desk
        assert loaded is not None
        reel = loaded.on.reel

        def ended(found: Ended) -> None:
            self._ended(found, whole=not false_start)
            if then_next:
                self._start()

        self._do(lambda: log.stop(desk, reel, at=at, false_start=false_start), ended, self.trouble)

    def _ended(self, ended: Ended, *, whole: bool) -> None:
        if whole and self.planned:
            self.planned.pop(0)
        assert self.loaded is not None
        where = f"{self.loaded.on.clock_at(ended.lo)} to {self.loaded.on.clock_at(ended.hi)}"
        self.say("; ".join([f"{ended.label} ended, {where}", *ended.says]))

    def action_false_start(self) -> None:
        if self._runs():
            self._stop(false_start=True)

    def action_next_take(self) -> None:
        """End the take and start the next at the same place; where none runs, start one."""
        loaded = self.loaded
        if loaded is not None and loaded.running is not None:
            self._stop(then_next=True)
        else:
            self.action_roll()

    def _runs(self) -> bool:
        if self.loaded is not None and self.loaded.running is not None:
            return True
        self.say("No take runs.")
        return False

    def action_mark(self) -> None:
        """Mark the place the tape is at."""
        from stock.desk.session import log
        from stock.edge.clock import spell_length

        loaded, desk = self.loaded, self.desk
        if loaded is None:
            return
        reel = loaded.on.reel
        at = "" if self.typed_place is None else spell_length(self.typed_place)
        self._do(lambda: log.mark(desk, reel, at=at), self._marked, self.trouble)

    def _marked(self, made: Marked) -> None:
        self.say(f"Marked {made.words}.")

    def action_name(self) -> None:
        """Give the take that runs or ended last another title; before any, say what the next is called."""
        loaded = self.loaded
        if loaded is None:
            return
        last = loaded.takes[-1] if loaded.takes and loaded.takes[-1].today else None
        named = loaded.running.label if loaded.running is not None else last.label if last is not None else ""
        self.app.push_screen(ask_title(named), lambda title: self._give_name(title, bool(named)))

    def _give_name(self, typed: str | None, has_take: bool) -> None:
        from stock.desk.session import log

        if not typed or self.loaded is None:
            return
        if not has_take:
            self.title_typed = typed
            self.tick()
            return
        title, take = _named(typed)
        desk, reel = self.desk, self.loaded.on.reel
        self._do(lambda: log.name(desk, reel, title, take), lambda named: self.say(f"It is {named[1]} now."),
                 self.trouble)  # fmt: skip

    def action_counter(self) -> None:
        """Type where the tape stands; while a take runs, where it ended."""
        loaded = self.loaded
        if loaded is None:
            return
        self.app.push_screen(ask_place(loaded.running is not None), self._counted)

    def _counted(self, typed: str | None) -> None:
        loaded, desk = self.loaded, self.desk
        if not typed or loaded is None:
            return
        if loaded.running is not None:
            self._stop(at=typed)
            return
        from stock.desk.session.loaded import place_typed

        reel, speed = loaded.on.reel, loaded.on.speed.nominal
        self.ask(lambda: place_typed(desk, reel, typed, speed), self._stands)

    def _stands(self, place: int) -> None:
        self.typed_place = place
        self.tick()

    # the session

    def action_planned(self) -> None:
        """Type the takes to come."""
        from stock.desk.picking import takes_of

        def plan(typed: str | None) -> None:
            if typed is not None:
                self.planned = list(takes_of([typed])) if typed else []
                self.tick()

        self.app.push_screen(ask_takes(self.planned), plan)

    def action_set_up(self) -> None:
        """Say what holds for the takes to come."""
        loaded = self.loaded
        if loaded is None:
            return
        from stock.core.words import speed_words

        carried = loaded.carried
        now = {
            "project": carried.project,
            "speed": speed_words(loaded.on.speed),
            "tracks": carried.tracks,
            "machine": carried.machine,
        }
        self.app.push_screen(SetUp({**now, **{name: text for name, text in self.set_up.items() if text}}), self._set)

    def _set(self, fields: dict[str, str] | None) -> None:
        if fields is not None and self.loaded is not None:
            self.set_up = {name: text for name, text in fields.items() if text}
            self.load(self.loaded.on.reel)

    def action_overdubs(self) -> None:
        """Enter a day of overdubs in one line."""
        if self.loaded is not None:
            self.app.push_screen(ask_overdubs(self.loaded.on.reel), self._overdubbed)

    def _overdubbed(self, line: str | None) -> None:
        from stock.desk.session import log

        if line is None or self.loaded is None:
            return
        desk, reel, wanted = self.desk, self.loaded.on.reel, self.set_up
        speed, machine = wanted.get("speed", ""), wanted.get("machine", "")

        def entered(found: tuple[int, object, list[str]]) -> None:
            over = f"; it made new: {', '.join(found[2])}" if found[2] else ""
            draft_done(self, "overdubs", reel)
            self.say(f"Overdubs entered as number {found[0]}{over}.")

        self._do(lambda: log.overdubs(desk, reel, line, speed=speed, machine=machine), entered, self.trouble)

    def action_played(self) -> None:
        """The newest take was played back once more."""
        from stock.desk.session import log

        if self.loaded is not None:
            desk, reel = self.desk, self.loaded.on.reel
            self._do(lambda: log.played(desk, reel), lambda found: self.say(f"{found[1]} was played."), self.trouble)

    def action_to_do(self) -> None:
        """Show what is left to do with the reels used today."""
        from stock.desk.session.ending import to_do_list

        desk, title = self.desk, "To do with the reels used today"

        def show(found: list[ToDo]) -> None:
            self.app.push_screen(Sheet(title, to_do_lines(found), lambda: (title, to_do_lines(to_do_list(desk)))))

        self.ask(lambda: to_do_list(desk), show)

    def action_scroll_takes(self, by: int) -> None:
        self.query_one("#takes", VerticalScroll).scroll_relative(y=by, animate=False)


def _named(typed: str) -> tuple[str, str]:
    """A title and a take's number from `Title` or `Title/3`."""
    found = _NAMED.fullmatch(typed)
    return (found["title"], found["take"]) if found is not None else (typed, "")
