"""Buying: the order plan that may be changed by hand, the same at other prices, and what tape costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, cast

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from stock.desk.errors import CannotEnter
from stock.edge.visible import safe
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.present.buying import (
    beside_lines,
    cost_lines,
    head_words,
    line_pieces,
    note_lines,
    plan_pieces,
    why_words,
)
from tui.present.row import REPORT_WIDTH, Piece, text_of
from tui.widgets.lines import KeyLine, content_of
from tui.widgets.rows_list import RowsList
from tui.widgets.typed import Typed

if TYPE_CHECKING:
    from stock.desk.cost_tables import Sheet
    from stock.desk.costing import Costs
    from stock.desk.ordering import Buyer, Planned, Row
    from stock.planning.ordering.ask import Line
    from tui.app import ReelwardApp
    from tui.dialogs.order_line import ByHand

FIELDS = (
    ("need", "need", "item=reels@date, in place of the forecast", 44),
    ("service", "odds", "90 %", 8),
    ("budget", "budget", "2026-12=2400", 24),
    ("without", "without", "supplier@last day", 18),
    ("rise", "rise", "date=percent", 14),
)
"""The fields: name, label, example, cells. Several things of a kind stand with commas between."""

_LIMIT_S = 8.0
"""How long a plan is looked for while somebody waits."""

VIEWS = ("plan", "beside", "costs")


class BuyingScreen(PlaceScreen):
    """What is asked at the top; under it the plan, the plans beside it, or the costs."""

    BINDINGS: ClassVar = [*bindings("buying"), key_binding("back")]
    DEFAULT_CSS = """
    BuyingScreen .fields { height: 1; margin: 0 1; }
    BuyingScreen .fields Static { width: auto; color: $quiet; margin: 0 1 0 0; }
    BuyingScreen .fields Typed { margin: 0 2 0 0; }
    BuyingScreen #said { height: auto; max-height: 3; margin: 1 1 1 1; }
    BuyingScreen #head { height: 1; margin: 0 1; color: $quiet; }
    BuyingScreen OptionList { height: 1fr; min-height: 3; border: none; padding: 0; margin: 0 1; }
    BuyingScreen OptionList, BuyingScreen OptionList:focus { border: none; background: $background; }
    BuyingScreen #why { height: 3; margin: 1 1 0 1; }
    BuyingScreen #notes { height: auto; max-height: 6; margin: 0 1; }
    BuyingScreen #page { height: 1fr; margin: 0 1; display: none; }
    BuyingScreen.-beside #page, BuyingScreen.-costs #page { display: block; }
    BuyingScreen.-beside .plan, BuyingScreen.-costs .plan { display: none; }
    BuyingScreen.-costs .fields, BuyingScreen.-costs #said { display: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._buyer: Buyer | None = None
        self._made: Planned | None = None
        self._by_hand: dict[tuple[str, str, str], str] = {}
        self._asked: dict[str, object] | None = None
        self._view = "plan"

    def compose(self) -> ComposeResult:
        yield PlaceLine("buy")
        for some in (FIELDS[:2], FIELDS[2:]):
            with Horizontal(classes="fields"):
                for name, label, example, cells in some:
                    yield Static(label)
                    field = Typed(placeholder=example, id=name)
                    field.styles.width = cells
                    yield field
        yield Static("", id="said")
        yield Static("", id="head", classes="plan")
        yield RowsList(id="lines", classes="plan")
        yield Static("", id="why", classes="plan")
        with VerticalScroll(id="notes", classes="plan"):
            yield Static("", id="notes_words")
        with VerticalScroll(id="page"):
            yield Static("", id="page_words")
        yield KeyLine("buying", back=True)

    def opened(self) -> None:
        self.query_one("#head", Static).update(Content(head_words(self.size.width - 4)))
        self.query_one("#lines", OptionList).focus()
        self._plan()
        self.keep_watch()

    def anew(self) -> None:
        self._asked = None
        self._plan()

    # planning

    @on(Typed.Submitted)
    def _entered(self) -> None:
        self._plan()

    @on(events.DescendantBlur)
    def _left_a_field(self) -> None:
        self._plan()

    def _cells(self) -> dict[str, object]:
        typed = {name: self.query_one(f"#{name}", Typed).value for name, *_ in FIELDS}
        several = {name: [part.strip() for part in text.split(",")] for name, text in typed.items()}
        return {**several, "service": typed["service"], "lock": sorted(self._by_hand.values())}

    def _plan(self) -> None:
        """Plan what is asked, if that is not what was planned last."""
        cells = self._cells()
        if cells == self._asked:
            return
        self._asked = cells
        self._say([Piece("Planning \u2026", "quiet")])
        self.read(lambda: self._answer(cells), self._answered, instead=self._cannot)

    def _answer(self, cells: dict[str, object]) -> Planned:
        from stock.desk.ordering import Buyer

        if self._buyer is None:
            leaving = cast("ReelwardApp", self.app).leaving
            self._buyer = Buyer(self.desk, limit_s=_LIMIT_S, stop=leaving.is_set)
        return self._buyer.plan(self._buyer.asked(cells))

    def _cannot(self, error: BaseException) -> None:
        says = (
            "; ".join(f"{p.column}: {p.says}" for p in error.problems)
            if isinstance(error, CannotEnter)
            else f"{error}. {getattr(error, 'remedy', '')}"
        )
        self._made = None
        self.query_one("#lines", OptionList).clear_options()
        for part in ("why", "notes_words"):
            self.query_one(f"#{part}", Static).update("")
        undo = " F7 forgets what was set by hand." if self._by_hand else ""
        self._say([Piece(safe(f"{says}{undo}"), "error")])

    def _say(self, pieces: list[Piece]) -> None:
        self.query_one("#said", Static).update(content_of(pieces))

    def _answered(self, made: Planned) -> None:
        self._made = made
        self._say([piece._replace(text=safe(piece.text)) for piece in plan_pieces(made)])
        lines = self.query_one("#lines", RowsList)
        lines.uncut = [text_of(line_pieces(line, made.currency, REPORT_WIDTH)) for line in made.plan.lines]
        at = lines.highlighted or 0
        lines.clear_options()
        width = self.size.width - 4
        lines.add_options(
            Option(content_of(line_pieces(line, made.currency, width)), id=str(number))
            for number, line in enumerate(made.plan.lines)
        )
        lines.highlighted = min(at, len(made.plan.lines) - 1) if made.plan.lines else None
        self._show_why()
        self._put("notes_words", note_lines(made))
        if self._view != "plan":
            self.action_view(self._view)

    def _put(self, part: str, lines: list[list[Piece]]) -> None:
        pieces: list[Piece] = []
        for line in lines:
            pieces += [*(piece._replace(text=safe(piece.text)) for piece in line), Piece("\n")]
        self.query_one(f"#{part}", Static).update(content_of(pieces[:-1]))

    @property
    def _line(self) -> Line | None:
        at = self.query_one("#lines", OptionList).highlighted
        return self._made.plan.lines[at] if self._made is not None and at is not None else None

    @on(OptionList.OptionHighlighted)
    def _show_why(self) -> None:
        words = why_words(self._line, self._made) if self._made is not None else ""
        self.query_one("#why", Static).update(Content(safe(words)))

    # changing by hand, ordering

    @on(OptionList.OptionSelected)
    def action_by_hand(self) -> None:
        """Change the line under the cursor by hand."""
        from stock.desk.order_words import day_words
        from tui.dialogs.order_line import OrderLine

        line = self._line
        if line is None:
            return
        title = f"{line.stock_item} from {line.supplier}"
        dialog = OrderLine(title, line.quantity, day_words(line.order_by), locked=line.locked)
        self.app.push_screen(dialog, lambda given: self._changed(line, given))

    def _changed(self, line: Line, given: ByHand | None) -> None:
        from stock.desk.order_words import day_words

        if given is None:
            return
        who, what = line.supplier, line.stock_item
        self._by_hand.pop((who, what, day_words(line.order_by)), None)
        if given.quantity is not None:
            self._by_hand[who, what, given.day] = f"{who}:{what}={given.quantity}@{given.day}"
        self._plan()

    def action_free_all(self) -> None:
        """Forget what was set by hand."""
        self._by_hand.clear()
        self._plan()

    def action_place_order(self) -> None:
        """Enter the order of the line under the cursor, under the next free number."""
        from stock.desk.beginning import next_order

        if self._line is not None and self._made is not None:
            desk = self.desk
            self.ask(lambda: next_order(desk), self._place, group="order")

    def _place(self, number: str) -> None:
        from stock.core.kinds import BY_NAME
        from stock.desk.order_words import day_words, money_of
        from tui.dialogs.entry import EntryDialog
        from tui.present.entry import Start

        line, made = self._line, self._made
        if line is None or made is None:
            return
        cells = {
            "order": number,
            "supplier": line.supplier,
            "stock_item": line.stock_item,
            "quantity": str(line.quantity),
            "unit_price": money_of(line.unit_price, made.currency),
            "currency": made.currency,
            "expected": day_words(line.likely),
        }
        self.app.push_screen(EntryDialog(Start(BY_NAME["order"], cells, ()), self.desk.who), self._placed)

    def _placed(self, entry: int | None) -> None:
        if entry is not None:
            self.app.notify(f"Ordered: entry {entry}.", markup=False)
            self.anew()

    def action_orders(self) -> None:
        """What is on order; the plan is made anew after it, as more may be here then."""
        from tui.screens.orders import OrdersScreen

        self.app.push_screen(OrdersScreen(), lambda _: self.anew())

    # the other views

    def action_view(self, name: str) -> None:
        """Show the plan, the plans beside it, or the costs."""
        self._view = name
        for each in VIEWS[1:]:
            self.set_class(each == name, f"-{each}")
        if name == "plan":
            self.query_one("#lines", OptionList).focus()
            return
        self._put("page_words", [[Piece("Working it out \u2026", "quiet")]])
        page = self.query_one("#page", VerticalScroll)
        page.scroll_home(animate=False)
        page.focus()
        if name == "costs":
            self.ask(self._costs, self._show_costs, group="page")
        elif self._made is None:
            self._put("page_words", [[Piece("There is no plan yet.", "quiet")]])
        else:
            made, cells = self._made, self._cells()
            self.ask(lambda: self._beside(made, cells), self._show_beside, group="page")

    def _beside(
        self, made: Planned, cells: dict[str, object]
    ) -> tuple[Planned, list[Row], tuple[Planned | None, Planned | None]]:
        from stock.desk.ordering import scenarios

        buyer = self._buyer
        assert buyer is not None, "there is a plan, so somebody made it"
        return made, [*scenarios(made), *buyer.other_work(made)], buyer.beside(buyer.asked(cells), made)

    def _show_beside(self, found: tuple[Planned, list[Row], tuple[Planned | None, Planned | None]]) -> None:
        if self._view == "beside":
            self._put("page_words", beside_lines(*found, self.size.width - 4))

    def _costs(self) -> tuple[Costs, list[Sheet]]:
        from stock.desk.cost_tables import SHEETS, USUAL
        from stock.desk.costing import costs

        found = costs(self.desk)
        return found, [SHEETS[name](found) for name in USUAL]

    def _show_costs(self, found: tuple[Costs, list[Sheet]]) -> None:
        from tui.present.cost_charts import cost_charts

        if self._view == "costs":
            costs, sheets = found
            width = self.size.width - 4
            self._put("page_words", cost_lines(sheets, width, cost_charts(costs, width)))

    async def action_back(self) -> None:
        """To the plan; from there back to the reels."""
        if self._view != "plan":
            self.action_view("plan")
        else:
            await self.leave()
