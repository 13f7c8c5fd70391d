"""How soon the house says what is to be done: cold, warm, and after one entry; run by hand.

    python -m tests.bench.bench_now [REELS PASSES]

Cold works out every reel's answer, as the list of reels does when it is made; warm reads what is kept. The forecast is
asked for apart, and has its own bench.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from stock.desk.desk import Desk
from stock.desk.now import now
from stock.desk.shelf import Shelf
from tests.bench.bench_house import NOW_US, build, number_of

TIMES = 7


def taken_s(what: Callable[[], object]) -> float:
    start = time.perf_counter()
    what()
    return time.perf_counter() - start


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("size", nargs="*", type=int, default=[10_000, 1_000_000], metavar="REELS PASSES")
    reels, passes = parser.parse_args().size
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "house.db"
        build(path, reels, passes)
        desk = Desk.open(path, "Ada Quill", now_us=lambda: NOW_US)
        shelf = Shelf(desk)
        print(f"{reels} reels, {passes} passes")
        print(f"cold, the list made: {taken_s(shelf.refresh):.2f} s")
        found = now(desk, shelf)
        groups = found.groups()
        print(f"tasks: {', '.join(f'{group.code} {group.count}' for group in groups)}")

        def warm() -> None:
            shelf.refresh()
            now(desk, shelf).groups()

        took = sorted(taken_s(warm) for _ in range(TIMES))
        print(f"warm: median {took[TIMES // 2]:.3f} s, worst {took[-1]:.3f} s (goal: under 1 s)")
        after = []
        for number in range(TIMES):
            desk.add("move", {"reel": number_of(number), "kind": "out", "to": "the other house"})
            after.append(taken_s(warm))
        print(f"after an entry: median {sorted(after)[TIMES // 2]:.3f} s, worst {max(after):.3f} s (goal: under 1 s)")
        shelf.close()
        desk.close()


if __name__ == "__main__":
    main()
