"""Answers and loads of a large house beside the plain reads and writes they rest on; run by hand.

    python -m tests.bench.bench_advise

Every figure of a whole house is taken in a fresh process, the fastest of three, each side in turn. The plain side uses
sqlite3 alone: `fetchall` of every row the answers rest on, the columns they need and no more.
"""

from __future__ import annotations

import argparse
import csv
import json
import resource
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from stock.core.kinds import KINDS
from stock.core.record import ROWS, fields_of
from stock.desk.desk import Desk
from stock.desk.exchanging import load
from stock.store.rows import LAYOUTS
from tests.bench import bench_store
from tests.bench.bench_house import NOW_US, build, number_of

RUNS = 3
SAMPLE = 40
LATER_US = NOW_US + 3_600_000_000


def seconds(does: Callable[[], object]) -> float:
    """How long it takes."""
    begun = time.perf_counter()
    does()
    return time.perf_counter() - begun


def opened(path: Path) -> Desk:
    return Desk.open(path, "Ada Quill", create=False, now_us=lambda: LATER_US)


def read_all(path: Path) -> None:
    """Every row that answers rest on, held in memory."""
    held = []
    with closing(sqlite3.connect(path)) as connection:
        for file in ROWS:
            names = ", ".join(f'"{name}"' for name in fields_of(file))
            held.append(connection.execute(f"SELECT {names} FROM {file}").fetchall())
        held.append(connection.execute("SELECT entry, tape, lo, hi FROM places ORDER BY entry, seq").fetchall())
        held.append(connection.execute("SELECT target, entry FROM voids").fetchall())


def advise_all(path: Path) -> None:
    """The verdict of every reel, from opening the database on."""
    desk = opened(path)
    for _ in desk.advise():
        pass
    desk.close()


def one_reel(path: Path) -> dict[str, float]:
    """Milliseconds, medians: entering a fact, the verdict after it, and a reel's page beside the plain reads of it."""
    desk = opened(path)
    with desk.store.reading() as reader:
        ((reels,),) = reader.raw("SELECT count(*) FROM reels")
    numbers = [number_of(index) for index in range(3, reels, max(1, reels // SAMPLE))]
    times: dict[str, list[float]] = {"add": [], "verdict": [], "page": [], "plain": []}
    for number in numbers:
        cells = {"reel": number, "kind": "play"}
        times["add"].append(seconds(lambda cells=cells: desk.add("pass", cells)))  # type: ignore[misc]
        times["verdict"].append(seconds(lambda number=number: list(desk.advise([number]))))  # type: ignore[misc]
    with closing(sqlite3.connect(path)) as connection:
        for number in numbers:
            times["plain"].append(seconds(lambda number=number: read_page(connection, number)))  # type: ignore[misc]
            times["page"].append(seconds(lambda number=number: desk.history(number)))  # type: ignore[misc]
    desk.close()
    return {name: 1000 * statistics.median(found) for name, found in times.items()}


def read_page(connection: sqlite3.Connection, reel: str) -> None:
    """Every fact that names a reel, lies on its tape, or is said of its transfers, takes and holds; plainly read."""
    held = []
    for kind in KINDS:
        layout = LAYOUTS[kind.file]
        where = [column for column, there in (("reel", layout.has_reel), ("tape", layout.placed)) if there]
        for column in where:
            held.append(connection.execute(f"{layout.select} WHERE {column} = ?", (reel,)).fetchall())
    transfers = connection.execute("SELECT transfer FROM transfers WHERE tape = ?", (reel,)).fetchall()
    for (transfer,) in transfers:
        for file in ("listens", "copies", "copy_checks"):
            held.append(connection.execute(f"{LAYOUTS[file].select} WHERE transfer = ?", (transfer,)).fetchall())


def load_passes(folder: Path, passes: int, reels: int) -> dict[str, float]:
    """Seconds: so many passes from a CSV file into a house of their reels, beside executemany of ready rows."""
    path = folder / "loaded.db"
    build(path, reels, 0)
    written = folder / "passes.csv"
    with written.open("w", encoding="utf-8", newline="") as out:
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(("reel", "date", "kind", "start", "end", "speed", "machine", "by", "note"))
        for n in range(passes):
            minute = f"2026-{n % 8 + 1:02d}-{n % 28 + 1:02d}T{n % 24:02d}:{n % 60:02d}Z"
            start, end = n % 17 * 100, n % 17 * 100 + 700
            rows.writerow(
                (number_of(n % reels), minute, "play", f"{start} ft", f"{end} ft", "15 ips", "deck one", "Bo Tarn", "")
            )
    desk = opened(path)
    problems = []
    load_s = seconds(lambda: problems.append(load(desk, written).found))
    desk.close()
    if problems != [0]:
        raise RuntimeError(f"{problems} problems in the file that was made")
    return {"load_s": load_s, "peak_mb": peak_mb()}


def load_raw(folder: Path, passes: int) -> dict[str, float]:
    """Seconds: executemany of as many rows that are ready."""
    ready = bench_store.rows(passes)
    return {"raw_s": seconds(lambda: bench_store.raw(folder / "raw.db", ready))}


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def step(name: str, path: Path, reels: int, passes: int) -> dict[str, float]:
    """What one fresh process measures."""
    if name == "one":
        return one_reel(path)
    if name == "load":
        return load_passes(path, passes, reels)
    if name == "raw":
        return load_raw(path, passes)
    whole = {"read": read_all, "advise": advise_all}[name]
    return {"s": seconds(lambda: whole(path)), "peak_mb": peak_mb()}


def fresh(name: str, path: Path, reels: int = 0, passes: int = 0) -> dict[str, float]:
    """A step in a process of its own."""
    command = [sys.executable, "-m", __spec__.name, "--step", name, "--path", str(path)]
    command += ["--reels", str(reels), "--passes", str(passes)]
    found: dict[str, float] = json.loads(subprocess.run(command, check=True, stdout=subprocess.PIPE).stdout)
    return found


def whole_house(folder: Path, reels: int, passes: int) -> tuple[Path, float]:
    """Build a house, print what its answers cost beside reading it, and return its file and the time of `advise`."""
    path = folder / f"house-{reels}.db"
    build(path, reels, passes)
    opened(path).close()  # the day's backup is made here, outside what is measured
    runs = [(fresh("read", path), fresh("advise", path)) for _ in range(RUNS)]
    read_s, advise_s = (min(run[side]["s"] for run in runs) for side in (0, 1))
    read_mb, advise_mb = (max(run[side]["peak_mb"] for run in runs) for side in (0, 1))
    print(
        f"{reels:>7} reels, {passes:>9} passes: read {read_s:6.2f} s {read_mb:5.0f} MB, "
        f"advise {advise_s:6.2f} s {advise_mb:5.0f} MB, ratio {advise_s / read_s:.2f}",
        flush=True,
    )
    return path, advise_s


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--reels", type=int, default=10_000)
    parser.add_argument("--passes", type=int, default=1_000_000)
    parser.add_argument("--step", help="one measurement, as the bench calls itself")
    parser.add_argument("--path", type=Path)
    given = parser.parse_args()
    if given.step:
        print(json.dumps(step(given.step, given.path, given.reels, given.passes)))
        return
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _, few_s = whole_house(folder, given.reels // 10, given.passes // 10)
        path, many_s = whole_house(folder, given.reels, given.passes)
        print(f"ten times the reels: {many_s / few_s:.1f} times the time of advise")
        one = fresh("one", path)
        print(f"one reel: add {one['add']:.1f} ms, verdict after it {one['verdict']:.1f} ms")
        print(
            f"its page {one['page']:.1f} ms, plain reads {one['plain']:.1f} ms, ratio {one['page'] / one['plain']:.2f}"
        )
        raw, loaded = fresh("raw", folder, passes=given.passes), fresh("load", folder, given.reels, given.passes)
        print(
            f"{given.passes} passes from CSV: raw executemany {raw['raw_s']:.2f} s, load {loaded['load_s']:.2f} s "
            f"({loaded['peak_mb']:.0f} MB), ratio {loaded['load_s'] / raw['raw_s']:.2f}"
        )


if __name__ == "__main__":
    main()
