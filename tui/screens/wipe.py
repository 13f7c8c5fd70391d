"""The guarded wipe of one reel, in steps that follow the hand: permit, erase, listen."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Select, Static

from stock.desk import wiping
from stock.desk.desk import Receipt
from stock.desk.errors import CannotEnter
from stock.desk.guard import is_label_of
from stock.desk.proving import Proved
from stock.desk.rereading import media_of, read_again
from stock.desk.wipe_errors import LabelDiffers
from stock.edge.visible import safe
from tui.explaining import open_sheet, why_of_reel
from tui.keys import bindings, key_binding
from tui.present.heading import verdict_line
from tui.present.wipe import caution_lines, do_words, steps_line, task_words
from tui.reading import ReadingScreen
from tui.widgets.act import Act
from tui.widgets.form_row import FormRow
from tui.widgets.heading import BackLink, Lines
from tui.widgets.lines import KeyLine
from tui.widgets.reasons import Reasons
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed
from tui.work import UNREADABLE

_PLACES = ("heard_1", "heard_2", "heard_3")
_OF_MACHINE = ("machine", "start", "end", "speed")


class WipeScreen(ReadingScreen[None]):
    """One reel's wipe. number: the number on it.

    Nothing here is entered by Enter alone: each step asks for something typed off the reel itself, and goes on by F2 or
    its button.
    """

    AUTO_FOCUS = ""
    BINDINGS: ClassVar = [*bindings("wipe"), key_binding("back")]
    CSS = """
    WipeScreen #top, WipeScreen #steps { height: 1; padding: 0 1; }
    WipeScreen #verdict { width: 1fr; }
    WipeScreen #stale { width: 0; }
    WipeScreen #below { height: auto; max-height: 50%; margin-top: 1; padding: 0 0 0 1; scrollbar-size-vertical: 1; }
    WipeScreen #task { height: auto; padding: 0 1; margin-top: 1; }
    WipeScreen .form { height: auto; padding: 0 1; display: none; }
    WipeScreen.-permit #permit, WipeScreen.-erase #erase, WipeScreen.-listen #listen { display: block; }
    WipeScreen.-refused .form, WipeScreen.-refused #caution, WipeScreen.-refused #do { display: none; }
    WipeScreen #permit .label { width: 43; }
    WipeScreen #erase .label { width: 26; }
    WipeScreen #listen .label { width: 26; }
    WipeScreen .method { height: 1; }
    WipeScreen .method Static { width: 26; }
    WipeScreen .method Select { width: 30; }
    WipeScreen SelectCurrent { background: $panel; }
    WipeScreen .of-machine { display: none; }
    WipeScreen.-machine .of-machine { display: block; }
    WipeScreen #row-second { display: none; }
    WipeScreen.-second #row-second { display: block; }
    WipeScreen #caution { height: auto; padding: 0 1; }
    WipeScreen #error { height: auto; padding: 0 1; color: $error; display: none; }
    WipeScreen #error.-shown { display: block; }
    WipeScreen #foot { height: 1; padding: 0 1; margin-top: 1; }
    WipeScreen #caution, WipeScreen #error { margin-top: 1; }
    WipeScreen.-low #foot, WipeScreen.-low #task, WipeScreen.-low #caution, WipeScreen.-low #error { margin-top: 0; }
    WipeScreen.-low #below { margin-top: 0; height: 1fr; min-height: 3; max-height: 100%; }
    WipeScreen Button { margin-right: 2; }
    """

    def __init__(self, number: str) -> None:
        super().__init__()
        self.number = number
        self.standing: wiping.Standing | None = None
        self._busy = self._again = False

    def compose(self) -> ComposeResult:
        with Horizontal(id="top"):
            yield BackLink()
            yield Lines(id="verdict")
            yield Lines(id="stale")
        yield Lines(id="steps")
        with VerticalScroll(id="below", can_focus=False):
            yield Reasons(id="reasons")
        yield Static("", id="task")
        with Vertical(id="permit", classes="form"):
            yield FormRow("label", "the number on the reel's own label")
            for name in _PLACES:
                yield FormRow(name, "", example="title, or no title")
            yield FormRow("second", "the second person", example="another name than yours")
        with Vertical(id="erase", classes="form"):
            with Horizontal(classes="method"):
                yield Static("how it was erased")
                methods = [("in bulk, the whole reel", "bulk"), ("on a machine", "machine")]
                yield Select(methods, prompt="choose", compact=True, id="method")
            for name, label, about in (
                ("machine", "machine", "its heads reach every track"),
                ("start", "from", "empty: the head"),
                ("end", "to", "empty: the tail"),
                ("speed", "speed", "15 ips, where times are given"),
            ):
                row = FormRow(name, label, example=about)
                row.add_class("of-machine")
                yield row
            yield FormRow("erased", "number on the erased reel")
            yield FormRow("note", "note", example="anything worth knowing")
        with Vertical(id="listen", classes="form"):
            for name in _PLACES:
                yield Tick("", id=f"tick_{name}")
            yield FormRow("left", "what is heard, if anything")
        yield Static("", id="caution")
        yield Static("", id="error")
        with Horizontal(id="foot"):
            yield Act("F2", id="do", variant="primary", compact=True)
            yield Button("Esc Leave it", id="leave", compact=True)
        yield KeyLine("wipe", back=True)

    def on_mount(self) -> None:
        self.work_out()
        self.keep_watch()

    def on_resize(self) -> None:
        self.set_class(self.size.height < 30, "-low")

    # reading the record

    def work_out(self) -> None:
        """Take the answer anew; what is typed stays."""
        self.read(lambda: wiping.standing(self.desk, self.number), self._show)

    def anew(self) -> None:
        self.work_out()

    @property
    def holds_still(self) -> bool:
        return self._busy

    def show_stale(self, words: str) -> None:
        self.query_one("#stale", Lines).say(words, "no" if words == UNREADABLE else "doubt")

    def _show(self, standing: wiping.Standing) -> None:
        before = self.standing
        if self._again and standing.step == "listen":
            standing = standing._replace(step="permit")
        self.standing = standing
        answer = standing.answer
        speed = answer.view.house.rules.number("usual_speed")
        self.query_one("#verdict", Lines).show([verdict_line(answer, speed)])
        self.query_one("#steps", Lines).show([steps_line(standing.step)])
        self.query_one(Reasons).show(answer, speed)
        self.query_one("#task", Static).update(Content(task_words(standing)))
        for name, place in zip(_PLACES, standing.places, strict=True):
            self.query_one(f"#row-{name}", FormRow).tell(f"at {place.words}")
            self.query_one(f"#tick_{name}", Tick).tell(f"nothing is heard at {place.words}")
        for step in ("permit", "erase", "listen"):
            self.set_class(standing.step == step, f"-{step}")
        self.set_class(standing.step != "listen" and answer.erasable != "yes", "-refused")
        self.set_class(standing.second_needed, "-second")
        self._caution()
        self.query_one(Act).name_it(do_words(standing))
        if before is None or (before.step, before.seen.day) != (standing.step, standing.seen.day):
            self._forget_typed()
            self._put_focus()
        elif self.focused is None:
            self._put_focus()

    def _caution(self) -> None:
        assert self.standing is not None
        method = self.query_one("#method", Select).value
        parts: list[Content] = []
        for title, says in caution_lines(self.standing.step, str(method) if method is not Select.NULL else ""):
            parts.append(Content.assemble((f"{title}. ", "bold $warning"), says))
        self.query_one("#caution", Static).update(Content("\n").join(parts))

    def _forget_typed(self) -> None:
        """What was read off the reel for one step, or on one day, is no word for another."""
        for typed in self.query(Typed):
            typed.value = ""
        for tick in self.query(Tick):
            tick.value = False
        self.query_one("#method", Select).clear()

    def _put_focus(self) -> None:
        """The cursor stands in the first field of the step, or on the reasons where there is nothing to fill in."""
        assert self.standing is not None
        if self.has_class("-refused"):
            self.query_one(Reasons).focus()
        else:
            first = {"permit": "#label", "erase": "#method", "listen": "#tick_heard_1"}
            self.query_one(first[self.standing.step]).focus()

    # the steps

    def _text(self, name: str) -> str:
        return self.query_one(f"#{name}", Typed).value.strip()

    @on(Button.Pressed, "#do")
    def action_step_on(self) -> None:
        """Go on with the step that is next; twice at once is once."""
        standing = self.standing
        if standing is None or self._busy or self.has_class("-refused"):
            return
        {"permit": self._permit, "erase": self._erase, "listen": self._listen}[standing.step](standing)

    def _permit(self, standing: wiping.Standing) -> None:
        if not self._is_number("label"):
            return
        if standing.unread:
            self._begin()
            self.may_read()
            self.ask(lambda: self._read_copies(standing.unread), self._copies_read, instead=self._refused)
            return
        desk, number, label, second = self.desk, self.number, self._text("label"), self._text("second") or None
        heard = [self._text(name) for name in _PLACES]
        self._begin()
        self.ask(
            lambda: wiping.permit(desk, number, label=label, heard=heard, second=second, seen=standing.seen),
            self._permitted,
            instead=self._refused,
        )

    def _read_copies(self, transfers: tuple[str, ...]) -> tuple[list[Proved], list[str]]:
        proved = read_again(self.desk, transfers, told=self.told, stop=self.stopped)
        there = {each.transfer for each in proved}
        away = [
            f"{transfer}: mount one of {', '.join(media_of(self.desk, transfer)) or 'its media'}"
            for transfer in transfers
            if transfer not in there
        ]
        return proved, away

    def _copies_read(self, read: tuple[list[Proved], list[str]]) -> None:
        proved, away = read
        self._end()
        failed = [each.transfer for each in proved if not each.report.passed and not each.report.stopped]
        said = [f"no copy can be reached of {each}" for each in away]
        said += [f"the copy read of {transfer} FAILED: it is recorded" for transfer in failed]
        if any(each.report.stopped for each in proved):
            said.append("stopped; nothing is recorded of what was read, and it goes on from there")
        self._complain("; ".join(said))
        if not said:
            self.notify("Read through and good. Ask for the permit now.", markup=False)
        self.work_out()

    def _permitted(self, given: wiping.Permit) -> None:
        self._end()
        self._again = False
        self.work_out()

    def _erase(self, standing: wiping.Standing) -> None:
        method = self.query_one("#method", Select).value
        if method is Select.NULL:
            self._complain("say how it was erased: in bulk, or on a machine")
            self.query_one("#method").focus()
            return
        if not self._is_number("erased"):
            return
        cells = {name: self._text(name) if method == "machine" else "" for name in _OF_MACHINE}
        desk, number, note = self.desk, self.number, self._text("note")
        self._begin()
        self.ask(
            lambda: wiping.done(desk, number, method=str(method), note=note, **cells),
            self._erased,
            instead=self._refused,
        )

    def _erased(self, receipt: Receipt) -> None:
        self._end()
        entry = receipt.entries[0]
        self.notify(f"Wiped: entry {entry}. `reelward wipe certificate {entry}` prints its certificate.", markup=False)
        self.work_out()

    def _listen(self, standing: wiping.Standing) -> None:
        left = self._text("left")
        silent = [self.query_one(f"#tick_{name}", Tick).value for name in _PLACES]
        if not left and not all(silent):
            self._complain("tick each place where nothing is heard, or say what is heard")
            return
        if left and all(silent):
            self._complain("nothing is heard at any of the places, and something is: which of the two?")
            return
        cells = {"reel": self.number, "kind": "listened", "severity": "1" if left else "0", "note": left}
        desk = self.desk
        self._begin()
        self.ask(lambda: desk.add("finding", cells), lambda _: self._heard(left), instead=self._refused)

    def _heard(self, left: str) -> None:
        self._end()
        if left:
            self._again = True
            self.notify("Entered. Ask for another permit and erase it again.", markup=False)
            self.work_out()
        else:
            self.app.notify(f"{safe(self.number)} is erased, and heard to be silent.", markup=False)
            self.dismiss(None)

    def _is_number(self, name: str) -> bool:
        """Whether a field holds the reel's own number; else it is said, and the cursor goes there."""
        typed = self._text(name)
        if is_label_of(typed, self.number):
            return True
        error = LabelDiffers(label=typed or "nothing", reel=self.number)
        self._complain(f"{error}. {error.remedy}")
        self.query_one(f"#{name}").focus()
        return False

    def _begin(self) -> None:
        self._busy = True
        self._complain("")

    def _end(self) -> None:
        self._busy = False
        self.say_stale("")

    def _refused(self, error: BaseException) -> None:
        """Say what refuses, and take the answer anew."""
        self._end()
        if isinstance(error, CannotEnter):
            self._complain("; ".join(f"{problem.column}: {problem.says}" for problem in error.problems))
        else:
            self._complain(f"{error}. {getattr(error, 'remedy', '')}".strip())
        self.work_out()

    def _complain(self, words: str) -> None:
        error = self.query_one("#error", Static)
        error.update(Content(safe(words)))
        error.set_class(bool(words), "-shown")

    def show_progress(self, words: str) -> None:
        self._complain("")
        self.query_one("#task", Static).update(Content(f"{words}  Esc stops it."))

    def action_why(self) -> None:
        """Explain every reason in plain words, the one under the cursor first, and what to do."""
        open_sheet(self, why_of_reel(self.desk, self.number, here=self.query_one(Reasons).reason))

    # moving about

    @on(Select.Changed, "#method")
    def _method(self, message: Select.Changed) -> None:
        self.set_class(message.value == "machine", "-machine")
        if self.standing is not None:
            self._caution()

    @on(Typed.Submitted)
    def _next(self) -> None:
        """Enter in a field goes to the next one, and never does the step."""
        self.focus_next(Typed)

    def take_scan(self, number: str) -> bool:
        """A label scanned is what the step asks for; what it says is held against the record like what is typed."""
        asked = "label" if self.has_class("-permit") else "erased" if self.has_class("-erase") else None
        if asked is None:
            return False
        field = self.query_one(f"#{asked}", Typed)
        field.value = number
        field.focus()
        return True

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        """Stop a reading that is under way; else leave."""
        if self._busy and not self.stopped():
            self.stop_reading()
        else:
            self.dismiss(None)
