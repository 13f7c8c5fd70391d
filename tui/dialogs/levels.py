"""A row of levels entered at once: the tones of a response check, track by track."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.core.kinds import BY_NAME
from stock.core.measure import Speed
from stock.core.words import speed_words
from stock.desk.errors import CannotEnter, DeskError
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.present.readout import place_words
from tui.widgets.typed import Typed

if TYPE_CHECKING:
    from stock.desk.desk import Receipt
    from stock.desk.measuring import Measured

TONES = (("100 Hz", "100"), ("1 kHz", "1000"), ("10 kHz", "10000"), ("15 kHz", "15000"))
_ROWS = 4
_ABOUT = (
    ("at", "place", "75 ft", 14),
    ("speed", "speed", "15 ips", 14),
    ("machine", "machine", "", 14),
    ("tone", "tone", "kept or fresh", 14),
)


class LevelsStart(NamedTuple):
    """What the form begins with: the cells all levels share, and the tracks of the last check."""

    reel: str
    cells: dict[str, str]
    tracks: tuple[str, ...]


def levels_start(measured: Measured) -> LevelsStart:
    """The form as the last check of the reel was made, so that like is held against like."""
    top = measured.top
    if top is None:
        speed = measured.advice.view.house.rules.number("usual_speed")
        return LevelsStart(measured.advice.reel, {"speed": speed_words(Speed(speed))}, ())
    like = [each for each in measured.series if each.same_check[:-2] == top.same_check[:-2]]
    tracks = dict.fromkeys(str(each.track) for each in like if each.track is not None)
    cells = {"at": place_words(top.place), "machine": top.machine or "", "tone": top.tone or ""}
    if top.speed is not None:
        cells["speed"] = speed_words(Speed(top.speed))
    return LevelsStart(measured.advice.reel, cells, tuple(tracks)[:_ROWS])


class LevelsDialog(DraftModal[int]):
    """Gives how many levels were entered, or None where none were. All of them are entered, or none."""

    BINDINGS: ClassVar = [*bindings("entry form"), key_binding("back")]
    CSS = """
    LevelsDialog #box { width: 76; height: auto; padding: 1 2; background: $surface; }
    LevelsDialog .about { height: 1; }
    LevelsDialog .about Static { width: 9; color: $quiet; }
    LevelsDialog .about Typed { margin-right: 3; }
    LevelsDialog #heads { height: 1; margin-top: 1; color: $quiet; }
    LevelsDialog .row { height: 1; }
    LevelsDialog .row Typed { width: 11; margin-right: 2; }
    LevelsDialog .row .track { width: 8; margin-right: 3; }
    LevelsDialog #hint { color: $quiet; margin-top: 1; height: auto; }
    LevelsDialog #error { color: $error; height: auto; display: none; }
    LevelsDialog #error.-shown { display: block; }
    LevelsDialog #foot { height: 1; margin-top: 1; }
    LevelsDialog Button { margin-right: 2; }
    """

    def __init__(self, start: LevelsStart) -> None:
        super().__init__()
        self._start = start
        self._busy = False
        self.form, self.about = "levels", start.reel

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(f"Response of {safe(self._start.reel)}: dB against the reference, by track and tone"))
            yield DraftLine()
            for some in (_ABOUT[:2], _ABOUT[2:]):
                with Horizontal(classes="about"):
                    for name, label, example, cells in some:
                        yield Static(label)
                        typed = Typed(self._start.cells.get(name, ""), placeholder=example, id=name)
                        typed.styles.width = cells
                        yield typed
            yield Static(Content(f"{'track':<11}" + "".join(f"{words:<13}" for words, _ in TONES)), id="heads")
            for number in range(_ROWS):
                with Horizontal(classes="row"):
                    track = self._start.tracks[number] if number < len(self._start.tracks) else ""
                    yield Typed(track, id=f"track-{number}").add_class("track")
                    for _, hertz in TONES:
                        yield Typed(id=f"level-{number}-{hertz}")
            yield Static(
                "Empty is not measured. The place, speed, machine and tone should be those of the first check.",
                id="hint",
            )
            yield Static("", id="error")
            with Horizontal(id="foot"):
                yield Button("F2 Enter them", id="enter", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#level-0-100" if self._start.cells.get("at") else "#at", Typed).focus()

    def _text(self, id: str) -> str:
        return self.query_one(f"#{id}", Typed).value.strip()

    @property
    def rows(self) -> list[dict[str, str]]:
        """The cells of each level typed."""
        shared = {name: self._text(name) for name, *_ in _ABOUT}
        return [
            {
                **shared,
                "reel": self._start.reel,
                "track": self._text(f"track-{number}"),
                "frequency_hz": hertz,
                "level_db": self._text(f"level-{number}-{hertz}"),
            }
            for number in range(_ROWS)
            for _, hertz in TONES
            if self._text(f"level-{number}-{hertz}")
        ]

    @on(Typed.Submitted)
    def _next(self) -> None:
        """Enter goes to the next field."""
        self.focus_next()

    def on_key(self, event: events.Key) -> None:
        """Up and down keep to the tone."""
        focused = self.focused
        if event.key not in ("up", "down") or not isinstance(focused, Typed):
            return
        event.stop()
        first, _, rest = (focused.id or "").partition("-")
        number, _, hertz = rest.partition("-")
        if number.isdigit():
            to = int(number) + (1 if event.key == "down" else -1)
            if 0 <= to < _ROWS:
                self.query_one(f"#{first}-{to}" + (f"-{hertz}" if hertz else ""), Typed).focus()
                return
        if event.key == "down":
            self.focus_next()
        else:
            self.focus_previous()

    @on(Button.Pressed, "#enter")
    def action_enter_it(self) -> None:
        """Enter all levels as one command; twice at once is once."""
        rows = self.rows
        if not rows:
            self._say("type a level first")
            return
        if self._busy:
            return
        self._busy = True
        kind, desk = BY_NAME["response"], self.desk
        facts = [(kind, {name: text for name, text in row.items() if text}) for row in rows]
        self.enter(lambda: desk.add_all(facts, "add response"), self._done, self._refused)

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(len(receipt.entries))

    def _refused(self, error: BaseException) -> None:
        self._busy = False
        if isinstance(error, CannotEnter):
            said = dict.fromkeys(f"{problem.column.replace('_db', '')}: {problem.says}" for problem in error.problems)
            self._say("; ".join(said))
        else:
            self._say(f"{error}. {error.remedy if isinstance(error, DeskError) else ''}".strip())

    def _say(self, words: str) -> None:
        error = self.query_one("#error", Static)
        error.update(Content(safe(words)))
        error.set_class(True, "-shown")

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
