"""Reels of an order came: how many, from which number on, and where they stand."""

from __future__ import annotations

from typing import ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Button, Static

from stock.edge import numbers
from stock.edge.problems import CellError
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.widgets.typed import Typed


class Came(NamedTuple):
    """What came. tracks: None as the item's other reels. labels: the file to write them into, empty for none."""

    quantity: int
    first_reel: str
    batch: str
    shelf: str
    tracks: int | None
    labels: str


_FIELDS = (
    ("quantity", "reels", ""),
    ("first_reel", "first number", "the next of its kind"),
    ("batch", "batch", "on the boxes"),
    ("shelf", "shelf", "where they stand"),
    ("tracks", "tracks", "as its other reels"),
    ("labels", "labels into", "a PDF file, or none"),
)


class Receive(DraftModal[Came]):
    """Gives what came, or None where it was left. left: how many are still to come. order: its number."""

    enters_itself = False

    BINDINGS: ClassVar = [*bindings("receiving"), key_binding("back")]
    DEFAULT_CSS = """
    Receive #box { width: 64; height: auto; padding: 1 2; background: $surface; }
    Receive #rows { height: auto; margin-top: 1; }
    Receive .row { height: 1; }
    Receive .row Static { width: 15; color: $quiet; }
    Receive #error { height: auto; color: $error; }
    Receive #buttons { height: 1; margin-top: 1; }
    Receive Button { margin-right: 2; }
    """

    def __init__(self, title: str, left: int, order: str) -> None:
        super().__init__()
        self._title = title
        self._left = left
        self.form, self.about = "receipt", order

    def compose(self) -> ComposeResult:
        with Vertical(id="box"):
            yield Static(Content(safe(self._title)))
            yield DraftLine()
            with Vertical(id="rows"):
                for name, words, example in _FIELDS:
                    with Horizontal(classes="row"):
                        yield Static(words)
                        yield Typed(str(self._left) if name == "quantity" else "", placeholder=example, id=name)
            yield Static("", id="error")
            with Horizontal(id="buttons"):
                yield Button("F2 They came", id="came", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        self.query_one("#quantity", Typed).focus()

    @on(Button.Pressed, "#came")
    def action_came(self) -> None:
        """Give back what was typed."""
        typed = {name: self.query_one(f"#{name}", Typed).value.strip() for name, *_ in _FIELDS}
        try:
            quantity = numbers.count(typed["quantity"], "how many reels")
            tracks = numbers.count(typed["tracks"], "how many tracks") if typed["tracks"] else None
        except CellError as error:
            self.query_one("#error", Static).update(Content(safe(str(error))))
            return
        self.dismiss(
            Came(quantity, typed["first_reel"], typed["batch"], typed["shelf"], tracks or None, typed["labels"])
        )

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)
