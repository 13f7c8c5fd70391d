"""One house read from its rows: what is present, what is voided, which tape lies on which reel at a moment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise

from .texts import House, Moment, Row, read_length, read_moment

Span = tuple[str, int, int]  # a stretch of one tape: tape (named for the reel it came on), from, to
Layout = dict[str, list[Span]]

# The limits a house has when it states none of its own.
RULE_DEFAULTS = {
    "usual_speed": "15 ips",
    "shortest_stretch": "600 ft",
    "passes_critical": "30",
    "passes_standard": "150",
    "passes_scratch": "400",
    "wipes_critical": "1",
    "wipes_standard": "4",
    "wipes_scratch": "10",
    "response_fall_critical": "1",
    "response_fall_standard": "2",
    "response_fall_scratch": "3",
    "severity_critical": "0",
    "severity_standard": "1",
    "severity_scratch": "2",
    "inspection_days_critical": "90",
    "inspection_days_standard": "365",
    "minimum_rate_hz": "48000",
    "minimum_bits": "24",
    "cooling_days": "14",
    "copies_needed": "2",
    "media_needed": "2",
    "elsewhere_needed": "1",
    "copy_check_days": "365",
    "stray_s": "10",
    "unused_head_s": "15",
    "unused_head_length": "25 ft",
    "unused_tail_s": "30",
    "splice_guard_s": "2",
}


@dataclass(frozen=True)
class Cell:
    """A piece of tape that no border of any fact divides: reel places `start`..`end`, of one tape from `tape_from`."""

    start: int
    end: int
    tape: str
    tape_from: int

    @property
    def length(self) -> int:
        """Length in tenths of a millimetre."""
        return self.end - self.start

    def under(self, spans: list[Span]) -> bool:
        """Whether one of the spans covers this cell."""
        return any(tape == self.tape and first <= self.tape_from < last for tape, first, last in spans)


class Book:
    """A house at an as-of day. Rows that are voided (whenever), or dated later than that day, are not there."""

    def __init__(self, house: House, as_of: date) -> None:
        self.house = house
        self.as_of = as_of
        self.voided = {row["entry"] for row in house.get("voids.csv", [])}
        self._moments: dict[str, Moment] = {}
        self._kept: dict[str, list[Row]] = {}
        self.reels = {row["reel"]: row for row in self.rows("reels.csv")}
        self.stock_items = {row["stock_item"]: row for row in self.rows("stock_items.csv")}
        self.formulations = {row["formulation"]: row for row in self.rows("formulations.csv")}
        self.layouts = self._layouts()

    def moment(self, row: Row) -> Moment:
        """The moment of a dated row."""
        text = row["date"]
        if text not in self._moments:
            self._moments[text] = read_moment(text)
        return self._moments[text]

    def rows(self, file: str) -> list[Row]:
        """The rows of one file that count. Undated facts are always there."""
        if file not in self._kept:
            self._kept[file] = [
                row
                for row in self.house.get(file, [])
                if not (row.get("entry") and row["entry"] in self.voided)
                and not (row.get("date") and self.moment(row).day > self.as_of)
            ]
        return self._kept[file]

    def rule(self, name: str) -> str:
        """The text of the newest rule of that name."""
        stated = [row for row in self.rows("rules.csv") if row["rule"] == name]
        if not stated:
            return RULE_DEFAULTS[name]
        return max(stated, key=lambda row: self.moment(row).start)["value"]

    def age_days(self, row: Row) -> int:
        """Whole days from the fact's day to the as-of day."""
        return (self.as_of - self.moment(row).day).days

    def track_count(self, reel: str) -> int:
        """How many tracks the reel has."""
        return int(self.reels[reel]["tracks"])

    def formulation(self, tape: str) -> Row:
        """The formulation of a tape: that of the reel it came on."""
        return self.formulations[self.stock_items[self.reels[tape]["stock_item"]]["formulation"]]

    def _layouts(self) -> list[tuple[datetime | None, Layout]]:
        """Every layout of the house's reels in turn, each with the moment of the edit that made it."""
        layout: Layout = {}
        for reel, row in self.reels.items():
            length = row.get("length") or self.stock_items[row["stock_item"]]["length"]
            layout[reel] = [(reel, 0, read_length(length))]
        layouts: list[tuple[datetime | None, Layout]] = [(None, layout)]
        # An edit binds: it counts at the end of its day.
        for row in sorted(self.rows("edits.csv"), key=lambda row: self.moment(row).end):
            layout = dict(layout)
            pieces = layout[row["reel"]]
            start, end = read_length(row["start"]), read_length(row["end"])
            taken = between(pieces, start, end)
            layout[row["reel"]] = between(pieces, 0, start) + between(pieces, end, total(pieces))
            if row.get("to_reel"):
                target = layout[row["to_reel"]]
                at = read_length(row["to_at"])
                layout[row["to_reel"]] = between(target, 0, at) + taken + between(target, at, total(target))
            layouts.append((self.moment(row).end, layout))
        return layouts

    def pieces_before(self, reel: str, instant: datetime) -> list[Span]:
        """The reel just before an instant: only the edits strictly before it are made."""
        made = [layout for at, layout in self.layouts if at is None or at < instant]
        return made[-1][reel]

    def pieces_after(self, reel: str, instant: datetime) -> list[Span]:
        """The reel just after an instant: the edits of that very instant are made too."""
        made = [layout for at, layout in self.layouts if at is None or at <= instant]
        return made[-1][reel]

    def pieces_now(self, reel: str) -> list[Span]:
        """The reel after every edit."""
        return self.layouts[-1][1][reel]

    def spans(self, row: Row) -> list[Span]:
        """The tape a row's start and end meant, on its reel at the start of its day; both empty: all of it."""
        pieces = self.pieces_before(row["reel"], self.moment(row).start)
        if not row.get("start") and not row.get("end"):
            return pieces
        return between(pieces, read_length(row["start"]), read_length(row["end"]))

    def point(self, row: Row) -> tuple[str, int]:
        """The tape place a row's `at` meant."""
        pieces = self.pieces_before(row["reel"], self.moment(row).start)
        at = read_length(row["at"])
        tape, first, _ = between(pieces, at, at + 1)[0]
        return tape, first


def total(pieces: list[Span]) -> int:
    """Length of a reel's pieces together."""
    return sum(last - first for _, first, last in pieces)


def between(pieces: list[Span], start: int, end: int) -> list[Span]:
    """The tape that lies between two places of a reel."""
    found: list[Span] = []
    at = 0
    for tape, first, last in pieces:
        low = max(start, at)
        high = min(end, at + last - first)
        if low < high:
            found.append((tape, first + low - at, first + high - at))
        at += last - first
    return found


def place_on(pieces: list[Span], tape: str, place: int) -> int | None:
    """Where on the reel a tape place lies, or None when that tape is not on it."""
    at = 0
    for piece, first, last in pieces:
        if piece == tape and first <= place < last:
            return at + place - first
        at += last - first
    return None


def cells(pieces: list[Span], spans: list[Span], reel_places: list[int]) -> list[Cell]:
    """Cut a reel at every border: of its pieces, of the tape spans, and at further places of the reel itself."""
    found: list[Cell] = []
    at = 0
    for tape, first, last in pieces:
        borders = {first, last}
        for other, low, high in spans:
            if other == tape:
                borders.update(place for place in (low, high) if first < place < last)
        borders.update(first + place - at for place in reel_places if at < place < at + last - first)
        ordered = sorted(borders)
        for low, high in pairwise(ordered):
            found.append(Cell(at + low - first, at + high - first, tape, low))
        at += last - first
    return found
