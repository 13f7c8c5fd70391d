"""A small studio told row by row, as people would enter it, and the answers about its reels."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from stock.core.house import House
from stock.core.moments import NEVER, AsOf, Calendar, day_number, end_of_day
from stock.core.verdict import Advice, advise
from stock.store.store import Store

from .entry import facts_of, house_of

Row = dict[str, str]

AS_OF = "2026-06-01"
RECORDED = "2025-07-01T10:00:00Z"
HASH = "ab" * 32


def just_after(moment: str) -> str:
    """One microsecond later than a moment written to the second: `2025-07-01T10:00:00Z`."""
    return f"{moment[:-1]}.000001Z"


def place(tenths: int) -> str:
    """A place or a length, from tenths of a millimetre."""
    return f"{tenths // 10_000}.{tenths % 10_000:04d} m"


class Chain(NamedTuple):
    """A take and the rows of its proof; cells may be changed until an answer is asked."""

    take: Row
    transfer: Row
    listen: Row
    copies: tuple[Row, Row]
    checks: tuple[Row, Row]


class Studio:
    """A studio with one reel, R1: 2500 ft, sealed, the house's own, 4 tracks, inspected a month ago; default rules.

    Every method adds a row and returns it, so that a test can change its cells.
    """

    def __init__(self, empty: Store, zone: str = "UTC") -> None:
        self._empty = empty
        self._zone = zone
        self.calendar = Calendar(zone)
        self.made_us = NEVER
        self.rows: dict[str, list[Row]] = {}
        self.formulation = self.add("formulations", formulation="grey nine", base="polyester")
        self.stock_item = self.add(
            "stock_items", stock_item="grey 2", formulation="grey nine", width="2 in", length="2500 ft"
        )
        self.add("machines", machine="deck one")
        self.project = self.add("projects", project="inn", client="client one", release_needed="no")
        self.first_reel = self.reel("R1")
        self.inspected = self.find("inspection", "0", "2026-05-02")
        self._voided = 0

    def add(self, file: str, **cells: str) -> Row:
        row = dict(cells)
        self.rows.setdefault(file, []).append(row)
        return row

    def reel(self, number: str, **cells: str) -> Row:
        usual = {"stock_item": "grey 2", "tracks": "4", "owner": "house", "arrived_as": "sealed"}
        return self.add("reels", reel=number, **{**usual, **cells})

    def find(self, kind: str, severity: str, when: str, reel: str = "R1", **cells: str) -> Row:
        return self.add("findings", reel=reel, date=when, kind=kind, severity=severity, **cells)

    def take(self, start: str = "100 ft", end: str = "200 ft", when: str = RECORDED, **cells: str) -> Row:
        """A take to keep on R1 at 15 in/s, on every track, of a project that needs no release."""
        usual = {"reel": "R1", "project": "inn", "title": "river", "take": "1", "speed": "15 ips", "keep": "keep"}
        return self.add("takes", **{**usual, "by": "Ada Quill", **cells}, date=when, start=start, end=end)

    def record(self, start: str, end: str, when: str = RECORDED, **cells: str) -> Row:
        """A record pass on R1 at 15 in/s."""
        usual = {"reel": "R1", "kind": "record", "speed": "15 ips"}
        return self.add("passes", **{**usual, **cells}, date=when, start=start, end=end)

    def play(self, count: int, kind: str = "play", reel: str = "R1") -> Row:
        return self.add("passes", reel=reel, date="2026-04-01", kind=kind, count=str(count))

    def wipe(self, when: str, reel: str = "R1", **cells: str) -> Row:
        return self.add("wipes", **{"reel": reel, "date": when, "method": "bulk", **cells})

    def transfer(self, when: str = "2025-08-01T10:00:00Z", name: str = "T1", **cells: str) -> Row:
        """A transfer of all of R1 and its tracks, at just the house's least format."""
        usual = {"reel": "R1", "start": "0 ft", "end": "2500 ft", "speed": "15 ips", "tracks": "1-4"}
        least = {"sample_rate_hz": "48000", "bit_depth": "24"}
        return self.add("transfers", **{**usual, **least, **cells}, transfer=name, date=when)

    def listen(self, name: str = "T1", when: str = "2025-08-02") -> Row:
        return self.add("listens", transfer=name, date=when, by="Bo Tarn")

    def copy(self, copy: str, medium: str, where: str, name: str = "T1") -> Row:
        return self.add("copies", transfer=name, copy=copy, medium=medium, place=where)

    def check(self, copy: str, when: str = "2026-01-10T10:00:00Z", name: str = "T1", **cells: str) -> Row:
        usual = {"method": "read", "result": "pass", "manifest_sha256": HASH}
        return self.add("copy_checks", **{**usual, **cells}, transfer=name, copy=copy, date=when)

    def prove(self, take: Row, name: str = "T1", **cells: str) -> Chain:
        """A transfer with all its proof: heard, and two good copies on two media, one of them elsewhere."""
        return Chain(
            take,
            self.transfer(name=name, **cells),
            self.listen(name),
            (self.copy("c1", "drive red", "here", name), self.copy("c2", "drive blue", "elsewhere", name)),
            (self.check("c1", name=name), self.check("c2", name=name)),
        )

    def proved_take(self) -> Chain:
        """A take that may go: nothing is wrong with its proof."""
        return self.prove(self.take())

    def void(self, row: Row, when: str = "2026-05-20") -> None:
        """Take a row back."""
        self._voided += 1
        row["entry"] = str(self._voided)
        self.add("voids", entry=row["entry"], date=when, reason="entered by mistake", by="Ada Quill")

    def as_of(self, day: str) -> AsOf:
        return end_of_day(self.calendar, day_number(date.fromisoformat(day)))

    def house(self, day: str = AS_OF) -> House:
        facts = facts_of(self._empty, self.rows, self._zone)
        return house_of(facts, self.as_of(day), self._zone, self.made_us)

    def answers(self, day: str = AS_OF, speed: int | None = None) -> dict[str, Advice]:
        return {answer.reel: answer for answer in advise(self.house(day), speed=speed)}

    def answer(self, reel: str = "R1", day: str = AS_OF) -> Advice:
        return self.answers(day)[reel]


def codes(answer: Advice) -> set[str]:
    """The codes of an answer's reasons that are more than notes."""
    return {reason.code for reason in answer.reasons if reason.severity != "note"}
