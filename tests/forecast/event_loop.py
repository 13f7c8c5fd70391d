"""A second simulator of a studio, day by day and reel by reel, that shares no code with the forecast.

Takes are laid by hand in seconds of tape, every reel is an object with its own wear, and nothing is vectorised. It
knows one stock item. The rules it follows are those the house's readings tell of.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

FEET_A_REEL = 2500.0
MOST_PASSES = {"critical": 30, "standard": 150, "scratch": 400}
MOST_WIPES = {"critical": 1, "standard": 4, "scratch": 10}
GRADES = ("critical", "standard", "scratch")


@dataclass
class Plan:
    """A project as told to the loop. Days count from today; lengths in seconds; ips: inches a second."""

    name: str
    first: int
    last: int
    chance: float
    ips: float
    titles: int
    lengths: tuple[float, float, float]
    takes: tuple[int, int, int]
    false_starts: float
    mode: str
    cool_days: int
    days_back: int
    passes: int
    grade: str


@dataclass
class Reel:
    """One reel. left: seconds of tape still free on it while it is in use."""

    passes: int = 0
    wipes: int = 0
    left: float = 0.0
    has_master: bool = False

    def fit(self, grade: str) -> bool:
        return self.passes <= MOST_PASSES[grade] and self.wipes <= MOST_WIPES[grade]


@dataclass
class Session:
    """A project under way: its reels, and those that may still take a title."""

    plan: Plan
    reels: list[Reel] = field(default_factory=list)
    open: list[Reel] = field(default_factory=list)


class Studio:
    """A studio that buys a reel whenever it needs one and has none."""

    def __init__(self, plans: list[Plan], shelf: list[Reel], leftovers: int, common: float, dice: random.Random):
        self.dice = dice
        self.leftovers = leftovers
        self.shelf = [Reel(reel.passes, reel.wipes) for reel in shelf]
        self.started = len(shelf)
        self.worn_out: list[Reel] = []
        self.coming: list[tuple[int, Reel, int]] = []
        self.bought = 0
        sigma = math.sqrt(math.log(1 + common * common))
        self.factor = math.exp(dice.gauss(0, sigma) - sigma * sigma / 2)
        self.sessions = [Session(plan) for plan in plans if dice.random() < plan.chance]

    def run(self, days: int) -> list[int]:
        """The reels bought by the end of each day."""
        bought = []
        for today in range(days):
            for entry in [entry for entry in self.coming if entry[0] == today]:
                self.coming.remove(entry)
                self.put_away(entry[1], entry[2])
            for session in self.sessions:
                self.work(session, today)
            bought.append(self.bought)
        return bought

    def put_away(self, reel: Reel, passes: int) -> None:
        back = Reel(reel.passes + passes, reel.wipes + 1)
        (self.shelf if back.fit("scratch") else self.worn_out).append(back)

    def work(self, session: Session, today: int) -> None:
        plan = session.plan
        length = plan.last - plan.first + 1
        for title in range(plan.titles):
            if plan.first + (title * length) // plan.titles == today:
                self.record_title(session, title, today)
        if today == plan.last:
            self.end(session, today)

    def record_title(self, session: Session, title: int, today: int) -> None:
        plan = session.plan
        low, likely, high = plan.lengths
        seconds = self.dice.triangular(low, high, likely)
        least, usual, most = plan.takes
        wanted = self.dice.triangular(least, most, usual) * self.factor
        count = max(math.floor(wanted + 0.5), min(least, 1))
        shares = [self.dice.random() if self.dice.random() < plan.false_starts else 1.0 for _ in range(count)]
        whole = [at for at, share in enumerate(shares) if share == 1.0]
        master = whole[-1] if whole else count - 1
        for at, share in enumerate(shares):
            self.lay(session, seconds, seconds * share, at == master, today)
        if title == plan.titles - 1:
            while session.open:
                self.pass_over(session, session.open.pop(0), today)

    def lay(self, session: Session, seconds: float, played: float, master: bool, today: int) -> None:
        """Lay one take: it must find room for all of its length, and uses what was played."""
        need, use = self.footprint(seconds), self.footprint(played)
        for reel in session.open:
            if reel.left >= need:
                break
        else:
            reel = self.draw(session)
            reel.left = self.free_seconds(session.plan.ips)
            reel.has_master = False
            session.open.append(reel)
            if len(session.open) > self.leftovers + 1:
                self.pass_over(session, session.open.pop(0), today)
        reel.left -= use + 5
        reel.has_master |= master

    def footprint(self, seconds: float) -> float:
        return 10 + seconds + max(30.0, seconds / 10)

    def free_seconds(self, ips: float) -> float:
        head = max(15.0, 25 * 12 / ips)
        return FEET_A_REEL * 12 / ips - head - 30 - 105

    def draw(self, session: Session) -> Reel:
        fit = [reel for reel in self.shelf if reel.fit(session.plan.grade)]
        if fit:
            choose = min if session.plan.grade == "critical" else max
            chosen = choose(fit, key=lambda reel: (reel.passes, reel.wipes))
            self.shelf.remove(chosen)
        else:
            chosen = Reel()
            self.bought += 1
        session.reels.append(chosen)
        return chosen

    def pass_over(self, session: Session, reel: Reel, today: int) -> None:
        """A reel that takes no more: it is free at once where the way of working lets it go."""
        plan = session.plan
        if plan.mode == "keep-masters" and not reel.has_master:
            self.release(session, reel, today + 1)
        elif plan.mode == "through":
            self.release(session, reel, today + max(plan.days_back, plan.cool_days, 1))

    def end(self, session: Session, today: int) -> None:
        """The last day: what is still kept comes back when its time is over."""
        plan = session.plan
        for reel in list(session.reels):
            self.release(session, reel, today + max(plan.days_back, plan.cool_days, 1))

    def release(self, session: Session, reel: Reel, day: int) -> None:
        session.reels.remove(reel)
        self.coming.append((day, reel, session.plan.passes))
