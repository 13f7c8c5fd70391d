"""Forms whose text is kept as it is typed, so that neither a key nor a crash loses it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar
from zoneinfo import ZoneInfo

from textual import on
from textual.await_complete import AwaitComplete
from textual.content import Content
from textual.widgets import Select, Static

from stock.edge.visible import safe
from tui.keys import bindings
from tui.present.drafts import taken_up_words, when_words
from tui.widgets.typed import Typed
from tui.work import WorkingModal, WorkingScreen

if TYPE_CHECKING:
    from tui.drafts import Draft, Drafts

R = TypeVar("R")
T = TypeVar("T")

CHANGED = "somebody entered something since this was opened"

_WRITE_S = 0.3
"""What is typed is on disk this much later, with the time the disk takes."""


def drafts_of(screen: WorkingScreen[Any]) -> Drafts:
    """The drafts of who is acting, at the open house."""
    from tui.drafts import Drafts

    app, desk = screen.app, screen.desk
    if not hasattr(app, "drafts"):
        base = getattr(app, "drafts_in", None)
        app.drafts = Drafts.of(desk.store.path, desk.who, base)  # type: ignore[attr-defined]
    drafts: Drafts = app.drafts  # type: ignore[attr-defined]
    return drafts


def draft_done(screen: WorkingScreen[Any], form: str, about: str) -> None:
    """What a form gave is in the record: its draft is done with."""
    drafts = drafts_of(screen)
    drafts.forget(form, about)
    screen.run_worker(lambda: drafts.write(form, about), thread=True, exit_on_error=False)


class DraftLine(Static):
    """Says that a form was left unfinished; a click throws that away."""

    DEFAULT_CSS = """
    DraftLine { height: auto; color: $warning; display: none; }
    DraftLine.-shown { display: block; }
    """

    def __init__(self) -> None:
        super().__init__("", id="draft")

    async def on_click(self) -> None:
        await self.run_action("screen.forget")


class DraftModal(WorkingModal[R]):
    """A dialog with a draft. Subclasses set `form` and `about`, and have a `#box`.

    Left without a result it keeps what was typed; with one, the draft is gone. What the form filled in by itself and
    nobody touched is no part of a draft.
    """

    BINDINGS: ClassVar = bindings("draft")
    form = ""
    about = ""
    enters_itself = True
    """Whether a result is entered by then. Where the screen below enters it, that tells when with `draft_done`."""

    def __init__(self) -> None:
        super().__init__()
        self._first: dict[str, str] = {}
        self._kept: Mapping[str, str] | None = None
        """What is on disk, or on its way there; None until it was looked whether something is."""
        self._latest: Mapping[str, str] = {}
        self._waiting = False

    # what is typed

    def fields(self) -> dict[str, str]:
        """What stands in the fields now, by name."""
        return {typed.id: typed.value for typed in self.query(Typed) if typed.id}

    def put(self, cells: Mapping[str, str]) -> None:
        """Put texts into fields."""
        for name, text in cells.items():
            for typed in self.query(f"#{name}").results(Typed):
                typed.put(text)

    def fitted(self) -> None:
        """The line about a draft came or went: a form that counts its lines does so anew."""

    @property
    def typed(self) -> dict[str, str]:
        """What somebody typed or chose: what the form did not fill in by itself."""
        return {name: text for name, text in self.fields().items() if text != self._first.get(name, "")}

    # keeping it

    @property
    def _drafts(self) -> Drafts:
        return drafts_of(self)

    def on_mount(self) -> None:
        if self.form:
            self._first = self.fields()
            desk, drafts, form, about = self.desk, self._drafts, self.form, self.about

            def find() -> tuple[Draft | None, ZoneInfo, int]:
                return drafts.find(form, about), desk.context().calendar.zone, desk.now_us()

            self.read(find, self._take_up, group="draft")
            self.keep_watch()

    def anew(self) -> None:
        """What is typed stays; that the record is another by now is said."""
        self.mark = None
        self.say_stale(CHANGED)

    def _take_up(self, found: tuple[Draft | None, ZoneInfo, int]) -> None:
        """Put in what was left; what was typed meanwhile stays."""
        draft, zone, now_us = found
        self._kept = {}
        if draft is not None and draft.cells:
            self._kept = draft.cells
            typed = self.typed
            self.put({name: text for name, text in draft.cells.items() if name not in typed})
            self._tell(taken_up_words(when_words(draft.at_us, now_us, zone), sent=draft.sent))
        self.was_typed()

    def _tell(self, words: str) -> None:
        line = self.query_one(DraftLine)
        line.update(Content(safe(words)))
        line.set_class(bool(words), "-shown")
        self.fitted()

    @on(Typed.Changed)
    @on(Select.Changed)
    def was_typed(self) -> None:
        """Write what was typed soon; what is typed till then comes along."""
        if not self.form or self._kept is None:
            return
        self._latest = self.typed
        if not self._waiting and self._latest != self._kept:
            self._waiting = True
            self.set_timer(_WRITE_S, self._write)

    def _write(self) -> None:
        self._waiting = False
        self._hold(self._latest)

    def _hold(self, typed: Mapping[str, str], *, sent: bool = False, now: bool = False) -> None:
        """Hold what was typed, and bring its file to it: off the event loop, unless now."""
        from tui.drafts import Draft

        if not self.form or (self._kept == typed and not sent):
            return
        self._kept = self._latest = typed
        if typed:
            self._drafts.hold(Draft(self.form, self.about, typed, self.desk.now_us(), sent))
        else:
            self._drafts.forget(self.form, self.about)
        if now:
            self._writer()()
        elif not sent:
            self.app.run_worker(self._writer(), thread=True, exit_on_error=False)

    def _writer(self) -> Callable[[], None]:
        drafts, form, about = self._drafts, self.form, self.about

        def write() -> None:
            # a folder that takes no file costs the draft, never the form
            with suppress(OSError):
                drafts.write(form, about)

        return write

    def enter(self, what: Callable[[], T], then: Callable[[T], None], instead: Callable[[BaseException], None]) -> None:
        """Enter what is typed, as `ask` does; should the program end on the way, the draft says so."""
        self._hold(self.typed, sent=True)
        write = self._writer()

        def work() -> T:
            write()
            return what()

        def refused(error: BaseException) -> None:
            self._kept = {}
            self._hold(self.typed)
            instead(error)

        self.ask(work, then, instead=refused)

    def action_forget(self) -> None:
        """Throw away what was left unfinished, and begin anew."""
        if self.form:
            self.put({**dict.fromkeys(self.fields(), ""), **self._first})
            self._tell("")
            self._hold({})

    def dismiss(self, result: R | None = None) -> AwaitComplete:
        """Leave: without a result what was typed is kept, with one it is done with."""
        if self.form and self._kept is not None:
            typed = self.typed if result is None else {}
            if typed:
                self.app.notify("Kept as it was typed, and taken up again with the same form.", markup=False)
            if result is not None and not self.enters_itself:
                self._hold(self.typed, sent=True)
                self.app.run_worker(self._writer(), thread=True, exit_on_error=False)
            else:
                self._hold(typed)
        return super().dismiss(result)

    def on_unmount(self) -> None:
        """The program ends with the form open: what was typed since the last writing comes along."""
        if self._waiting and self._latest != self._kept:
            self._hold(self._latest, now=True)
