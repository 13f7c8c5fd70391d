"""Packing measured: published classes, realistic sessions, and a pick over a large house; run by hand.

    python -m tests.bench.bench_pick [classes] [sessions] [house] [--seeds N] [--takes N ...] [--reels N]

Classes: the triplet construction (Falkenauer, Journal of Heuristics 2, 1996: each bin of 1000 filled by three items,
one in [380, 490], the others at least 250, so that a third of the items is the fewest by construction) and uniform
whole sizes in [20, 100] in bins of 150. Sessions: songs of about 4:00 with 3 to 8 takes, and takes uniform in 2 to 12
minutes, on reels of 970 s and 1970 s usable. Every bound stated is compared with the fewest found by anything here.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from random import Random
from typing import Any

from stock.core.house import House
from stock.core.measure import Speed
from stock.core.moments import Calendar, end_of_day
from stock.core.picking.candidates import sort_out, standings
from stock.core.picking.request import Request
from stock.core.record import Finding, Formulation, Pass, Project, Record, Reel, Splice, StockItem, Take
from stock.core.verdict import Judge
from stock.planning.model import Option, Room, Task
from stock.planning.plan import plan, solve

CLASS_LIMIT_S = 10.0
SESSION_LIMIT_S = 5.0
SECOND = 3810
"""Tape that passes in a second at 15 in/s, tenths of a millimetre."""


def triplets(items: int, seed: int) -> tuple[list[int], int, int]:
    """Sizes, bin, fewest bins."""
    random = Random(seed)
    sizes: list[int] = []
    while len(sizes) < items:
        first = random.randint(380, 490)
        second = random.randint(250, 1000 - first - 250)
        sizes += [first, second, 1000 - first - second]
    random.shuffle(sizes)
    return sizes, 1000, items // 3


def uniform(items: int, seed: int) -> tuple[list[int], int, None]:
    """Sizes, bin; the fewest is not known."""
    random = Random(seed)
    return [random.randint(20, 100) for _ in range(items)], 150, None


def songs(takes: int, random: Random) -> list[int]:
    """Playing times in whole seconds: songs of about 4:00, each in 3 to 8 takes of nearly its length."""
    found: list[int] = []
    while len(found) < takes:
        length = min(max(random.gauss(240, 45), 120), 420)
        found += [max(60, round(random.gauss(length, 4))) for _ in range(random.randint(3, 8))]
    return found[:takes]


def any_lengths(takes: int, random: Random) -> list[int]:
    """Playing times in whole seconds, 2 to 12 minutes."""
    return [random.randint(120, 720) for _ in range(takes)]


def footprint_tenths(seconds: int) -> int:
    """Slate, take and room to run over by the house's default rules, tenths of a second."""
    return 100 + 10 * seconds + max(seconds, 300)


def alike(lengths: list[int], room: int, gap: int) -> tuple[Task, list[Option]]:
    """Takes in any order on as many reels of one room as there are takes."""
    task = Task(tuple(lengths), gap, False, 4, False)
    rooms = (Room(0, room, ((0, room, 0),)),)
    return task, [Option(f"R{n:04d}", "f", frozenset({"b"}), False, n, rooms) for n in range(len(lengths))]


def classes(seeds: int) -> None:
    print("class          cases  fewest proved  within one  bound wrong  slowest s")
    rows: list[tuple[str, Callable[[int, int], tuple[list[int], int, int | None]], int]] = [
        ("triplets 60", triplets, 60),
        ("triplets 120", triplets, 120),
        ("uniform 120", uniform, 120),
        ("uniform 250", uniform, 250),
    ]
    for name, make, items in rows:
        proved = within = wrong = 0
        slowest = 0.0
        for seed in range(seeds):
            sizes, room, fewest = make(items, seed)
            begun = time.perf_counter()
            outcome = solve(*alike(sizes, room, 0), None, CLASS_LIMIT_S)
            slowest = max(slowest, time.perf_counter() - begun)
            assert outcome is not None and outcome.key is not None
            reels = outcome.key[0]
            proved += reels == outcome.bound
            least = reels if fewest is None else fewest
            within += reels <= (outcome.bound if fewest is None else fewest) + 1
            wrong += outcome.bound > least
        print(f"{name:14} {seeds:5}  {proved:13}  {within:10}  {wrong:11}  {slowest:9.2f}", flush=True)


def sessions(seeds: int, counts: list[int]) -> None:
    print("session        usable  takes  cases  proved  gap most  mean s  slowest s")
    for name, make in (("songs", songs), ("uniform", any_lengths)):
        for usable in (970, 1970):
            for takes in counts:
                proved, gap_most, times = 0, 0, []
                for seed in range(seeds):
                    lengths = [footprint_tenths(s) * SECOND // 10 for s in make(takes, Random(seed * 1000 + takes))]
                    begun = time.perf_counter()
                    outcome = solve(*alike(lengths, usable * SECOND, 5 * SECOND), None, SESSION_LIMIT_S)
                    times.append(time.perf_counter() - begun)
                    assert outcome is not None and outcome.key is not None
                    proved += outcome.key[0] == outcome.bound
                    gap_most = max(gap_most, outcome.key[0] - outcome.bound)
                print(
                    f"{name:14} {usable:6}  {takes:5}  {seeds:5}  {proved:6}  {gap_most:8}  "
                    f"{sum(times) / seeds:6.2f}  {max(times):9.2f}",
                    flush=True,
                )


def large_house(reels: int, seed: int) -> House:
    """Reels of two formulations and many batches, worn, part used, cleared and spliced, no two quite alike."""
    random = Random(seed)
    day = 20_000
    rows: dict[str, list[Any]] = {}
    entry = 0

    def add(file: str, row: type[Any], **values: Any) -> None:
        nonlocal entry
        entry += 1
        given = {**dict.fromkeys(row._fields), "entry": entry, **values}
        rows.setdefault(file, []).append(row(**given))

    for colour in ("grey", "blue"):
        add("formulations", Formulation, formulation=colour, base="polyester")
        item = {"stock_item": f"{colour} 2", "formulation": colour, "width": 50_800, "length": 7_620_000}
        add("stock_items", StockItem, **item)
    add("projects", Project, project="P", release_needed="no")
    for number in range(reels):
        reel = f"R{number:05d}"
        whole = {"tape": reel, "lo": 0, "hi": 7_620_000}
        add(
            "reels",
            Reel,
            reel=reel,
            stock_item=random.choice(["grey 2", "blue 2"]),
            tracks=16,
            batch=f"b{random.randint(1, reels // 20)}",
            owner="house",
            acquired=random.randint(10_000, day),
            arrived_as="sealed",
            role="session",
        )
        add("findings", Finding, reel=reel, day=day - random.randint(1, 500), kind="inspection", severity=0, **whole)
        add("passes", Pass, reel=reel, day=day - 600, kind="play", count=random.randint(1, 170), **whole)
        if random.random() < 0.3:
            place = random.randint(0, 7_620_000)
            add("splices", Splice, reel=reel, day=day - 600, tape=reel, lo=place)
        if random.random() < 0.5:
            end = random.randint(1_000_000, 7_000_000)
            keep = random.choice(["keep", "discard"])
            take = {"project": "P", "title": "t", "take": "1", "speed": 381_000, "keep": keep, "by": "Ada Quill"}
            add("takes", Take, reel=reel, day=day - 700, tape=reel, lo=500_000, hi=end, **take)
    calendar = Calendar("UTC")
    return House(Record(rows), calendar, end_of_day(calendar, day))


def house(reels: int, takes: int) -> None:
    """A pick over a large house, its advice worked out already; in order and not, with part used reels too."""
    held_house = large_house(reels, 1)
    request = Request((1,), Speed(381_000))
    begun = time.perf_counter()
    known = standings(Judge(held_house), request)
    print(f"standings of {reels} reels: {time.perf_counter() - begun:.2f} s")
    print("takes                 grade     order  part used  sort s  plan s  reels  bound  best")
    for lengths in ([240] * takes, songs(takes, Random(3)), any_lengths(takes, Random(4))):
        for grade, any_order, part_used in (
            ("standard", False, False),
            ("standard", True, True),
            ("critical", False, True),
            ("critical", True, False),
        ):
            asked = Request(
                tuple(1_000_000 * s for s in lengths),
                Speed(381_000),
                grade=grade,  # type: ignore[arg-type]
                project="P",
                any_order=any_order,
                part_used=part_used,
            )
            begun = time.perf_counter()
            found, _ = sort_out(known, asked, held_house.rules, ())
            sorted_s = time.perf_counter() - begun
            begun = time.perf_counter()
            planned = plan(found, asked, held_house.rules)
            took = time.perf_counter() - begun
            spread = f"{len(lengths)} of {min(lengths)} to {max(lengths)} s"
            order = "any" if any_order else "given"
            print(
                f"{spread:20}  {grade:8}  {order:5}  {part_used!s:9}  {sorted_s:6.2f}  {took:6.2f}  "
                + ("none" if planned is None else f"{len(planned.reels):5}  {planned.bound:5}  {planned.proved_best}"),
                flush=True,
            )


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("what", nargs="*", default=["classes", "sessions"])
    parser.add_argument("--seeds", type=int, default=0)
    parser.add_argument("--takes", type=int, nargs="*", default=[60, 120, 200, 400])
    parser.add_argument("--reels", type=int, default=10_000)
    given = parser.parse_args()
    if "classes" in given.what:
        classes(given.seeds or 20)
    if "house" in given.what:
        house(given.reels, given.takes[0] if len(given.takes) == 1 else 20)
    if "sessions" in given.what:
        sessions(given.seeds or 25, given.takes)


if __name__ == "__main__":
    main()
