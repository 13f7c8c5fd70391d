"""A large made-up house for measuring: many reels, about a hundred passes each, written straight into a store.

Three passes in ten record. A reel holds takes with transfers, listens, two copies each and their checks, findings,
response checks, moves and releases; one in six has been wiped, one in a hundred is in a set, one in two hundred edited.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from pathlib import Path
from random import Random

from stock.core.facts import Fact, Stretch, Value
from stock.core.kinds import BY_NAME, columns
from stock.store.store import Store

FOOT = 3048
LENGTH = 2500 * FOOT
SPEED = 381_000
DAY_US = 86_400_000_000
NOW_US = 1_790_000_000_000_000
"""September 2026."""
NOW_DAY = NOW_US // DAY_US
TRACKS = 24
EVERY = (1 << TRACKS) - 1
PEOPLE = ("Ada Quill", "Bo Tarn", "Cy Wren")
PROJECTS = 200

_COLUMNS = {kind.name: [column.name for column in columns(kind)] for kind in BY_NAME.values()}


def number_of(index: int) -> str:
    """The number of a reel."""
    return f"M-{index:06d}"


class Maker:
    """Makes the facts of a house one by one, numbered as they come."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self._entries = count(1)
        self._names = count(1)

    def fact(self, kind: str, /, *places: Stretch, **given: Value) -> Fact:
        """A fact of the columns given."""
        values = tuple(map(given.get, _COLUMNS[kind]))
        return Fact(BY_NAME[kind], values, places, next(self._entries), NOW_US)

    def ground(self) -> Iterator[Fact]:
        """What there is one or a few of: formulations, stock items, machines, projects, rules."""
        for name, base in (("grey nine", "polyester"), ("black two", "polyester"), ("brown four", "acetate")):
            yield self.fact("formulation", formulation=name, base=base)
            yield self.fact("stock-item", stock_item=f"{name} 2", formulation=name, width=50_800, length=LENGTH)
        for machine in ("deck one", "deck two"):
            yield self.fact("machine", machine=machine, tracks=TRACKS)
        for number in range(PROJECTS):
            release = "no" if number % 3 else "yes"
            yield self.fact("project", project=f"project {number}", client="Dee Client", release_needed=release)

    def reel(self, index: int, passes: int) -> Iterator[Fact]:
        """All facts about one reel."""
        rng, reel = self.rng, number_of(index)
        item = f"{rng.choice(('grey nine', 'grey nine', 'black two', 'brown four'))} 2"
        acquired = NOW_DAY - rng.randrange(700, 2500)
        arrived = {"arrived_as": "sealed"} if rng.random() < 0.9 else {"arrived_as": "erased", "passes_before": 4}
        yield self.fact(
            "reel", reel=reel, stock_item=item, tracks=TRACKS, batch=f"b{index // 12}", owner="house",
            acquired=acquired, shelf=f"A-{index}", **arrived,
        )  # fmt: skip
        whole = Stretch(reel, 0, LENGTH)
        wiped_us = (acquired + 300) * DAY_US if index % 6 == 0 else None
        recorded = passes * 3 // 10
        titles = rng.randint(2, 5)
        stretch = LENGTH // (titles + 1)
        project = f"project {rng.randrange(PROJECTS)}"
        for title in range(titles):
            place = Stretch(reel, stretch * title + 40 * FOOT, stretch * (title + 1) - rng.randrange(20) * FOOT)
            made_us = (acquired + rng.randrange(30, 250)) * DAY_US + rng.randrange(DAY_US)
            yield from self._title(reel, project, title, place, made_us, recorded // titles)
        yield from self._plays(reel, acquired, passes - recorded // titles * titles)
        if wiped_us is not None:
            yield self.fact("wipe", whole, reel=reel, at_us=wiped_us, method="bulk", by=PEOPLE[0])
            yield self.fact(
                "finding", whole, reel=reel, at_us=wiped_us + DAY_US, kind="listened", severity=0, by=PEOPLE[1]
            )
        else:
            yield from self._transfer(reel, whole, acquired)
            if rng.random() < 0.7:
                yield self.fact("release", whole, reel=reel, day=acquired + 500, granted_by="Dee Client", by=PEOPLE[0])
        looked_at = NOW_DAY - rng.randrange(500)
        yield self.fact("finding", whole, reel=reel, day=looked_at, kind="inspection", severity=0, by=PEOPLE[0])
        if rng.random() < 0.2:
            worn = Stretch(reel, 0, rng.randrange(10, 200) * FOOT)
            yield self.fact("finding", worn, reel=reel, day=looked_at, kind="edge", severity=rng.randint(1, 3))
        place = Stretch(reel, 20 * FOOT, 20 * FOOT)
        for day, level in ((acquired, 0), (looked_at, -rng.randrange(2500))):
            yield self.fact(
                "response", place, reel=reel, day=day, speed=SPEED, machine="deck one", track=1, frequency_hz=10_000,
                level_db=level,
            )  # fmt: skip
        if rng.random() < 0.05:
            yield self.fact("hold", whole, hold=f"hold {reel}", reel=reel, day=acquired + 400, reason="asked for")
        yield self.fact("move", reel=reel, day=acquired, kind="shelf", to=f"A-{index}")
        if index % 100 in (0, 1):
            yield self.fact("set", set=f"set {index // 100}", reel=reel, day=acquired + 20)

    def _title(self, reel: str, project: str, title: int, place: Stretch, made_us: int, passes: int) -> Iterator[Fact]:
        named = {"project": project, "title": f"title {title}", "take": "1"}
        take = self.fact(
            "take", place, reel=reel, at_us=made_us, **named, speed=SPEED, tracks=EVERY, keep="keep", state="whole",
            by=PEOPLE[0],
        )  # fmt: skip
        yield take
        for number in range(passes):
            track = 1 << self.rng.randrange(TRACKS)
            yield self.fact(
                "pass", place, reel=reel, at_us=made_us + number * 600_000_000, kind="record", speed=SPEED,
                tracks=EVERY if number == 0 else track, count=1, take=f"title {title}/1", machine="deck one",
                by=PEOPLE[0],
            )  # fmt: skip
        if self.rng.random() < 0.1:
            yield self.fact(
                "decision", reel=reel, **named, at_us=made_us + DAY_US, keep="discard", by=PEOPLE[2],
                take_entry=take.entry,
            )  # fmt: skip

    def _plays(self, reel: str, acquired: int, passes: int) -> Iterator[Fact]:
        for number in range(passes):
            lo = self.rng.randrange(0, 20) * 100 * FOOT
            place = Stretch(reel, lo, min(LENGTH, lo + self.rng.randrange(1, 12) * 100 * FOOT))
            yield self.fact(
                "pass", place, reel=reel, at_us=(acquired + 30) * DAY_US + number * 7_200_000_000,
                kind="wind" if number % 5 == 0 else "play", speed=SPEED, machine="deck one", by=PEOPLE[1],
            )  # fmt: skip

    def _transfer(self, reel: str, whole: Stretch, acquired: int) -> Iterator[Fact]:
        name, day = f"T-{next(self._names)}", acquired + 400
        yield self.fact(
            "transfer", whole, transfer=name, reel=reel, day=day, speed=SPEED, tracks=EVERY, sample_rate_hz=96_000,
            bit_depth=24, by=PEOPLE[0],
        )  # fmt: skip
        yield self.fact("listen", transfer=name, day=day + 1, by=PEOPLE[1])
        for copy, medium, place in (("a", "array", "here"), ("b", "cart", "elsewhere")):
            yield self.fact("copy", transfer=name, copy=copy, medium=medium, place=place, day=day)
            for checked in (day + 1, NOW_DAY - self.rng.randrange(400)):
                yield self.fact(
                    "copy-check", transfer=name, copy=copy, day=checked, method="read", result="pass",
                    manifest_sha256="ab" * 32, by=PEOPLE[0],
                )  # fmt: skip

    def edits(self, reels: int) -> Iterator[Fact]:
        """Tape cut out of one reel in two hundred and joined into the one after it."""
        for index in range(0, reels - 1, 200):
            cut = Stretch(number_of(index), 1000 * FOOT, 1100 * FOOT)
            yield self.fact(
                "edit", cut, reel=number_of(index), day=NOW_DAY - 90, to_reel=number_of(index + 1), to_at=0,
                by=PEOPLE[2],
            )  # fmt: skip

    def house(self, reels: int, passes: int) -> Iterator[Fact]:
        """All facts of a house; takes come reel by reel, as numbers in a journal would not, which changes no answer."""
        yield from self.ground()
        for index in range(reels):
            yield from self.reel(index, passes // reels)
        yield from self.edits(reels)


def build(path: Path, reels: int, passes: int) -> None:
    """Make the database of a house with so many reels and passes."""
    store = Store.open(path, now_us=lambda: NOW_US)
    with store.writing() as writer:
        writer.add(Maker(Random(1)).house(reels, passes), who="Ada Quill", what="bench", at_us=NOW_US)
        writer.commit()
    store.close()
