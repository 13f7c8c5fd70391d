"""What will be needed: reels to have bought by week with their odds, where the reels are, and what if."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Select, Static
from textual.widgets.option_list import Option

from stock.core.measure import IPS
from stock.edge.visible import safe
from tui.keys import bindings, key_binding
from tui.place import PlaceLine, PlaceScreen
from tui.present.needs import (
    LEGEND,
    LEGEND_BESIDE,
    Shown,
    band_of,
    head_pieces,
    shown_of,
    source_pieces,
    traces_of,
    week_pieces,
    why_said,
)
from tui.present.row import Piece
from tui.widgets.chart import WeekChart
from tui.widgets.lines import KeyLine, PartsLine, content_of

if TYPE_CHECKING:
    from stock.desk.forecasting import Forecaster, Told

_SPEEDS = (("15 ips", 15 * IPS), ("30 ips", 30 * IPS))
_MODES = (("keep all", "keep-all"), ("keep masters", "keep-masters"), ("wipe at once", "through"))
_NOTHING_AHEAD = "No projects ahead. Enter one: reelward add project"


class ItemLine(PartsLine[str]):
    """The stock items; a click shows one."""

    class Picked(Message):
        def __init__(self, stock_item: str) -> None:
            super().__init__()
            self.stock_item = stock_item

    def chosen(self, value: str) -> None:
        self.post_message(self.Picked(value))


class NeedsScreen(PlaceScreen):
    """A stock item at a time: its chart, its weeks, what lies behind them; beside them the same, what if."""

    AUTO_FOCUS = "#weeks"
    BINDINGS: ClassVar = [*bindings("needs"), key_binding("back")]
    DEFAULT_CSS = """
    NeedsScreen #standing { height: 1; margin: 0 1; color: $quiet; text-wrap: nowrap; text-overflow: ellipsis; }
    NeedsScreen #if { height: 1; margin: 0 1; }
    NeedsScreen #if Static { width: auto; color: $quiet; margin: 0 1 0 0; }
    NeedsScreen #if Select { margin: 0 2 0 0; }
    NeedsScreen #if SelectCurrent { background: $panel; }
    NeedsScreen #drop { width: 19; }
    NeedsScreen #speed { width: 12; }
    NeedsScreen #mode { width: 18; }
    NeedsScreen WeekChart { height: 3fr; min-height: 6; margin: 1 1 0 1; }
    NeedsScreen #legend, NeedsScreen #head { height: 1; margin: 0 1; text-wrap: nowrap; }
    NeedsScreen OptionList { height: 2fr; min-height: 3; border: none; padding: 0; margin: 0 1;
        background: $background; scrollbar-size-vertical: 1; }
    NeedsScreen OptionList:focus { border: none; background-tint: $background 0%; }
    NeedsScreen OptionList > .option-list--option-highlighted,
    NeedsScreen OptionList:focus > .option-list--option-highlighted {
        background: $panel; color: $foreground; text-style: bold;
    }
    NeedsScreen #source { height: 2; margin: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._forecaster: Forecaster | None = None
        self._told: Told | None = None
        self._beside: Told | None = None
        self._names: list[str] = []
        self._item = ""
        self._week = 0

    def compose(self) -> ComposeResult:
        yield PlaceLine("needs")
        yield ItemLine(id="items")
        yield Static("", id="standing")
        with Horizontal(id="if"):
            yield Static("what if")
            yield Static("without")
            yield Select[str]([], prompt="none", id="drop", compact=True)
            yield Static("at")
            yield Select(
                [(Content(words), value) for words, value in _SPEEDS], prompt="planned", id="speed", compact=True
            )
            yield Static("takes")
            yield Select(
                [(Content(words), value) for words, value in _MODES], prompt="as planned", id="mode", compact=True
            )
        yield WeekChart("working out what will be needed \u2026", id="chart")
        yield Static(content_of(LEGEND), id="legend")
        yield Static("", id="head")
        yield OptionList(id="weeks")
        yield Static("", id="source")
        yield KeyLine("needs", back=True)

    def opened(self) -> None:
        self._answer({})
        self.keep_watch()

    def on_resize(self) -> None:
        self._show()

    # asking

    def _answer(self, changes: dict[str, Any]) -> None:
        """Forecast as planned, and beside it with the changes if there are any."""

        def work() -> tuple[Told, Told | None]:
            from stock.desk.forecasting import Asked, Forecaster

            if self._forecaster is None:
                self._forecaster = Forecaster(self.desk)
            told = self._forecaster.forecast()
            return told, self._forecaster.forecast(Asked(**changes)) if changes else None

        self.read(work, self._answered)

    def anew(self) -> None:
        self._changed()

    def _answered(self, answer: tuple[Told, Told | None]) -> None:
        self._told, self._beside = answer
        told = self._told
        self._offer([project.project for project in told.ahead])
        items = [need.stock_item for need in told.forecast.needs]
        if not items or not told.ahead:
            self.query_one(WeekChart).say(_NOTHING_AHEAD)
            return
        if self._item not in items:
            # the one of which most is likely to be bought first
            most = max(told.forecast.needs, key=lambda need: (need.p50[-1], need.p90[-1], need.stock_item))
            self._item = most.stock_item
        self._show()

    def _offer(self, names: list[str]) -> None:
        """Offer to leave out any of the projects ahead; the one left out stays so."""
        if names == self._names:
            return
        self._names = names
        drop = self.query_one("#drop", Select)
        before = drop.value
        with self.prevent(Select.Changed):
            drop.set_options((Content(safe(name)), name) for name in names)
            if before in names:
                drop.value = before

    @on(Select.Changed)
    def _changed(self) -> None:
        drop, speed, mode = (self.query_one(f"#{name}", Select).value for name in ("drop", "speed", "mode"))
        changes: dict[str, Any] = {}
        if drop is not Select.NULL:
            changes["drop"] = (cast("str", drop),)
        if speed is not Select.NULL:
            changes["speed"] = speed
        if mode is not Select.NULL:
            changes["mode"] = mode
        if self._told is not None:
            self._answer(changes)

    # showing

    @property
    def _shown(self) -> Shown | None:
        if self._told is None or not self._item:
            return None
        return shown_of(self._told, self._item, self._beside)

    def _show(self) -> None:
        from stock.desk.forecasting import standing_words

        shown = self._shown
        if shown is None:
            return
        told = shown.told
        self.query_one(ItemLine).show(
            [
                ((Piece(need.stock_item, "chosen" if need.stock_item == self._item else "quiet"),), need.stock_item)
                for need in told.forecast.needs
            ]
        )
        self.query_one("#standing", Static).update(Content(safe(standing_words(told.shelf(self._item)))))
        legend = [*LEGEND, LEGEND_BESIDE] if shown.beside is not None else LEGEND
        self.query_one("#legend", Static).update(content_of(legend))
        self.query_one("#head", Static).update(content_of(head_pieces(shown.beside is not None, self.size.width)))
        self.query_one(WeekChart).show(band_of(shown), traces_of(shown), shown.need.weeks)
        weeks = self.query_one("#weeks", OptionList)
        at = min(self._week, len(shown.need.weeks) - 1)
        with self.prevent(OptionList.OptionHighlighted):
            weeks.clear_options()
            weeks.add_options(
                Option(content_of(week_pieces(shown, week, self.size.width))) for week in range(len(shown.need.weeks))
            )
            weeks.highlighted = at
        self._point(at)

    def _point(self, week: int) -> None:
        """Show a week on the chart and what lies behind it."""
        shown = self._shown
        if shown is None:
            return
        self._week = week
        self.query_one(WeekChart).put_cursor(week)
        first, second = source_pieces(shown, week, self.size.width - 2)
        self.query_one("#source", Static).update(content_of([*first, Piece("\n"), *second]))

    @on(OptionList.OptionHighlighted, "#weeks")
    def _highlighted(self, event: OptionList.OptionHighlighted) -> None:
        self._point(event.option_index)

    @on(WeekChart.Clicked)
    def _clicked(self, message: WeekChart.Clicked) -> None:
        self.query_one("#weeks", OptionList).highlighted = message.week

    @on(ItemLine.Picked)
    def _picked(self, message: ItemLine.Picked) -> None:
        self._item = message.stock_item
        self._show()

    def look_at(self, stock_item: str) -> None:
        """Show a stock item, at once or when it is worked out."""
        self._item = stock_item
        if self._told is not None:
            self._answered((self._told, self._beside))

    def action_item(self, by: int) -> None:
        """The stock item before or after."""
        if self._told is not None and self._item:
            items = [need.stock_item for need in self._told.forecast.needs]
            self._item = items[(items.index(self._item) + by) % len(items)]
            self._show()

    @on(OptionList.OptionSelected, "#weeks")
    def action_why(self) -> None:
        """All that lies behind it."""
        from stock.desk.forecasting import standing_words
        from tui.dialogs.read import ReadPlace

        shown = self._shown
        if shown is not None:
            self.app.push_screen(ReadPlace(why_said(shown, standing_words(shown.told.shelf(self._item)))))
