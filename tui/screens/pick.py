"""Picking reels: the takes typed, and the plan that changes as they are typed."""

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
from tui.explaining import open_sheet
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.present.pick import (
    LEGEND,
    plan_pieces,
    reel_pieces,
    rejected_sheet,
    rejected_title,
    rejected_words,
)
from tui.present.row import REPORT_WIDTH, Piece, text_of
from tui.reel_acts import ReelActs
from tui.widgets.lines import KeyLine, content_of
from tui.widgets.rows_list import RowsList
from tui.widgets.tick import Tick
from tui.widgets.typed import Typed

if TYPE_CHECKING:
    from stock.desk.picking import Picked, Picker
    from tui.app import ReelwardApp
    from tui.present.sheet import Told

FIELDS = (
    ("takes", "takes", "9:00 x3, 4:30", 30),
    ("speed", "speed", "15 ips", 12),
    ("grade", "grade", "standard", 12),
    ("width", "width", "2 in", 10),
    ("tracks", "tracks", "24", 6),
    ("project", "project", "any", 18),
)
"""The fields: name, label, example, cells."""


class PickScreen(ReelActs, PlaceScreen):
    """Takes typed at the top, the plan under them, then every reel that may serve, best first."""

    BINDINGS: ClassVar = [*bindings("pick", "reel"), key_binding("back")]
    DEFAULT_CSS = """
    PickScreen .fields { height: 1; margin: 0 1; }
    PickScreen .fields Static { width: auto; color: $quiet; margin: 0 1 0 0; }
    PickScreen .fields Typed { margin: 0 2 0 0; }
    PickScreen #error { color: $error; height: auto; margin: 0 1; }
    PickScreen #plan { height: auto; max-height: 40%; margin: 1 1 0 1; }
    PickScreen #legend { height: 1; margin: 1 1 0 1; color: $quiet; }
    PickScreen OptionList { height: 1fr; border: none; padding: 0; margin: 0 1; background: $background; }
    PickScreen OptionList:focus { border: none; }
    PickScreen #rejected { height: auto; max-height: 3; margin: 0 1; color: $quiet; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._picker: Picker | None = None
        self._picked: Picked | None = None

    def compose(self) -> ComposeResult:
        yield PlaceLine("pick")
        for some in (FIELDS[:3], FIELDS[3:]):
            with Horizontal(classes="fields"):
                for name, label, example, cells in some:
                    yield Static(label)
                    field = Typed("15 ips" if name == "speed" else "", placeholder=example, id=name)
                    field.styles.width = cells
                    yield field
        with Horizontal(classes="fields"):
            yield Tick("part-used reels of the project", id="part_used")
            yield Tick("in any order", id="any_order")
        yield Static("", id="error")
        with VerticalScroll(id="plan"):
            yield Static("Type the takes: playing times such as 9:00 x3, 4:30.", id="plan_words")
        yield Static(LEGEND, id="legend")
        yield RowsList(id="reels")
        yield Static("", id="rejected")
        yield KeyLine("pick", back=True)

    def opened(self) -> None:
        self.query_one("#takes", Typed).focus()
        self.keep_watch()

    def anew(self) -> None:
        self._changed()

    @on(Typed.Changed)
    @on(Tick.Changed)
    def _changed(self) -> None:
        cells: dict[str, object] = {name: self.query_one(f"#{name}", Typed).value for name, *_ in FIELDS}
        cells["takes"] = [cells["takes"]]
        for name in ("part_used", "any_order"):
            cells[name] = self.query_one(f"#{name}", Tick).value
        if str(self.query_one("#takes", Typed).value).strip():
            self.read(lambda: self._answer(cells), self._answered, instead=self._cannot)

    def _answer(self, cells: dict[str, object]) -> Picked:
        from stock.desk.picking import Picker, request_of

        if self._picker is None:
            self._picker = Picker(self.desk)
        return self._picker.pick(request_of(cells, self.desk.context()))

    def _cannot(self, error: BaseException) -> None:
        says = (
            "; ".join(f"{p.column}: {p.says}" for p in error.problems) if isinstance(error, CannotEnter) else str(error)
        )
        self.query_one("#error", Static).update(Content(safe(says)))

    def _answered(self, picked: Picked) -> None:
        self._picked = picked
        self.query_one("#error", Static).update("")
        lines: list[Piece] = []
        for line in plan_pieces(picked):
            lines += [*(piece._replace(text=safe(piece.text)) for piece in line), Piece("\n")]
        self.query_one("#plan_words", Static).update(content_of(lines[:-1]))
        reels = self.query_one("#reels", RowsList)
        reels.clear_options()
        shown = [row for row in picked.ranked[: len(picked.lengths)] if row.candidate.reel in picked.lengths]
        reels.uncut = [text_of(reel_pieces(picked, row, REPORT_WIDTH)) for row in shown]
        reels.add_options(
            Option(content_of(reel_pieces(picked, row, self.size.width - 8)), id=str(at))
            for at, row in enumerate(shown)
        )
        self.query_one("#rejected", Static).update(Content(safe(rejected_words(picked))))

    @on(OptionList.OptionSelected)
    def _open(self, event: OptionList.OptionSelected) -> None:
        if self._picked is not None and event.option_id is not None:
            cast("ReelwardApp", self.app).open_reel(self._picked.ranked[int(event.option_id)].candidate.reel)

    def reel_here(self) -> str | None:
        reels = self.query_one("#reels", OptionList)
        if self._picked is None or reels.highlighted is None:
            return None
        return self._picked.ranked[int(reels.get_option_at_index(reels.highlighted).id or 0)].candidate.reel

    @on(events.Click, "#rejected")
    def action_why_not(self) -> None:
        """Explain why the other reels may not serve."""
        if self._picked is None:
            self.app.notify("Type the takes first.", severity="warning", markup=False)
            return
        from stock.desk.picking import Picker

        # not the screen's own: both may be asked at once
        desk, request, picker = self.desk, self._picked.request, Picker(self.desk)

        def told() -> Told:
            from stock.desk.house_rules import rule_values

            picked = picker.pick(request)
            return rejected_title(picked), rejected_sheet(picked, rule_values(desk))

        open_sheet(self, told)

    def action_reserve(self) -> None:
        """Keep the plan's reels for its project, once that is confirmed."""
        from tui.dialogs.confirm import Confirm

        picked = self._picked
        if picked is None or picked.plan is None or not picked.request.project:
            self.app.notify("Type the takes and the project first.", severity="warning", markup=False)
            return
        reels, project = ", ".join(picked.plan.reels), picked.request.project
        question = f"Keep {reels} for {project}? Reserved reels are not offered to others."
        self.app.push_screen(Confirm(question, "Reserve"), lambda yes: self._reserve(picked) if yes else None)

    def _reserve(self, picked: Picked) -> None:
        from stock.desk.picking import reserve

        self.ask(lambda: reserve(self.desk, picked), self._reserved)

    def _reserved(self, entries: list[int]) -> None:
        says = f"Reserved: {len(entries)} new entries." if entries else "These reels were reserved already."
        self.app.notify(says, markup=False)
        self._changed()
