"""Measured wear of one reel: a chart, and under it what it means."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.message import Message
from textual.strip import Strip

from tui.keys import bindings, key_binding
from tui.present.curve import draw_curve
from tui.present.line import Line, Piece, text_of
from tui.present.row import Piece as Part
from tui.present.wear import CHARTS, Chart, curve_of, empty_words, heading, said_lines
from tui.widgets.heading import Lines
from tui.widgets.inked import Inked
from tui.widgets.lines import KeyLine, PartsLine
from tui.work import WorkingScreen

if TYPE_CHECKING:
    from stock.desk.measuring import Lasting, Measured

_LOW = 30


class ChartView(Inked):
    """The chart itself."""

    DEFAULT_CSS = """
    ChartView { height: 11; width: 1fr; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.measured: Measured | None = None
        self.chart: Chart = "passes"

    def show(self, measured: Measured, chart: Chart) -> None:
        """Draw a chart of what was measured."""
        self.measured, self.chart = measured, chart
        self.refresh()

    def drawn(self) -> list[Line]:
        """The chart's lines at the present size."""
        if self.measured is None:
            return []
        curve = curve_of(self.measured, self.chart)
        if curve is None:
            return [(), (), (Piece(f"  {empty_words(self.measured, self.chart)}", "quiet"),)]
        return draw_curve(curve, self.size.width, self.size.height)

    def report_lines(self, width: int) -> list[str]:
        """The chart as it is drawn."""
        return [text_of(line) for line in self.drawn()]

    def render_line(self, y: int) -> Strip:
        lines = self.drawn()
        return self.strip(lines[y] if y < len(lines) else (), self.size.width)


class ChartNames(PartsLine[Chart]):
    """The charts by name; a click shows one."""

    class Picked(Message):
        """A chart was clicked."""

        def __init__(self, chart: Chart) -> None:
            super().__init__()
            self.chart = chart

    def chosen(self, value: Chart) -> None:
        self.post_message(self.Picked(value))


class WearScreen(WorkingScreen[bool]):
    """Measured wear. number: of the reel. Gives whether anything was entered."""

    BINDINGS: ClassVar = [*bindings("wear"), key_binding("back")]
    CSS = """
    WearScreen #about { height: 1; padding: 0 1; }
    WearScreen #charts { height: 1; }
    WearScreen #chart { padding: 0 1 0 0; }
    WearScreen #words { height: 1fr; padding: 0 1; margin-top: 1; scrollbar-size-vertical: 1; }
    WearScreen.-low #words { margin-top: 0; }
    """

    def __init__(self, number: str) -> None:
        super().__init__()
        self.number = number
        self.measured: Measured | None = None
        self.chart: Chart = "passes"
        self._entered = False

    def compose(self) -> ComposeResult:
        yield Lines(id="about")
        yield ChartNames(id="charts")
        yield ChartView(id="chart")
        with VerticalScroll(id="words"):
            yield Lines(id="said", labels=True)
        yield KeyLine("wear", back=True)

    def on_mount(self) -> None:
        self.query_one("#words").focus()
        self.query_one("#about", Lines).show([(Piece(f"{self.number}  being measured \u2026", "quiet"),)])
        self.work_out()
        self.keep_watch()

    def anew(self) -> None:
        self.work_out()

    def on_resize(self) -> None:
        low = self.size.height < _LOW
        self.set_class(low, "-low")
        self.query_one(ChartView).styles.height = 11 if low else 18

    def work_out(self) -> None:
        """Measure anew."""
        number = self.number
        self.read(lambda: self._measure(number), self._measured)

    def _measure(self, number: str) -> Measured:
        from stock.desk.measuring import measure

        return measure(self.desk, number, lasting=False)

    def _gather(self, formulation: str) -> Lasting:
        from stock.desk.measuring import lasting_of

        return lasting_of(self.desk, formulation)

    def _measured(self, measured: Measured) -> None:
        """Show what is known of the reel at once, and how others last when that is gathered."""
        self._show(measured)
        formulation = measured.formulation
        if formulation is not None:
            self.ask(
                lambda: self._gather(formulation),
                lambda lasting: self._show(replace(measured, lasting=lasting)),
                group="lasting",
            )

    def _show(self, measured: Measured) -> None:
        self.measured = measured
        lines, labels = said_lines(measured)
        self.query_one("#said", Lines).show(lines, labels)
        self._show_chart()

    def _show_chart(self) -> None:
        if self.measured is None:
            return
        self.query_one("#about", Lines).show([heading(self.measured, self.chart)])
        self.query_one(ChartNames).show(
            [((Part(words, "chosen" if chart == self.chart else "quiet"),), chart) for chart, words in CHARTS.items()]
        )
        self.query_one(ChartView).show(self.measured, self.chart)

    def action_chart(self) -> None:
        """The next chart."""
        names = list(CHARTS)
        self.chart = names[(names.index(self.chart) + 1) % len(names)]
        self._show_chart()

    @on(ChartNames.Picked)
    def _pick(self, message: ChartNames.Picked) -> None:
        self.chart = message.chart
        self._show_chart()

    def action_levels(self) -> None:
        """Enter the levels of a response check."""
        from tui.dialogs.levels import LevelsDialog, levels_start

        if self.measured is not None:
            self.app.push_screen(LevelsDialog(levels_start(self.measured)), self._levels_entered)

    def _levels_entered(self, count: int | None) -> None:
        if count:
            self._entered = True
            self.notify(f"{count} level{'s' if count != 1 else ''} entered.", markup=False)
            self.work_out()

    def action_back(self) -> None:
        self.dismiss(self._entered)
