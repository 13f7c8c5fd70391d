"""The stock and calendar of a generated house: reels, their lengths through all edits, moments, places."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from .texts import House, Moment, Row, read_moment

AS_OF = date(2026, 6, 1)
FIRST_DAY = date(2024, 1, 1)
METRE = 10_000  # tenths of a millimetre
TIMES = ("10:15:00", "12:00:00", "18:30:00")
EDIT_TIME = "14:07:00"  # no other fact is made at this time, so that no edit is tied with a fact
PEOPLE = ("Ada Quill", "Bo Tarn", "Cy Wren")

Phase = tuple[date, date]
# The seasons of a reel's story: recorded, transferred, proved, looked at.
RECORDED: Phase = (FIRST_DAY, date(2025, 2, 28))
TRANSFERRED: Phase = (date(2025, 3, 1), date(2025, 8, 31))
PROVED: Phase = (date(2025, 9, 1), date(2026, 5, 10))
LOOKED_AT: Phase = (date(2026, 3, 10), date(2026, 5, 31))
EVER: Phase = (FIRST_DAY, AS_OF)


def metres(place: int) -> str:
    """Write tenths of a millimetre as metres to four places."""
    return f"{place // METRE}.{place % METRE:04d} m"


@dataclass
class ReelPlan:
    """A reel to tell a story of: its tracks and what edits do to its length."""

    name: str
    tracks: int
    length: int
    sealed: bool
    good: bool  # whether its story should mostly hold together
    changes: list[tuple[Moment, int]] = field(default_factory=list)  # when an edit is made, tape gained
    thrown: tuple[date, int, int] | None = None  # the first edit throws this stretch away
    edit_days: set[date] = field(default_factory=set)
    joins: list[tuple[Moment, int]] = field(default_factory=list)  # where an edit left a splice

    def length_at(self, moment: Moment) -> int:
        """Length at the start of a fact's moment."""
        return self.length + sum(gain for edit, gain in self.changes if edit.end < moment.start)


class Shelf:
    """A house being made: its random source, its rows so far, its reels and a small pool of busy days."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.rows: House = {}
        self.reels: list[ReelPlan] = []
        self.projects: list[str] = []
        self.word_needed: set[str] = set()
        self.step = rng.choice((5, 10, 10, 20)) * METRE
        # Few days, so that many facts share one.
        span = (AS_OF - FIRST_DAY).days
        days = {FIRST_DAY + timedelta(days=rng.randint(0, span)) for _ in range(10)}
        for low, high in (RECORDED, TRANSFERRED, PROVED, LOOKED_AT):
            days |= {low + timedelta(days=rng.randint(0, (high - low).days)) for _ in range(3)}
        self.days = sorted(days)
        self.numbers: dict[str, int] = {}

    def chance(self, share: float) -> bool:
        """True that often."""
        return self.rng.random() < share

    def number(self, kind: str) -> int:
        """Count up from one for each kind of name, so that no name is given twice."""
        self.numbers[kind] = self.numbers.get(kind, 0) + 1
        return self.numbers[kind]

    def add(self, file: str, **cells: str) -> Row:
        """Add a row to a file and return it."""
        row = dict(cells)
        self.rows.setdefault(file, []).append(row)
        return row

    def drop(self, file: str, row: Row) -> None:
        """Take a row out again."""
        self.rows[file] = [other for other in self.rows[file] if other is not row]

    def person(self) -> str:
        """Somebody's name."""
        return self.rng.choice(PEOPLE)

    def day(self, phase: Phase) -> date:
        """A day of the phase, from the busy days where there is one."""
        low, high = phase
        busy = [day for day in self.days if low <= day <= high]
        if busy and self.chance(0.85):
            return self.rng.choice(busy)
        return low + timedelta(days=self.rng.randint(0, (high - low).days))

    def at_some_time(self, day: date) -> str:
        """The whole day or a time of it."""
        return day.isoformat() if self.chance(0.6) else f"{day.isoformat()}T{self.rng.choice(TIMES)}Z"

    def when(self, phase: Phase) -> str:
        """A moment of the phase."""
        return self.at_some_time(self.day(phase))

    def timed(self, phase: Phase) -> str:
        """A moment of the phase that is not a whole day."""
        return f"{self.day(phase).isoformat()}T{self.rng.choice(TIMES)}Z"

    def place(self, low: int, high: int) -> int:
        """A place in a range: mostly on the coarse grid, sometimes on whole metres, seldom odd."""
        grid = [place for place in range(0, high + 1, self.step) if low <= place <= high]
        if grid and self.chance(0.75):
            return self.rng.choice(grid)
        if high - low >= METRE and self.chance(0.6):
            return self.rng.randint(-(-low // METRE), high // METRE) * METRE
        return self.rng.randint(low, high)

    def stretch(self, reel: ReelPlan, when: str, clear_of_thrown: bool = True) -> tuple[int, int]:
        """A stretch of a reel as it was at a moment; recordings and transfers stay off tape to be thrown away."""
        moment = read_moment(when)
        low, high = 0, reel.length_at(moment)
        if clear_of_thrown and reel.thrown and moment.day <= reel.thrown[0]:
            _, start, end = reel.thrown
            sides = [side for side in ((0, start), (end, high)) if side[1] - side[0] >= METRE]
            low, high = self.rng.choice(sides)
        while True:
            start, end = sorted((self.place(low, high), self.place(low, high)))
            if start < end:
                return start, end

    def everything(self, reel: ReelPlan, when: str) -> tuple[int, int]:
        """As much of a reel as a recording or transfer may cover at a moment."""
        moment = read_moment(when)
        if reel.thrown and moment.day <= reel.thrown[0]:
            _, start, end = reel.thrown
            return (0, start) if start > reel.length - end else (end, reel.length)
        return 0, reel.length_at(moment)

    def before_throwing(self, reel: ReelPlan, when: str) -> bool:
        """Whether tape of the reel is yet to be thrown away: nothing may stand against that until then."""
        return reel.thrown is not None and read_moment(when).day <= reel.thrown[0]

    def off_edit_days(self, reel: ReelPlan, when: str) -> str:
        """A moment that is timed where its day is one of the reel's edits."""
        moment = read_moment(when)
        if moment.start != moment.end and moment.day in reel.edit_days:
            return f"{when}T{self.rng.choice(TIMES)}Z"
        return when

    def tracks(self, reel: ReelPlan, stated: bool = False) -> str:
        """Tracks as people write them; empty for every track unless they must be stated."""
        if self.chance(0.5):
            return f"1-{reel.tracks}" if stated else ""
        first = self.rng.randint(1, reel.tracks)
        last = self.rng.randint(first, reel.tracks)
        if self.chance(0.2):
            return "; ".join(f"{track} part {track}" for track in range(first, last + 1))
        if self.chance(0.2) and first > 1:
            return f"1,{first}-{last}"
        return f"{first}-{last}" if first < last else str(first)
