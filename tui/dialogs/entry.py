"""Enter one fact about a reel: a form made from the table of kinds, as the command line's options are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Button, Select, Static

from stock.core.cautions import cautions_for
from stock.desk.desk import Receipt
from stock.desk.errors import CannotEnter
from stock.edge.visible import safe
from tui.drafting import DraftLine, DraftModal
from tui.keys import bindings, key_binding
from tui.present.entry import Start
from tui.present.kinds import field_order
from tui.present.understood import understood
from tui.widgets.field_row import FieldRow, OfferRow
from tui.widgets.typed import Typed


class EntryDialog(DraftModal[int]):
    """Gives the number of the entry made, or None where none was. who: who is acting.

    What is typed stays until it is entered or the form is left: a refusal is told beside the fields it is about.
    """

    BINDINGS: ClassVar = [*bindings("entry form"), key_binding("back")]
    CSS = """
    EntryDialog #box { width: 96%; max-width: 100; height: auto; max-height: 100%; padding: 0 2; background: $surface; }
    EntryDialog #heading { padding: 1 0; }
    EntryDialog #fields { height: auto; scrollbar-size-vertical: 1; }
    EntryDialog #caution { height: auto; color: $warning; display: none; }
    EntryDialog #error { height: auto; color: $error; display: none; }
    EntryDialog #foot { height: 3; padding-top: 1; }
    EntryDialog Button { margin-right: 2; }
    EntryDialog #caution.-shown, EntryDialog #error.-shown { display: block; }
    """

    def __init__(self, start: Start, who: str) -> None:
        super().__init__()
        self._start = start
        self._who = who
        self._busy = False
        self.form = start.kind.name
        self.about = start.cells.get("reel", "")

    def compose(self) -> ComposeResult:
        kind = self._start.kind
        reel = self._start.cells.get("reel")
        on_reel = f" on {safe(reel)}" if reel else ""
        with Vertical(id="box"):
            yield Static(
                Content.assemble(
                    (f"Enter {kind.name.replace('-', ' ')}{on_reel}", "bold"),
                    (f": {kind.help}   * must be filled in", "$quiet"),
                ),
                id="heading",
            )
            yield DraftLine()
            with VerticalScroll(id="fields", can_focus=False):
                for number, offer in enumerate(self._start.offers):
                    if offer.choices:
                        yield OfferRow(offer, number)
                for name in field_order(kind):
                    yield FieldRow(kind, kind.field(name), self._start.cells.get(name, ""), self._who)
            yield Static("", id="caution")
            yield Static("", id="error")
            with Horizontal(id="foot"):
                yield Button("F2 Enter it", id="enter", variant="primary", compact=True)
                yield Button("Esc Leave it", id="leave", compact=True)

    def on_mount(self) -> None:
        open_offers = [row for row in self.query(OfferRow) if row.open]
        rows = [*self.query(FieldRow)]
        wanting = [row for row in rows if row.needed and not row.text]
        (open_offers or wanting or rows)[0].put_focus()
        self._fit()
        self._show_cautions()

    def on_resize(self) -> None:
        self._fit()

    def _fit(self) -> None:
        """Let the fields have the room that what stands above and below them leaves, so that the buttons are seen."""

        def fit() -> None:
            others = ("heading", "draft", "caution", "error", "foot")
            taken = sum(self.query_one(f"#{part}").outer_size.height for part in others)
            self.query_one("#fields").styles.max_height = max(self.size.height - taken - 1, 4)

        self.call_after_refresh(fit)

    @property
    def cells(self) -> dict[str, str]:
        """What stands in the fields, by column."""
        return {row.column: row.text for row in self.query(FieldRow)}

    def fields(self) -> dict[str, str]:
        return self.cells

    def put(self, cells: Mapping[str, str]) -> None:
        for row in self.query(FieldRow):
            if row.column in cells:
                row.put(cells[row.column])

    def fitted(self) -> None:
        self._fit()

    @on(OfferRow.Chosen)
    def _fill(self, message: OfferRow.Chosen) -> None:
        self.put(message.cells)

    @on(Typed.Changed)
    @on(Select.Changed)
    def _show_cautions(self) -> None:
        found = list(cautions_for(self._start.kind.name, self.cells))
        caution = self.query_one("#caution", Static)
        caution.update(Content("\n".join(f"{each.title}. {each.says}" for each in found)))
        caution.set_class(bool(found), "-shown")
        self._fit()

    @on(Typed.Changed)
    def _understand(self, message: Typed.Changed) -> None:
        """Say beside the field how what is typed there is understood; the speed tells for places, too."""
        for row in self.query(FieldRow):
            its_own = message.input in [*row.query(Typed)]
            if (its_own or (row.field.cell == "place" and row.has_class("-read"))) and row.column in self.typed:
                self._tell_of(row)
            elif its_own:
                row.tell("")

    def _tell_of(self, row: FieldRow) -> None:
        # in a thread: rare units bring in a library
        desk, field, text, speed = self.desk, row.field, row.text, self.cells.get("speed", "")
        self.ask(lambda: understood(field, text, speed, desk.context()), row.tell, group=f"told of {row.column}")

    @on(Typed.Submitted)
    def _next(self, message: Typed.Submitted) -> None:
        """Enter goes to the next field, and in the last one enters the fact."""
        rows = [*self.query(FieldRow)]
        at = next(number for number, row in enumerate(rows) if message.input in row.query(Typed))
        if at + 1 < len(rows):
            rows[at + 1].put_focus()
        else:
            self.action_enter_it()

    @on(Button.Pressed, "#enter")
    def action_enter_it(self) -> None:
        """Enter the fact; twice at once is once."""
        if self._busy:
            return
        self._busy = True
        desk, name, cells = self.desk, self._start.kind.name, self.cells
        self.enter(lambda: desk.add(name, cells), self._done, self._refused)

    def _done(self, receipt: Receipt) -> None:
        self.dismiss(receipt.entries[0])

    def _refused(self, error: BaseException) -> None:
        """Say what is wrong beside the fields, and go to the first of them."""
        self._busy = False
        rows = {row.column: row for row in self.query(FieldRow)}
        problems: dict[str, list[str]] = {}
        others: list[str] = []
        if isinstance(error, CannotEnter):
            for problem in error.problems:
                (problems.setdefault(problem.column, []) if problem.column in rows else others).append(problem.says)
        else:
            others.append(f"{error}. {getattr(error, 'remedy', '')}".strip())
        for column, row in rows.items():
            row.complain("; ".join(problems.get(column, ())))
        words = self.query_one("#error", Static)
        words.update(Content(safe("; ".join(others))))
        words.set_class(bool(others), "-shown")
        self._fit()
        wrong = next((row for column, row in rows.items() if column in problems), None)
        if wrong is not None:
            wrong.put_focus()

    @on(Button.Pressed, "#leave")
    def action_back(self) -> None:
        self.dismiss(None)

    def on_key(self, event: events.Key) -> None:
        """Up and down go from field to field, as long as no list is open."""
        if event.key in ("up", "down") and isinstance(self.focused, Typed):
            event.stop()
            if event.key == "up":
                self.focus_previous()
            else:
                self.focus_next()
