"""The page of one reel: its map, what is at the cursor, the two answers, and what happened."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, NamedTuple, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll

from stock.core.measure import IPS
from stock.core.verdict import Advice
from stock.desk.beginning import Beginning, beginning
from stock.desk.history import HistoryLine
from tui.dialogs.choose_kind import ChooseKind
from tui.dialogs.entry import EntryDialog
from tui.dialogs.go_to import GoTo
from tui.dialogs.lanes import LanesDialog
from tui.dialogs.read import ReadPlace
from tui.explaining import open_sheet, why_of_reel, why_of_said
from tui.keys import bindings
from tui.present.entry import starting_entry
from tui.present.heading import about_line, verdict_line
from tui.present.inspection import isolate_lines
from tui.present.readout import place_words, readout
from tui.present.tape import Tape, tape_of
from tui.widgets.blocks import Blocks
from tui.widgets.heading import BackLink, Lines
from tui.widgets.history import History
from tui.widgets.page_keys import PageKeys
from tui.widgets.reasons import Reasons
from tui.widgets.tape_map import TapeMap
from tui.work import ANEW, UNREADABLE, WorkingScreen

if TYPE_CHECKING:
    from stock.core.take_proof import TakeProof
    from stock.desk.listening import ToHear
    from tui.app import ReelwardApp
    from tui.dialogs.inspect import Inspected

_SPEEDS = (15 * IPS // 2, 15 * IPS, 30 * IPS)


class Page(NamedTuple):
    """All the page shows."""

    advice: Advice
    tape: Tape
    history: Sequence[HistoryLine]
    speed: int


class ReelScreen(WorkingScreen[None]):
    """One reel. number: the number on it. then: what is done there first, by its action."""

    BINDINGS: ClassVar = bindings("reel")
    CSS = """
    ReelScreen { layout: vertical; }
    ReelScreen #top { height: 1; padding: 0 1; }
    ReelScreen #verdict { width: 1fr; }
    ReelScreen #stale { width: 0; }
    ReelScreen #about { height: 1; padding: 0 1; }
    ReelScreen #map { padding: 0 1; }
    ReelScreen #readout { min-height: 5; max-height: 10; padding: 0 1; background: $surface; margin: 1 0; }
    ReelScreen.-low #readout { margin: 0; }
    ReelScreen #below { height: 1fr; min-height: 3; padding: 0 0 0 1; scrollbar-size-vertical: 1; }
    """

    def __init__(self, number: str, then: str = "") -> None:
        super().__init__()
        self.number = number
        self._then = then
        self.page: Page | None = None
        self.speed: int | None = None
        self._begin: Beginning | None = None

    def compose(self) -> ComposeResult:
        with Horizontal(id="top"):
            yield BackLink()
            yield Lines(id="verdict")
            yield Lines(id="stale")
        yield Lines(id="about")
        yield TapeMap(id="map")
        yield Lines(id="readout", labels=True)
        with VerticalScroll(id="below", can_focus=False):
            yield Reasons(id="reasons")
            yield History(id="history")
        yield PageKeys()

    def on_mount(self) -> None:
        tape_map = self.query_one(TapeMap)
        tape_map.focus()
        tape_map.hide(cast("ReelwardApp", self.app).lanes_hidden)
        self.work_out()
        self.keep_watch()

    def on_resize(self) -> None:
        low = self.size.height < 30
        self.set_class(low, "-low")
        self.query_one("#readout", Lines).one_line_each = low

    def on_descendant_focus(self) -> None:
        """The line of keys follows the focus."""
        places = {"map": ("tape map",), "reasons": ("reasons and history",)}
        focused = self.focused
        its_own = places.get(focused.id or "", ("history", "reasons and history")) if focused is not None else ()
        self.query_one(PageKeys).follow(focused, *its_own)

    # reading

    def work_out(self) -> None:
        """Ask for the answer anew; what is shown till then is said to be old."""
        if self.page is not None:
            self.say_stale(ANEW)
        number, speed = self.number, self.speed
        self.read(lambda: self._read(number, speed), self._show)

    def _read(self, number: str, speed: int | None) -> Page:
        desk = self.desk
        (advice,) = desk.advise([number], speed=speed)
        if speed is None:
            speed = advice.view.house.rules.number("usual_speed")
        return Page(advice, tape_of(advice), desk.history(number), speed)

    def _show(self, page: Page) -> None:
        self.page, self.speed = page, page.speed
        self.query_one("#verdict", Lines).show([verdict_line(page.advice, page.speed)])
        self.query_one("#about", Lines).show([about_line(page.advice, page.speed)])
        self.query_one(Reasons).show(page.advice, page.speed)
        self.query_one(History).show(page.history, page.speed)
        self.query_one(TapeMap).show(page.tape, page.speed)
        desk, advice = self.desk, page.advice
        self.ask(lambda: beginning(desk, advice), self._can_begin, group="beginning")

    def _can_begin(self, begin: Beginning) -> None:
        self._begin = begin
        if self._then:
            then, self._then = self._then, ""
            self.call_after_refresh(self.run_action, then)

    def show_stale(self, words: str) -> None:
        self.query_one("#stale", Lines).say(words, "no" if words == UNREADABLE else "doubt")

    # the map

    @on(TapeMap.Moved)
    def _read_out(self) -> None:
        tape_map = self.query_one(TapeMap)
        if self.page is not None:
            said = readout(self.page.advice, self.page.tape, tape_map.place, self.page.speed)
            self.query_one("#readout", Lines).show([line.pieces for line in said], [line.label for line in said])

    @on(TapeMap.Wanted)
    def _map_wants(self, message: TapeMap.Wanted) -> None:
        if self.page is None:
            return
        place = self.query_one(TapeMap).place
        if message.what == "speed":
            self.next_speed()
        elif message.what == "go_to":
            self.app.push_screen(GoTo(self.page.tape, self.page.speed), self._go)
        elif message.what == "lanes":
            self.app.push_screen(LanesDialog(self.query_one(TapeMap).hidden), self._leave_out)
        else:
            said = readout(self.page.advice, self.page.tape, place, self.page.speed)
            self.app.push_screen(ReadPlace(said))

    def next_speed(self) -> None:
        """Times, and the answer about the tape, at the next of the usual speeds."""
        assert self.page is not None
        usual = self.page.advice.view.house.rules.number("usual_speed")
        speeds = sorted({usual, *_SPEEDS})
        faster = [speed for speed in speeds if speed > self.page.speed]
        self.speed = faster[0] if faster else speeds[0]
        self.work_out()

    def _leave_out(self, lanes: frozenset[str] | None) -> None:
        if lanes is not None:
            cast("ReelwardApp", self.app).lanes_hidden = lanes
            self.query_one(TapeMap).hide(lanes)

    def _go(self, place: int | None) -> None:
        if place is not None:
            self.query_one(TapeMap).go(place)

    @on(Blocks.Chosen)
    def _show_on_map(self, message: Blocks.Chosen) -> None:
        self.query_one(TapeMap).go(message.place)

    # entering

    def action_add(self) -> None:
        """Choose a kind of fact, then enter one."""
        if self.page is not None:
            self.app.push_screen(ChooseKind(), self._enter)

    def action_wipe(self) -> None:
        """Go through the guarded wipe of this reel; then the answer is worked out anew."""
        from tui.screens.wipe import WipeScreen

        self.app.push_screen(WipeScreen(self.number), lambda _: self.work_out())

    def action_proof(self) -> None:
        """Show what proves each take; then do what would help the one chosen most."""
        from stock.core.take_proof import take_proofs
        from tui.dialogs.proof import ProofDialog

        desk, number = self.desk, self.number

        def again() -> Sequence[TakeProof]:
            (advice,) = desk.advise([number])
            return take_proofs(advice)

        if self.page is not None:
            self.app.push_screen(ProofDialog(number, take_proofs(self.page.advice), again), self._help)

    def _help(self, take: TakeProof | None) -> None:
        from stock.desk.listening import to_hear
        from tui.screens.proving import ProvingScreen, asked_of

        action = take.action if take is not None else None
        if take is None or action is None or action.transfer is None:
            return
        desk, name = self.desk, action.transfer
        if action.code == "listen":
            self.ask(lambda: to_hear(desk, name), self._ask_listen)
            return
        (state,) = (each for each in take.transfers if each.transfer.transfer == name)
        self.app.push_screen(ProvingScreen(asked_of(state, action)), lambda _: self.work_out())

    def _ask_listen(self, asked: ToHear) -> None:
        from tui.dialogs.listen import ListenDialog

        self.app.push_screen(ListenDialog(asked), lambda _: self.work_out())

    def action_enter_kind(self, kind_name: str) -> None:
        """Enter a fact of a kind."""
        self._enter(kind_name)

    def _enter(self, kind_name: str | None) -> None:
        if kind_name is None or self.page is None:
            return
        place = self.query_one(TapeMap).place
        start = starting_entry(kind_name, self.page.advice, self.page.tape, place, self.page.speed, self._begin)
        self.app.push_screen(EntryDialog(start, self.desk.who), self._entered)

    def _entered(self, entry: int | None) -> None:
        if entry is not None:
            self.notify(f"Entered as number {entry}.", markup=False)
            self.work_out()

    async def action_log(self) -> None:
        """The session log with this reel on the machine."""
        await cast("ReelwardApp", self.app).log_reel(self.number)

    def action_check(self) -> None:
        """Show all there is to know before a take that starts at the cursor."""
        if self.page is None:
            return
        from stock.core.critical import Trust, trust
        from stock.core.measure import Speed
        from tui.dialogs.sheet import Sheet
        from tui.present.sheet import Told, trust_said, trust_sheet, trust_title

        desk, number, speed, place = self.desk, self.number, self.page.speed, self.query_one(TapeMap).place

        def found(advice: Advice) -> Trust:
            return trust(advice, Speed(speed), min(place, advice.view.length))

        def now() -> Trust:
            (advice,) = desk.advise([number], speed=speed)
            return found(advice)

        def told(here: Trust) -> Told:
            return trust_title(here), trust_sheet(here)

        first = found(self.page.advice)
        why = why_of_said(desk, trust_title(first), lambda: trust_said(now()))
        self.app.push_screen(Sheet(*told(first), lambda: told(now()), why))

    def action_why(self) -> None:
        """Explain every reason in plain words, the one under the cursor first, and what to do."""
        here = self.query_one(Reasons).reason
        open_sheet(self, why_of_reel(self.desk, self.number, self.speed, here))

    def action_wear(self) -> None:
        """Measured wear, on a page of its own."""
        from tui.screens.wear import WearScreen

        self.app.push_screen(WearScreen(self.number), self._came_back)

    def _came_back(self, changed: bool | None) -> None:
        if changed:
            self.work_out()

    def action_inspect(self) -> None:
        """Enter an inspection, point by point."""
        if self.page is not None:
            from tui.dialogs.inspect import InspectDialog

            standing = {damage.kind for damage in self.page.tape.damage}
            self.app.push_screen(InspectDialog(self.number, standing), self._inspected)

    def _inspected(self, found: Inspected | None) -> None:
        if found is None:
            return
        self.notify(f"Inspection entered, {found.facts - 1} findings with it.", markup=False)
        self.work_out()
        if found.sick:
            from stock.desk.batches import same_batch

            number = self.number
            self.ask(lambda: same_batch(self.desk, number), lambda reels: self._isolate(found, reels))

    def _isolate(self, found: Inspected, reels: list[str]) -> None:
        self.app.push_screen(ReadPlace(isolate_lines(self.number, found.sick, reels)))

    def action_cut(self) -> None:
        """Cut tape out, seen before it is entered; at first from the head to the map's cursor."""
        if self.page is not None:
            from tui.dialogs.cut import CutDialog

            place = self.query_one(TapeMap).place
            end = place_words(place) if place else ""
            self.app.push_screen(CutDialog(self.number, "0 ft", end, self.page.speed), self._entered)

    @on(History.VoidWanted)
    def _void(self, message: History.VoidWanted) -> None:
        if message.line.voided:
            self.notify(f"Entry {message.line.entry} is voided already.", markup=False)
        else:
            self.action_take_back(message.line.entry)

    def anew(self) -> None:
        self.work_out()
