"""A line of the order plan changed by hand: how many, by when; or none from that supplier."""

from __future__ import annotations

from typing import ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge import numbers
from stock.edge.clock import day
from stock.edge.problems import CellError
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.widgets.typed import Typed


class ByHand(NamedTuple):
    """What was decided. quantity: None leaves it to the plan, 0 is none of that item from that supplier."""

    quantity: int | None
    day: str


class OrderLine(DraftModal[ByHand]):
    """Asks how many and by when; gives what was decided, or None where it was left."""

    BINDINGS: ClassVar = [*bindings("order line"), key_binding("back")]
    DEFAULT_CSS = """
    OrderLine #box { width: 64; height: auto; padding: 1 2; background: $surface; }
    OrderLine .row { height: 1; margin-top: 1; }
    OrderLine .row Static { width: 12; color: $quiet; }
    OrderLine #error { height: auto; color: $error; }
    OrderLine #buttons { height: 1; margin-top: 1; }
    OrderLine Button { margin-right: 2; }
    """

    def __init__(self, title: str, quantity: int, order_by: str, *, locked: bool) -> None:
        super().__init__()
        self._title = title
        self._quantity = quantity
        self._order_by = order_by
        self._locked = locked
        self.form, self.about = "order line", title

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(self._title)))
            yield DraftLine()
            for name, words, value in (
                ("quantity", "reels", str(self._quantity)),
                ("day", "order by", self._order_by),
            ):
                with Horizontal(classes="row"):
                    yield Static(words)
                    yield Typed(value, id=name)
            yield Static("", id="error")
            with Horizontal(id="buttons"):
                yield Button("F2 Set by hand", id="set", variant="primary", compact=True)
                if self._locked:
                    yield Button("As planned", id="free", compact=True)
                else:
                    yield Button("Not from them", id="none", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#quantity", Typed).focus()

    @on(Typed.Submitted)
    @on(Button.Pressed, "#set")
    def action_set_by_hand(self) -> None:
        """Give back the line as typed."""
        typed = self.query_one("#day", Typed).value.strip()
        try:
            quantity = numbers.count(self.query_one("#quantity", Typed).value.strip(), "how many reels")
            day(typed)
        except CellError as error:
            self.query_one("#error", Static).update(Content(safe(str(error))))
            return
        self.dismiss(ByHand(quantity, typed))

    @on(Button.Pressed, "#free")
    def _free(self) -> None:
        self.dismiss(ByHand(None, ""))

    @on(Button.Pressed, "#none")
    def _none(self) -> None:
        self.dismiss(ByHand(0, self._order_by))

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
