"""Which lanes of the tape map are drawn."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Button, Static

from tui.keys import bindings, key_binding
from tui.present.rows import LANES
from tui.widgets.tick import Tick
from tui.work import WorkingModal


class LanesDialog(WorkingModal[frozenset[str]]):
    """Gives the lanes left out. hidden: those left out now."""

    BINDINGS: ClassVar = [*bindings("lanes"), key_binding("back")]
    CSS = """
    LanesDialog #box { width: 58; height: auto; padding: 1 2; background: $surface; }
    LanesDialog Tick { margin: 0; }
    LanesDialog #ticks { height: auto; margin-top: 1; }
    LanesDialog #buttons { height: 1; margin-top: 1; }
    LanesDialog Button { margin-right: 2; }
    """

    def __init__(self, hidden: frozenset[str]) -> None:
        super().__init__()
        self._hidden = hidden

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static("Which lanes of the map are drawn?  Space turns one over.")
            with Vertical(id="ticks"):
                for name, words in LANES.items():
                    yield Tick(f"{name:<7} {words}", id=f"lane-{name}")
            with Horizontal(id="buttons"):
                yield Button("F2 Show these", id="show", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        for name in LANES:
            self.query_one(f"#lane-{name}", Tick).value = name not in self._hidden
        self.query(Tick).first().focus()

    @on(Button.Pressed, "#show")
    def action_show(self) -> None:
        """Draw what is ticked, and leave the rest out."""
        self.dismiss(frozenset(name for name in LANES if not self.query_one(f"#lane-{name}", Tick).value))

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
