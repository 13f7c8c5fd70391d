"""From what people enter to facts: places laid on tape, names found, what the record cannot bear refused.

Facts attach to tape. A place somebody gives is on a reel as it was at the fact's moment; here it becomes the stretches
of tape it meant then.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from stock.core.facts import Entered, Fact, Stretch, Value
from stock.core.kinds import Kind, columns
from stock.core.layout import Edit, Event, Layout, LayoutError, Layouts, LengthFix
from stock.core.measure import length_of
from stock.core.moments import NEVER, Calendar
from stock.core.places import AtCode, AtLength, AtTime, Place
from stock.core.timecode import TimecodeError, time_between
from stock.core.words import clock, feet


class Refusal(Exception):
    """A fact the record cannot bear. column: where the fault lies. expected: what would do."""

    def __init__(self, column: str, says: str, expected: str = "") -> None:
        super().__init__(says)
        self.column = column
        self.says = says
        self.expected = expected


class Mark(NamedTuple):
    """Where the counter was set to zero, or a stripe begins: a place on tape, from a moment on."""

    moment: int
    entry: int
    tape: str
    place: int
    start_code: str | None = None
    rate: str | None = None


@dataclass
class Ground:
    """What places are laid on: reel lengths, edits, length corrections, zero marks and stripes, through time."""

    calendar: Calendar
    lengths: dict[str, int] = field(default_factory=dict)
    edits: list[Edit] = field(default_factory=list)
    fixes: list[LengthFix] = field(default_factory=list)
    zero_marks: dict[str, list[Mark]] = field(default_factory=dict)
    stripes: dict[str, list[Mark]] = field(default_factory=dict)
    _layouts: Layouts | None = None

    @property
    def layouts(self) -> Layouts:
        """The layouts of all edits and corrections known (LayoutError where they contradict one another)."""
        if self._layouts is None:
            self._layouts = Layouts(self.lengths, self.edits, self.fixes)
        return self._layouts

    def changed(self) -> None:
        """Forget the layouts: an edit, a correction or a reel was added or taken away."""
        self._layouts = None

    def put(self, event: Event) -> None:
        """Add an edit or a correction; LayoutError, and nothing changed, where the tape cannot bear it."""
        edits, fixes = ([event], []) if isinstance(event, Edit) else ([], [event])
        layouts = self.layouts
        if layouts.follows(event):
            layouts.append(event)
        else:
            layouts = Layouts(self.lengths, [*self.edits, *edits], [*self.fixes, *fixes])
        self._layouts = layouts
        self.edits += edits
        self.fixes += fixes

    def layout(self, reel: str, moment: int) -> Layout:
        """The layout of a reel at a moment. Raises Refusal."""
        if reel not in self.lengths:
            raise Refusal("reel", f"there is no reel {reel}", "the number of a reel that is entered")
        try:
            return self.layouts.at(reel, moment)
        except LayoutError as error:
            raise Refusal("reel", error.says, "edits that fit the tape") from None

    def where(self, place: Place, reel: str, layout: Layout, moment: int, speed: int | None, column: str) -> int:
        """A place as tenths of a millimetre from the head of a reel; Refusal where it is not on the tape."""
        if isinstance(place, AtLength):
            at = place.length
        elif speed is None:
            raise Refusal("speed", "a counter time or a timecode needs the speed", "the machine's speed, `15 ips`")
        elif isinstance(place, AtTime):
            at = self._zero(reel, layout, moment) + length_of(place.time_us, speed)
        else:
            at = self._coded(place, reel, layout, moment, speed, column)
        length = layout.length
        if not 0 <= at <= length:
            raise Refusal(
                column,
                f"{_said(place)} lies outside the tape: reel {reel} held {feet(length)} then",
                "a place on the tape; if the reel holds more, enter its length first",
            )
        return at

    def _zero(self, reel: str, layout: Layout, moment: int) -> int:
        """Where the counter read zero; a zero mark that was cut away becomes the head."""
        marks = [mark for mark in self.zero_marks.get(reel, ()) if mark.moment <= moment]
        if not marks:
            return 0
        mark = max(marks)
        return layout.project_point(mark.tape, mark.place) or 0

    def _coded(self, place: AtCode, reel: str, layout: Layout, moment: int, speed: int, column: str) -> int:
        marks = [m for m in self.stripes.get(reel, ()) if m.moment <= moment and m.start_code and m.rate]
        if not marks:
            raise Refusal(column, f"reel {reel} has no stripe with a start code and a rate", "a length or a time")
        mark = max(marks)
        start = layout.project_point(mark.tape, mark.place)
        if start is None:
            raise Refusal(column, "the start of the stripe is not on the reel any more", "a length or a time")
        try:
            time_us = time_between(mark.start_code or "", place.code, mark.rate or "")
        except TimecodeError as error:
            raise Refusal(column, str(error), "a timecode of the stripe") from None
        return start + length_of(time_us, speed)


def _said(place: Place) -> str:
    if isinstance(place, AtLength):
        return feet(place.length)
    return clock(place.time_us) if isinstance(place, AtTime) else place.code


class Reader:
    """How to find a kind's values by name."""

    def __init__(self, kind: Kind) -> None:
        self.at = {column.name: index for index, column in enumerate(columns(kind))}

    def get(self, values: Sequence[Value], name: str) -> Any:
        index = self.at.get(name)
        return None if index is None else values[index]


_READERS: dict[str, Reader] = {}


def reader_of(kind: Kind) -> Reader:
    """The reader of a kind."""
    found = _READERS.get(kind.name)
    if found is None:
        found = _READERS[kind.name] = Reader(kind)
    return found


def moment_of(ground: Ground, kind: Kind, values: Sequence[Value], *, binds: bool = False) -> int:
    """When a fact's places are meant: its instant, or the start of its day (the end where it binds)."""
    reader = reader_of(kind)
    count = ground.calendar.binds if binds else ground.calendar.loosens
    return count(reader.get(values, "day"), reader.get(values, "at_us"))


class Layer:
    """Lays facts of one kind, which lie on tape, where they were meant; where its columns are is found out once."""

    def __init__(self, ground: Ground, kind: Kind) -> None:
        at = reader_of(kind).at
        self._ground = ground
        self._kind = kind
        self._reel, self._day, self._at_us = at["reel"], at["day"], at["at_us"]
        self._speed = at.get("speed")
        # an edit is meant on the reel as it was before it
        self._before = 1 if kind.name == "edit" else 0
        self._places = {"span": Layer._span, "point": Layer._point, "whole": Layer._whole}[kind.placed]

    def lay(self, entered: Entered) -> tuple[Stretch, ...]:
        """The stretches of tape a fact lies on. Raises Refusal."""
        if entered.places is not None:
            _on_known_tape(self._ground, entered.places)
            return entered.places
        values: Sequence[Any] = entered.values
        moment = self._moment(values)
        reel = values[self._reel]
        return self._places(self, entered, reel, self._ground.layout(reel, moment), moment)

    def start_and_end(self, fact: Fact) -> tuple[int, int] | None:
        """The reel places a fact's stretches had at its moment: what a dump writes beside its tape places."""
        if not fact.places:
            return None
        values: Sequence[Any] = fact.values
        layout = self._ground.layouts.at(values[self._reel], self._moment(values))
        places: list[int] = []
        for piece in fact.places:
            if piece.lo == piece.hi:
                at = layout.project_point(piece.tape, piece.lo)
                if at is not None:
                    places.append(at)
            for lo, hi in layout.project(*piece):
                places += [lo, hi]
        return (min(places), max(places)) if places else None

    def _moment(self, values: Sequence[Any]) -> int:
        return self._ground.calendar.loosens(values[self._day], values[self._at_us]) - self._before

    def _span(self, entered: Entered, reel: str, layout: Layout, moment: int) -> tuple[Stretch, ...]:
        start, end = entered.start, entered.end
        speed = self._speed_of(entered)
        where = self._ground.where
        lo = 0 if start is None else where(start, reel, layout, moment, speed, "start")
        hi = layout.length if end is None else where(end, reel, layout, moment, speed, "end")
        if lo >= hi:
            raise Refusal(
                "end", f"the stretch ends at {feet(hi)}, not after its start at {feet(lo)}", "an end after start"
            )
        return tuple(layout.locate(lo, hi))

    def _point(self, entered: Entered, reel: str, layout: Layout, moment: int) -> tuple[Stretch, ...]:
        start = entered.start
        if start is None and self._kind.name == "response":
            return ()
        at = 0 if start is None else self._ground.where(start, reel, layout, moment, self._speed_of(entered), "at")
        point = layout.point(at)
        if point is None:
            raise Refusal("reel", f"reel {reel} held no tape then", "a reel with tape on it")
        return (point,)

    def _whole(self, entered: Entered, reel: str, layout: Layout, moment: int) -> tuple[Stretch, ...]:
        if self._kind.name == "hold":
            return _both(
                layout, self._ground.layout(reel, moment_of(self._ground, entered.kind, entered.values, binds=True))
            )
        return layout.pieces

    def _speed_of(self, entered: Entered) -> Any:
        return None if self._speed is None else entered.values[self._speed]


def _both(first: Layout, second: Layout) -> tuple[Stretch, ...]:
    """All tape on a reel at two moments: a hold binds what was on it at any time of its day."""
    extra = [piece for piece in second.pieces if piece not in first.pieces]
    return (*first.pieces, *extra)


def _on_known_tape(ground: Ground, places: Iterable[Stretch]) -> None:
    for place in places:
        if place.tape not in ground.lengths:
            raise Refusal("on_tape", f"there is no tape {place.tape}", "the number of the reel the tape came on")


def edit_of(ground: Ground, fact_entry: int, values: Sequence[Value], kind: Kind, places: tuple[Stretch, ...]) -> Edit:
    """An edit fact as the layouts take it."""
    reader = reader_of(kind)
    return Edit(
        fact_entry,
        moment_of(ground, kind, values, binds=True),
        reader.get(values, "reel"),
        places,
        reader.get(values, "to_reel"),
        reader.get(values, "to_at"),
    )


def fix_of(ground: Ground, fact_entry: int, values: Sequence[Value], kind: Kind) -> LengthFix:
    """A length correction as the layouts take it."""
    reader = reader_of(kind)
    return LengthFix(
        fact_entry,
        moment_of(ground, kind, values, binds=True),
        reader.get(values, "reel"),
        reader.get(values, "length"),
    )


def mark_of(
    ground: Ground, fact_entry: int, values: Sequence[Value], kind: Kind, places: tuple[Stretch, ...]
) -> Mark | None:
    """A zero mark or a stripe as places are counted from it."""
    if not places:
        return None
    reader = reader_of(kind)
    moment = moment_of(ground, kind, values)
    return Mark(
        NEVER if moment is None else moment,
        fact_entry,
        places[0].tape,
        places[0].lo,
        reader.get(values, "start_code"),
        reader.get(values, "rate"),
    )
