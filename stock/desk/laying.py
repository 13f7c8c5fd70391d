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
from stock.core.layout import Edit, Layout, LayoutError, Layouts, LengthFix
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

    def layout(self, reel: str, moment: int) -> Layout:
        if reel not in self.lengths:
            raise Refusal("reel", f"there is no reel {reel}", "the number of a reel that is entered")
        return self.layouts.at(reel, moment)

    def where(self, place: Place, reel: str, layout: Layout, moment: int, speed: int | None, column: str) -> int:
        """A place as tenths of a millimetre from the head of a reel; Refusal where it is not on the tape."""
        if isinstance(place, AtLength):
            at = place.length
            given = feet(at)
        else:
            if speed is None:
                raise Refusal("speed", "a counter time or a timecode needs the speed", "the machine's speed, `15 ips`")
            if isinstance(place, AtTime):
                at = self._zero(reel, layout, moment) + length_of(place.time_us, speed)
                given = clock(place.time_us)
            else:
                at = self._coded(place, reel, layout, moment, speed, column)
                given = place.code
        if not 0 <= at <= layout.length:
            raise Refusal(
                column,
                f"{given} lies outside the tape: reel {reel} held {feet(layout.length)} then",
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


def laid_at(ground: Ground, kind: Kind, values: Sequence[Value]) -> int:
    """The moment whose layout the places of a fact are meant on: of an edit, the one before it."""
    moment = moment_of(ground, kind, values)
    return moment - 1 if kind.name == "edit" else moment


def lay(ground: Ground, entered: Entered) -> tuple[Stretch, ...]:
    """The stretches of tape a fact lies on. Raises Refusal."""
    kind, values = entered.kind, entered.values
    if kind.placed == "no":
        return ()
    reader = reader_of(kind)
    reel = reader.get(values, "reel")
    moment = laid_at(ground, kind, values)
    if entered.places is not None:
        _on_known_tape(ground, entered.places)
        return entered.places
    layout = ground.layout(reel, moment)
    if kind.placed == "whole":
        if kind.name == "hold":
            return _both(layout, ground.layout(reel, moment_of(ground, kind, values, binds=True)))
        return layout.pieces
    speed = reader.get(values, "speed")
    if kind.placed == "point":
        if entered.start is None and kind.name == "response":
            return ()
        at = 0 if entered.start is None else ground.where(entered.start, reel, layout, moment, speed, "at")
        point = layout.point(at)
        if point is None:
            raise Refusal("reel", f"reel {reel} held no tape then", "a reel with tape on it")
        return (point,)
    lo = 0 if entered.start is None else ground.where(entered.start, reel, layout, moment, speed, "start")
    hi = layout.length if entered.end is None else ground.where(entered.end, reel, layout, moment, speed, "end")
    if lo >= hi:
        raise Refusal("end", f"the stretch ends at {feet(hi)}, not after its start at {feet(lo)}", "an end after start")
    return tuple(layout.locate(lo, hi))


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


def start_and_end(ground: Ground, fact: Fact) -> tuple[int, int] | None:
    """The reel places a fact's stretches had at its moment: what a dump writes beside its tape places."""
    if not fact.places:
        return None
    layout = ground.layouts.at(reader_of(fact.kind).get(fact.values, "reel"), laid_at(ground, fact.kind, fact.values))
    places: list[int] = []
    for piece in fact.places:
        if piece.lo == piece.hi:
            at = layout.project_point(piece.tape, piece.lo)
            if at is not None:
                places.append(at)
        for lo, hi in layout.project(*piece):
            places += [lo, hi]
    return (min(places), max(places)) if places else None


__all__ = [
    "Ground",
    "LayoutError",
    "Mark",
    "Reader",
    "Refusal",
    "edit_of",
    "fix_of",
    "laid_at",
    "lay",
    "mark_of",
    "moment_of",
    "reader_of",
    "start_and_end",
]
