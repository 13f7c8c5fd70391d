"""Another value for a house rule: what it would change is seen before it is entered, and a looser one asked twice."""

from __future__ import annotations

from threading import Event
from typing import TYPE_CHECKING, ClassVar, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Button, Static

from stock.core.rule_groups import unit_of, what_of
from stock.desk.errors import CannotEnter, DeskError
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.present.house_rules import effect_lines, origin_line, progress_words, rule_name, second_question
from tui.present.line import Piece
from tui.widgets.heading import Lines
from tui.widgets.inked import inked
from tui.widgets.typed import Typed

if TYPE_CHECKING:
    from stock.desk.desk import Receipt
    from stock.desk.house_rules import RuleLine, Trial
    from tui.app import ReelwardApp

_TO_SEE = "Enter shows which verdicts it would change, before anything is entered."


class Judged(Message):
    """So many reels are judged, of so many. of: the work that says so."""

    def __init__(self, of: Event, done: int, total: int) -> None:
        super().__init__()
        self.of = of
        self.done = done
        self.total = total


class RuleDialog(DraftModal[int]):
    """Gives the entry of the rule, or None where none was entered.

    F2 enters only what was seen: for a value not tried yet it works out what that changes, and for a trial overtaken by
    somebody's entry does so anew.
    """

    form = "rule"
    BINDINGS: ClassVar = [*bindings("rule"), key_binding("back")]
    CSS = """
    RuleDialog #box { width: 94%; max-width: 110; height: auto; max-height: 100%; padding: 1 2; background: $surface;
        overflow-y: auto; }
    RuleDialog #what { height: auto; margin-bottom: 1; }
    RuleDialog .row { height: 1; }
    RuleDialog .row Static { width: 10; color: $quiet; }
    RuleDialog .row .unit { width: auto; margin-left: 2; }
    RuleDialog .row #in_force { width: 1fr; color: $foreground; text-wrap: nowrap; text-overflow: ellipsis; }
    RuleDialog #value { width: 24; }
    RuleDialog #by { width: 24; }
    RuleDialog #note { width: 1fr; }
    RuleDialog .error { color: $error; height: auto; padding-left: 10; display: none; }
    RuleDialog .error.-shown { display: block; }
    RuleDialog VerticalScroll { height: auto; min-height: 3; max-height: 25vh; margin: 1 0; }
    RuleDialog VerticalScroll { scrollbar-size-vertical: 1; }
    RuleDialog #buttons { height: 1; margin-top: 1; }
    RuleDialog Button { margin-right: 2; }
    """

    def __init__(self, line: RuleLine) -> None:
        super().__init__()
        self._line = line
        self.about = line.rule.name
        self._trial: Trial | None = None
        self._tried = ""
        self._working: Event | None = None
        self._busy = False

    def compose(self) -> ComposeResult:
        rule = self._line.rule
        with Vertical(id="box"):
            yield Static(Content.assemble((rule_name(rule).capitalize(), "bold"), (f"   {what_of(rule)}", "$quiet")))
            yield Static(Content(self._line.why), id="what")
            yield DraftLine()
            with Horizontal(classes="row"):
                yield Static("in force")
                yield Static(id="in_force")
            with Horizontal(classes="row"):
                yield Static("new value")
                yield Typed(self._line.value, id="value")
                yield Static(Content(unit_of(rule)), classes="unit")
            yield Static("", id="value_error", classes="error")
            with VerticalScroll(can_focus=False):
                yield Lines(id="effect")
            with Horizontal(classes="row"):
                yield Static("who")
                yield Typed(placeholder=safe(self.desk.who), id="by")
            with Horizontal(classes="row"):
                yield Static("why")
                yield Typed(placeholder="in a few words, for those who come after", id="note")
            yield Static("", id="error", classes="error")
            with Horizontal(id="buttons"):
                yield Button("F2 Set it", id="set", variant="primary", compact=True)
                yield Button("F3 See", id="see", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#effect", Lines).one_line_each = False
        self.query_one("#in_force", Static).update(inked(origin_line(self._line)))
        self._say(_TO_SEE)
        self.query_one("#value", Typed).focus()

    def on_resize(self) -> None:
        if self._trial is not None:
            self._show(self._trial)

    # seeing what it would change

    @property
    def _value(self) -> str:
        return self.query_one("#value", Typed).value.strip()

    @on(Typed.Changed, "#value")
    def _retyped(self) -> None:
        """What was seen was of another value."""
        if self._value != self._tried and (self._trial is not None or self._working is not None):
            self._forget(_TO_SEE)

    def _forget(self, words: str) -> None:
        if self._working is not None:
            self._working.set()
        self._working = self._trial = None
        self._tried = ""
        self._say(words)

    def _say(self, words: str, ink: str = "quiet") -> None:
        self.query_one("#effect", Lines).show([(Piece(words, ink),)])

    @on(Typed.Submitted, "#value")
    @on(Button.Pressed, "#see")
    def action_see(self) -> None:
        """Work out which verdicts the value would change; nothing is entered."""
        from stock.desk.house_rules import try_rules

        if self._busy:
            return
        value = self._value
        self._forget(progress_words(0, 0))
        self._complain("value_error", "")
        self._complain("error", "")
        self._tried = value
        stop = self._working = Event()
        desk, shelf, name = self.desk, self.shelf, self._line.rule.name
        leaving = cast("ReelwardApp", self.app).leaving

        def work() -> Trial | None:
            return try_rules(
                desk,
                {name: value},
                shelf=shelf,
                told=lambda done, total: self._told(stop, done, total),
                stop=lambda: stop.is_set() or leaving.is_set(),
            )

        self.read(work, lambda trial: self._seen(stop, trial), group="try", instead=lambda e: self._not_read(stop, e))

    def _told(self, of: Event, done: int, total: int) -> None:
        if not of.is_set():
            self.post_message(Judged(of, done, total))

    @on(Judged)
    def _judged(self, message: Judged) -> None:
        message.stop()
        if message.of is self._working:
            self._say(progress_words(message.done, message.total), "mark")

    def _seen(self, of: Event, trial: Trial | None) -> None:
        if of is not self._working or trial is None:
            return
        self._working = None
        if trial.tried[0].same:
            self._forget("That is in force already.")
            return
        self._trial = trial
        self._show(trial)
        if self.query_one("#value", Typed).has_focus:
            self.query_one("#note", Typed).focus()

    def _show(self, trial: Trial) -> None:
        self.query_one("#effect", Lines).show(effect_lines(trial, self.size.width))
        self.query_one(VerticalScroll).scroll_home(animate=False)

    def _not_read(self, of: Event, error: BaseException) -> None:
        if of is not self._working:
            return
        self._forget(_TO_SEE)
        if isinstance(error, CannotEnter):
            self._complain("value_error", "; ".join(problem.says for problem in error.problems))
            self.query_one("#value", Typed).focus()
        else:
            self.trouble(error)

    def _complain(self, part: str, words: str) -> None:
        said = self.query_one(f"#{part}", Static)
        said.update(Content(safe(words)))
        said.set_class(bool(words), "-shown")

    # the record goes on

    @property
    def holds_still(self) -> bool:
        return self._busy or self._working is not None

    def anew(self) -> None:
        """What was seen may not be so any more: it is worked out once more, and what is in force read again."""
        from stock.desk.house_rules import rule_lines

        desk, name = self.desk, self._line.rule.name
        again = self._trial is not None

        def now(lines: list[RuleLine]) -> None:
            (self._line,) = (line for line in lines if line.rule.name == name)
            self.query_one("#in_force", Static).update(inked(origin_line(self._line)))
            if again and self._working is None:
                self.action_see()
                self._complain("error", "Somebody entered something since: this is what it would change now.")

        self._forget(_TO_SEE)
        self.read(lambda: rule_lines(desk)[1], now, group="line")

    # entering

    @on(Typed.Submitted, "#by")
    @on(Typed.Submitted, "#note")
    def _next(self) -> None:
        """Enter goes on, and enters nothing."""
        self.focus_next()

    @on(Button.Pressed, "#set")
    def action_set_it(self) -> None:
        """Enter the rule; a value not seen yet is tried first, a looser one asked about once more."""
        from tui.dialogs.confirm import Confirm

        if self._busy or self._working is not None:
            return
        trial = self._trial
        if trial is None:
            self.action_see()
            return
        if not self.query_one("#note", Typed).value.strip():
            self._complain("error", "say why: whoever meets this limit later will want to know")
            self.query_one("#note", Typed).focus()
            return
        if trial.loosens:
            asked = Confirm(second_question(trial), "Set it all the same")
            self.app.push_screen(asked, lambda yes: self._enter(trial) if yes else None)
        else:
            self._enter(trial)

    def _enter(self, trial: Trial) -> None:
        from stock.desk.house_rules import set_rules

        if self._busy or trial is not self._trial:
            return
        self._busy = True
        desk = self.desk
        by, note = (self.query_one(f"#{name}", Typed).value.strip() for name in ("by", "note"))
        self.enter(lambda: set_rules(desk, trial, by=by, note=note), self._done, self._refused)

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(receipt.entries[0])

    def _refused(self, error: BaseException) -> None:
        from stock.desk.house_rules import StaleTrial

        self._busy = False
        if isinstance(error, CannotEnter):
            self._complain("error", "; ".join(f"{problem.column}: {problem.says}" for problem in error.problems))
        elif isinstance(error, StaleTrial):
            # somebody was faster: what it would change now is shown
            self.action_see()
            self._complain("error", f"{error}. {error.remedy}")
        else:
            self._complain("error", f"{error}. {error.remedy if isinstance(error, DeskError) else ''}".strip())

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        """Stop what is being worked out; else leave."""
        if self._working is not None:
            self._forget("Stopped. " + _TO_SEE)
        else:
            self.dismiss(None)
