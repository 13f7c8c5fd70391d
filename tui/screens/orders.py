"""What is on order: how much of it is here, how late the rest is, and receiving it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from stock.edge.visible import safe
from tui.drafting import draft_done
from tui.keys import bindings, key_binding
from tui.present.buying import order_head, order_pieces, orders_words
from tui.present.row import REPORT_WIDTH, text_of
from tui.widgets.lines import KeyLine, content_of
from tui.widgets.rows_list import RowsList
from tui.work import WorkingScreen

if TYPE_CHECKING:
    from stock.desk.purchases import Standing
    from tui.dialogs.receive import Came


class OrdersScreen(WorkingScreen[None]):
    """The orders still open, and then those that are all here, newest first."""

    BINDINGS: ClassVar = [*bindings("orders"), key_binding("back")]
    DEFAULT_CSS = """
    OrdersScreen #said { height: 1; margin: 0 1 1 1; }
    OrdersScreen #head { height: 1; margin: 0 1; color: $quiet; }
    OrdersScreen OptionList, OrdersScreen OptionList:focus {
        height: 1fr; border: none; padding: 0; margin: 0 1; background: $background;
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[Standing] = []

    def compose(self) -> ComposeResult:
        yield Static("", id="said")
        yield Static("", id="head")
        yield RowsList(id="orders")
        yield KeyLine("orders", back=True)

    def on_mount(self) -> None:
        self.query_one("#head", Static).update(Content(order_head(self.size.width - 4)))
        self.query_one("#orders", OptionList).focus()
        self.anew()
        self.keep_watch()

    def anew(self) -> None:
        from stock.desk.receiving import orders

        self.read(lambda: orders(self.desk), self._show)

    def _show(self, found: list[Standing]) -> None:
        self._rows = [row for row in found if row.open] + [row for row in reversed(found) if not row.open]
        listed = self.query_one("#orders", RowsList)
        listed.uncut = [text_of(order_pieces(row, REPORT_WIDTH)) for row in self._rows]
        at = listed.highlighted or 0
        listed.clear_options()
        width = self.size.width - 4
        listed.add_options(
            Option(content_of(order_pieces(row, width)), id=str(at)) for at, row in enumerate(self._rows)
        )
        listed.highlighted = min(at, len(self._rows) - 1) if self._rows else None
        self.query_one("#said", Static).update(Content(orders_words(self._rows)))

    @on(OptionList.OptionSelected)
    def action_receive(self) -> None:
        """Enter that reels of the order under the cursor came."""
        from tui.dialogs.receive import Receive

        at = self.query_one("#orders", OptionList).highlighted
        if at is None:
            return
        row = self._rows[at]
        if not row.open:
            self.app.notify("All of it is here already.", markup=False)
            return
        placed = row.order
        title = f"{placed.order}: {placed.stock_item} from {placed.supplier}, {row.open} still to come"
        self.app.push_screen(Receive(title, row.open, placed.order), lambda came: self._receive(placed.order, came))

    def _receive(self, order: str, came: Came | None) -> None:
        if came is None:
            return

        def enter() -> tuple[list[str], str]:
            from stock.desk.labels import write_labels
            from stock.desk.receiving import receive

            _, reels = receive(
                self.desk, order, quantity=came.quantity, first_reel=came.first_reel, batch=came.batch,
                shelf=came.shelf, tracks=came.tracks,
            )  # fmt: skip
            if not came.labels:
                return reels, ""
            try:
                write_labels(self.desk, reels, Path(came.labels).expanduser())
            except OSError as error:
                return reels, f"Their labels could not be written: {error.strerror}."
            return reels, f"Their labels are in {came.labels}."

        self.ask(enter, lambda found: self._received(order, found))

    def _received(self, order: str, found: tuple[list[str], str]) -> None:
        draft_done(self, "receipt", order)
        reels, labels = found
        span = reels[0] if len(reels) == 1 else f"{reels[0]} to {reels[-1]}"
        self.app.notify(safe(f"Entered: {span}. {labels}".strip()), markup=False)
        self.anew()

    def action_back(self) -> None:
        """Back to the plan, which counts anew what is here."""
        self.dismiss(None)
