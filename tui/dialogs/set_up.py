"""What holds for the takes to come: project, speed, tracks with their names, machine."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge.cells import CellError, parse_speed
from stock.edge.texts import tracks
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.widgets.typed import Typed

FIELDS = (
    ("project", "project", "for whom"),
    ("speed", "speed", "15 ips, 38.1 cm/s, 15 ips +3%"),
    ("tracks", "tracks", "1-8,13, or 1 kick; 2 snare; 3-16"),
    ("machine", "machine", "which machine"),
)


class SetUp(DraftModal[dict[str, str]]):
    """Gives the fields by name, or None where it was left."""

    BINDINGS: ClassVar = [*bindings("entry form"), key_binding("back")]
    CSS = """
    SetUp #box { width: 72; height: auto; padding: 1 2; background: $surface; }
    SetUp #title { margin-bottom: 1; }
    SetUp .field { height: 1; }
    SetUp .field Static { width: 10; color: $quiet; }
    SetUp .field Typed { width: 1fr; }
    SetUp #error { color: $error; height: auto; }
    SetUp #buttons { height: 1; margin-top: 1; }
    SetUp Button { margin-right: 2; }
    """

    def __init__(self, now: Mapping[str, str]) -> None:
        super().__init__()
        self._now = now
        self.form = "set-up"

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("For the takes to come; what is empty goes on as it was.", id="title")
            yield DraftLine()
            for name, label, example in FIELDS:
                with Horizontal(classes="field"):
                    yield Static(label)
                    yield Typed(self._now.get(name, ""), placeholder=example, id=name)
            yield Static("", id="error")
            with Horizontal(id="buttons"):
                yield Button("F2 Set", id="set", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#project", Typed).focus()

    @on(Typed.Submitted)
    def _next(self, message: Typed.Submitted) -> None:
        """Enter goes to the next field, and in the last one sets them."""
        names = [name for name, *_ in FIELDS]
        at = names.index(message.input.id or "")
        if at + 1 < len(names):
            self.query_one(f"#{names[at + 1]}", Typed).focus()
        else:
            self.action_enter_it()

    @on(Button.Pressed, "#set")
    def action_enter_it(self) -> None:
        typed = {name: self.query_one(f"#{name}", Typed).value.strip() for name, *_ in FIELDS}
        for name, read in (("speed", parse_speed), ("tracks", tracks)):
            try:
                if typed[name]:
                    read(typed[name])
            except CellError as error:
                self.query_one("#error", Static).update(Content(safe(f"{name}: {error}")))
                self.query_one(f"#{name}", Typed).focus()
                return
        self.dismiss(typed)

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
