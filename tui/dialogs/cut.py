"""Cut tape out of a reel, or join it into another: first seen on the maps, before and after, then entered.

A piece thrown away is guarded as a wipe is: the number on the reel's own label is asked for, and no key alone does it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Static

from stock.core.cautions import BY_CODE
from stock.core.measure import Speed
from stock.core.words import feet, speed_words
from stock.desk.desk import Receipt
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.present.line import Line, Piece
from tui.present.rows import GUTTER, draw
from tui.present.tape import tape_of
from tui.present.verdict import verdict_words
from tui.present.window import whole
from tui.widgets.act import Act
from tui.widgets.form_row import FormRow
from tui.widgets.heading import Lines
from tui.widgets.typed import Typed

if TYPE_CHECKING:
    from stock.core.verdict import Advice
    from stock.desk.editing import EditSeen

_FIELDS = (
    ("start", "from", "0 ft", 11),
    ("end", "to", "40 ft", 11),
    ("to_reel", "into reel", "thrown away", 12),
    ("to_at", "at", "its tail", 10),
)
_NOWHERE = -1


class CutDialog(DraftModal[int]):
    """Gives the entry made, or None. reel: the number. start, end: what stands in the fields at first.

    speed: micrometres per second, for places typed as times.
    """

    BINDINGS: ClassVar = [*bindings("entry form"), key_binding("back")]
    CSS = """
    CutDialog #box { width: 96%; max-width: 110; height: auto; max-height: 100%; padding: 0 2; background: $surface; }
    CutDialog .fields { height: 1; margin-top: 1; }
    CutDialog .fields Static { width: auto; color: $quiet; margin-right: 1; }
    CutDialog .fields Typed { margin-right: 2; }
    CutDialog .guard { height: auto; display: none; }
    CutDialog.-waste .guard, CutDialog.-second #row-second { display: block; }
    CutDialog .guard .label { width: 36; }
    CutDialog #row-second { display: none; }
    CutDialog #maps { height: auto; max-height: 14; margin-top: 1; scrollbar-size-vertical: 1; }
    CutDialog #error { height: auto; color: $error; display: none; }
    CutDialog #error.-shown { display: block; }
    CutDialog #caution { height: auto; color: $warning; }
    CutDialog #foot { height: 1; margin-top: 1; }
    CutDialog Button { margin-right: 2; }
    """

    def __init__(self, reel: str, start: str, end: str, speed: int) -> None:
        super().__init__()
        self._reel = reel
        self._first = {"start": start, "end": end}
        self._speed = speed
        self._seen_for: dict[str, str] | None = None
        self._seen: EditSeen | None = None
        self._busy = False
        self.form, self.about = "cut", reel

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(
                Content.assemble(
                    (f"Cut {safe(self._reel)}", "bold"),
                    ("   Enter shows what it would make of the tape", "$quiet"),
                )
            )
            yield DraftLine()
            with Horizontal(classes="fields"):
                for name, label, example, cells in _FIELDS:
                    yield Static(label)
                    typed = Typed(self._first.get(name, ""), placeholder=example, id=name)
                    typed.styles.width = cells
                    yield typed
            with VerticalScroll(id="maps"):
                yield Lines(id="drawn")
            with Vertical(classes="guard"):
                yield FormRow("label", "the number on the reel's own label", example="typed or scanned")
                yield FormRow("second", "the second person", example="another name than yours")
            yield Static("", id="error")
            yield Static(Content(f"{BY_CODE['blades'].title}. {BY_CODE['blades'].says}"), id="caution")
            with Horizontal(id="foot"):
                yield Act("F2 See it", id="enter", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#end", Typed).focus()

    @property
    def cells(self) -> dict[str, str]:
        """The edit as typed."""
        typed = {name: self.query_one(f"#{name}", Typed).value.strip() for name, *_ in _FIELDS}
        typed |= {"reel": self._reel, "speed": speed_words(Speed(self._speed))}
        return {name: text for name, text in typed.items() if text}

    @on(Typed.Changed)
    def _changed(self) -> None:
        if self._seen_for is not None and self._seen_for != self.cells:
            self._forget()

    def _forget(self) -> None:
        """What was seen is not what is asked for any more: the next thing is to see it."""
        self._seen_for = self._seen = None
        self._ask_label(False, False)
        self.query_one(Act).name_it("F2 See it")

    def _ask_label(self, waste: bool, second: bool) -> None:
        self.set_class(waste, "-waste")
        self.set_class(waste and second, "-second")
        if not waste:
            for name in ("label", "second"):
                self.query_one(f"#{name}", Typed).value = ""

    def anew(self) -> None:
        """What was seen may not hold any more: it is seen again before it is entered."""
        super().anew()
        self._forget()

    def fields(self) -> dict[str, str]:
        """What may be kept as a draft: not what was read off the reel for this one time."""
        return {name: text for name, text in super().fields().items() if name not in ("label", "second")}

    @on(Typed.Submitted)
    def _next(self, message: Typed.Submitted) -> None:
        """Enter shows the edit, and never enters it."""
        if message.input.id in ("label", "second"):
            self.focus_next()
        else:
            self.see()

    def see(self) -> None:
        """Show what the edit would make of the reels; nothing is entered."""
        from stock.desk.editing import see_edit

        desk, cells = self.desk, self.cells
        self.read(
            lambda: see_edit(desk, cells), lambda seen: self._show(cells, seen), group="edit", instead=self._refused
        )

    def _show(self, cells: dict[str, str], seen: EditSeen) -> None:
        if cells != self.cells:
            return
        self._seen_for, self._seen = cells, seen
        self._say("")
        width = self.query_one("#drawn", Lines).size.width
        lines: list[Line] = []
        for before, after in zip(seen.before, seen.after, strict=True):
            longest = max(before.view.length, after.view.length, 1)
            lines += _map("before", before, longest, width, self._speed)
            lines += _map("after", after, longest, width, self._speed)
        goes = "thrown away" if seen.thrown_away else f"into {seen.after[-1].reel}"
        lines.append((Piece(safe(f"{goes}: {'; '.join(seen.along)}"), "strong"),))
        self.query_one("#drawn", Lines).show(lines)
        self.query_one(Act).name_it("F2 Throw it away" if seen.thrown_away else "F2 Cut it")
        self._ask_label(seen.thrown_away, seen.second_needed)
        if seen.thrown_away:
            self.query_one("#label", Typed).focus()
        if seen.thrown_away and seen.unread:
            unread = ", ".join(seen.unread)
            self._say(f"no copy of {unread} was read through lately: read one first (Proof), as for a wipe")

    @on(Button.Pressed, "#enter")
    def action_enter_it(self) -> None:
        """Show the edit; once it is seen, enter it."""
        if self._seen_for is None or self._seen is None:
            self.see()
        elif not self._busy:
            enter = self._entering(self._seen_for, self._seen)
            if enter is not None:
                self._busy = True
                self.enter(enter, self._done, self._refused)

    def _entering(self, cells: dict[str, str], seen: EditSeen) -> Callable[[], Receipt] | None:
        """What enters the edit that was seen; None where the label was not read."""
        from stock.desk.editing import throw_away
        from stock.desk.guard import is_label_of
        from stock.desk.wipe_errors import LabelDiffers

        desk = self.desk
        if not seen.thrown_away:
            return lambda: desk.add("edit", cells)
        label, second = (self.query_one(f"#{name}", Typed).value.strip() for name in ("label", "second"))
        if not is_label_of(label, self._reel):
            error = LabelDiffers(label=label or "nothing", reel=self._reel)
            self._say(f"{error}. {error.remedy}")
            self.query_one("#label", Typed).focus()
            return None
        return lambda: throw_away(desk, cells, label=label, second=second, seen=seen.seen)

    def take_scan(self, number: str) -> bool:
        """A label scanned is the one asked for; before that, it is that of the reel to join into."""
        self.query_one("#label" if self.has_class("-waste") else "#to_reel", Typed).value = number
        return True

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(receipt.entries[0])

    def _refused(self, error: BaseException) -> None:
        self._busy = False
        self._forget()
        self.query_one("#drawn", Lines).show([])
        self._say(f"{error}. {getattr(error, 'remedy', '')}".strip())

    def _say(self, words: str) -> None:
        said = self.query_one("#error", Static)
        said.update(Content(safe(words)))
        said.set_class(bool(words), "-shown")

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)


def _map(when: str, advice: Advice, longest: int, width: int, speed: int) -> list[Line]:
    """One reel in a few lines, to the scale of the longest."""
    length = advice.view.length
    grade = advice.best_grade
    verdict = verdict_words(advice.verdict, grade or "", advice.fit(grade).longest if grade else 0, speed)
    head: Line = (
        Piece(f"{safe(advice.reel)} ", "strong"),
        Piece(f"{when}, {feet(length)}  ", "quiet"),
        Piece(verdict, advice.verdict),
    )
    if not length:
        return [head, (Piece("no tape is left on it", "quiet"),)]
    room = max(width - GUTTER, 10) * length // longest
    drawn = draw(tape_of(advice), whole(length, max(room, 4)), _NOWHERE, speed)
    return [head, *drawn[2:-1]]
