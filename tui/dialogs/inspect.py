"""An inspection entered point by point, each answered with one key."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import ClassVar, NamedTuple

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Button, Static

from stock.core.cautions import BY_CODE, cautions_for
from stock.core.kinds import BY_NAME
from stock.desk.desk import Receipt
from stock.desk.errors import CannotEnter
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.present.inspection import POINTS, SEVERITIES, Point, Rated, findings_of, missing, sick
from tui.present.row import Piece
from tui.widgets.lines import PartsLine
from tui.widgets.typed import Typed

_NAME = 10


class Inspected(NamedTuple):
    """What was entered: how many facts, and the reel-wide faults found."""

    facts: int
    sick: tuple[str, ...]


class PointLine(PartsLine[int], can_focus=True):
    """One point and its four answers; a key or a click gives one."""

    BINDINGS: ClassVar = bindings("inspection")
    DEFAULT_CSS = """
    PointLine { width: 50; height: 1; }
    PointLine:focus { background: $panel; }
    """

    class Given(Message):
        """An answer was given."""

        def __init__(self, line: PointLine) -> None:
            super().__init__()
            self.line = line

    def __init__(self, point: Point) -> None:
        super().__init__()
        self.point = point
        self.severity: int | None = None

    def on_mount(self) -> None:
        self._draw()

    def _draw(self) -> None:
        parts: list[tuple[Sequence[Piece], int]] = [((Piece(f"{self.point.name:<{_NAME}}", "reel"),), -1)]
        for number, words in enumerate(SEVERITIES):
            chosen = number == self.severity
            tone = f"chosen {('success', 'warning', 'warning', 'error')[number]}" if chosen else "quiet"
            parts.append(((Piece(f"{number} {words}", tone),), number))
        self.show(parts)

    def action_rate(self, severity: int) -> None:
        """Give an answer."""
        self.severity = severity
        self._draw()
        self.post_message(self.Given(self))

    def answer(self, typed: str) -> None:
        """Take an answer as it was given before; anything that is none takes the answer away."""
        self.severity = int(typed) if typed in ("0", "1", "2", "3") else None
        self._draw()

    def chosen(self, value: int) -> None:
        self.focus()
        if value >= 0:
            self.action_rate(value)


class InspectDialog(DraftModal[Inspected]):
    """Asks for every point; gives what was entered, or None. standing: kinds of findings that stand on the reel."""

    BINDINGS: ClassVar = [*bindings("entry form"), key_binding("back")]
    CSS = """
    InspectDialog #box { width: 78; height: auto; max-height: 100%; padding: 0 1; background: $surface; }
    InspectDialog .row { height: 1; }
    InspectDialog .row Typed { width: 11; margin-left: 1; }
    InspectDialog #looks { height: 4; margin-top: 1; color: $quiet; }
    InspectDialog #caution { height: auto; max-height: 4; color: $warning; display: none; }
    InspectDialog #error { height: auto; color: $error; display: none; }
    InspectDialog .-shown { display: block; }
    InspectDialog #foot { height: 1; margin-top: 1; }
    InspectDialog Button { margin-right: 2; }
    """

    def __init__(self, reel: str, standing: Collection[str]) -> None:
        super().__init__()
        self._reel = reel
        self._standing = standing
        self._busy = False
        self.form, self.about = "inspection", reel

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(
                Content.assemble((f"Inspect {safe(self._reel)}", "bold"), ("   0 to 3 answers a point", "$quiet"))
            )
            yield DraftLine()
            yield Static(Content(f"{'':52}{'from':<12}to"), classes="row")
            for point in POINTS:
                with Horizontal(classes="row"):
                    yield PointLine(point)
                    if point.local:
                        yield Typed(point.start, placeholder="the head", id=f"start-{_id(point)}")
                        yield Typed(point.end, placeholder="the tail", id=f"end-{_id(point)}")
            yield Static("", id="looks")
            yield Static("", id="caution")
            yield Static("", id="error")
            with Horizontal(id="foot"):
                yield Button("F2 Enter it", id="enter", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self._lines()[0].focus()

    def _lines(self) -> list[PointLine]:
        return [*self.query(PointLine)]

    @property
    def rated(self) -> dict[str, Rated]:
        """The answers given so far."""
        found: dict[str, Rated] = {}
        for line in self._lines():
            if line.severity is not None:
                places = [
                    self.query_one(f"#{end}-{_id(line.point)}", Typed).value.strip() if line.point.local else ""
                    for end in ("start", "end")
                ]
                found[line.point.name] = Rated(line.severity, *places)
        return found

    def fields(self) -> dict[str, str]:
        given = {line.point.name: str(line.severity) for line in self._lines() if line.severity is not None}
        return {**given, **super().fields()}

    def put(self, cells: Mapping[str, str]) -> None:
        super().put({name: text for name, text in cells.items() if name.startswith(("start-", "end-"))})
        for line in self._lines():
            if line.point.name in cells:
                line.answer(cells[line.point.name])
        self._warn()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        if isinstance(event.widget, PointLine):
            point = event.widget.point
            pairs = zip(SEVERITIES, point.looks, strict=True)
            looks = [f"{number} {words:<7} {look}" for number, (words, look) in enumerate(pairs)]
            self.query_one("#looks", Static).update(Content("\n".join(looks)))

    @on(PointLine.Given)
    def _given(self, message: PointLine.Given) -> None:
        line = message.line
        self.was_typed()
        self._warn()
        if line.point.local and line.severity:
            self.query_one(f"#start-{_id(line.point)}", Typed).focus()
        else:
            self._go_after(line)

    def _go_after(self, line: PointLine) -> None:
        lines = self._lines()
        at = lines.index(line)
        if at + 1 < len(lines):
            lines[at + 1].focus()
        else:
            self.query_one("#enter", Button).focus()

    def _warn(self) -> None:
        codes = dict.fromkeys(
            caution.code
            for name, answer in self.rated.items()
            for caution in cautions_for(
                "finding",
                {
                    "kind": next(point.kind for point in POINTS if point.name == name),
                    "severity": str(answer.severity),
                },
            )
        )
        words = [f"{BY_CODE[code].title}. {BY_CODE[code].says}" for code in codes]
        caution = self.query_one("#caution", Static)
        caution.update(Content("\n".join(words)))
        caution.set_class(bool(words), "-shown")

    @on(Typed.Submitted)
    def _next(self, message: Typed.Submitted) -> None:
        """Enter goes from the one place to the other, and then to the next point."""
        end, _, name = (message.input.id or "").partition("-")
        if end == "start":
            self.query_one(f"#end-{name}", Typed).focus()
        else:
            self._go_after(next(line for line in self._lines() if _id(line.point) == name))

    def on_key(self, event: events.Key) -> None:
        """Up and down go from point to point."""
        if event.key not in ("up", "down"):
            return
        lines = self._lines()
        parent = self.focused.parent if self.focused is not None else None
        at = next((n for n, line in enumerate(lines) if line is self.focused or line.parent is parent), None)
        to = len(lines) - 1 if at is None else at + (1 if event.key == "down" else -1)
        if 0 <= to < len(lines):
            event.stop()
            lines[to].focus()

    @on(Button.Pressed, "#enter")
    def action_enter_it(self) -> None:
        """Enter the inspection and every fault found, all or none; twice at once is once."""
        rated = self.rated
        left = missing(rated)
        if left:
            self._say(f"not looked at yet: {', '.join(left)}")
            next(line for line in self._lines() if line.point.name == left[0]).focus()
            return
        if self._busy:
            return
        self._busy = True
        desk, kind = self.desk, BY_NAME["finding"]
        facts = [(kind, cells) for cells in findings_of(self._reel, rated, self._standing)]
        self.enter(lambda: desk.add_all(facts, "add inspection"), self._done, self._refused)

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(Inspected(len(receipt.entries), tuple(point.name for point in sick(self.rated))))

    def _refused(self, error: BaseException) -> None:
        self._busy = False
        problems = error.problems if isinstance(error, CannotEnter) else ()
        self._say("; ".join(f"{each.column}: {each.says}" for each in problems) or str(error))

    def _say(self, words: str) -> None:
        said = self.query_one("#error", Static)
        said.update(Content(safe(words)))
        said.set_class(True, "-shown")

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)


def _id(point: Point) -> str:
    return point.name.replace(" ", "-")
