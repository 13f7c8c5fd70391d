"""What other rules would make of a large house: seconds, with the list of reels up to date and without; run by hand.

python -m tests.bench.bench_rules
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from stock.desk.desk import Desk
from stock.desk.house_rules import try_rules
from stock.desk.shelf import Shelf
from tests.bench.bench_house import NOW_US, build

TRIED = (
    {"gap_s": "4"},
    {"passes_standard": "60"},
    {"shortest_stretch": "1000 ft"},
    {"cooling_days": "400"},
    {"copy_check_days": "700"},
    {"copies_needed": "1", "passes_scratch": "90"},
    {"time_zone": "Europe/Oslo"},
)


def main() -> None:
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--reels", type=int, default=10_000)
    arguments.add_argument("--passes", type=int, default=1_000_000)
    asked = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "house.db"
        build(path, asked.reels, asked.passes)
        desk = Desk.open(path, "Ada Quill", create=False, now_us=lambda: NOW_US + 3_600_000_000)
        shelf = Shelf(desk)
        begun = time.perf_counter()
        shelf.refresh()
        print(f"{asked.reels} reels, {asked.passes} passes; the list itself {time.perf_counter() - begun:.1f} s")
        print(f"{'tried':45} {'with list':>9} {'without':>9}  changed")
        for rules in TRIED:
            taken = []
            for known in (shelf, None):
                begun = time.perf_counter()
                trial = try_rules(desk, rules, shelf=known)
                taken.append(time.perf_counter() - begun)
            assert trial is not None
            named = ", ".join(f"{name}={value}" for name, value in rules.items())
            print(f"{named:45} {taken[0]:8.1f}s {taken[1]:8.1f}s  {len(trial.effect.moved)}")
        shelf.close()
        desk.close()


if __name__ == "__main__":
    main()
