"""Bulk loading of passes into the store beside sqlite3's own executemany; run by hand.

    python -m tests.bench.bench_store

The raw side fills the same table with none of its indexes and triggers, from rows that are ready; the store's side
takes facts, numbers them, hashes their content, fills the indexed table and writes the journal line, synced.
"""

from __future__ import annotations

import argparse
import resource
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

from stock.core.facts import Fact, Stretch, Value
from stock.core.kinds import BY_NAME, columns
from stock.store.check import check
from stock.store.rows import LAYOUTS
from stock.store.store import Store
from stock.store.verify import Finding

PASS = BY_NAME["pass"]
REELS = 10_000
START_US = 1_600_000_000_000_000


def passes(number: int) -> Iterator[Fact]:
    """Full-length play passes over the reels in turn."""
    names = [column.name for column in columns(PASS)]
    for n in range(number):
        reel = f"R-{n % REELS:05d}"
        given: dict[str, Value] = {
            "reel": reel,
            "at_us": START_US + n,
            "kind": "play",
            "speed": 381_000,
            "machine": "M1",
            "by": "Ann",
        }
        yield Fact(PASS, tuple(map(given.get, names)), (Stretch(reel, 0, 7_620_000),))


def rows(number: int) -> list[tuple[Value, ...]]:
    """The same as rows of the table."""
    return [(entry, 2, START_US, *fact.values, *fact.places[0]) for entry, fact in enumerate(passes(number), start=1)]


def raw(path: Path, ready: list[tuple[Value, ...]]) -> None:
    """Fill a plain strict table in one synced transaction."""
    own = (f'"{column.name}" {"INTEGER" if column.integer else "TEXT"}' for column in columns(PASS))
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute(
            "CREATE TABLE passes (entry INTEGER PRIMARY KEY, line INTEGER, recorded_us INTEGER, "
            f"{', '.join(own)}, tape TEXT, lo INTEGER, hi INTEGER) STRICT"
        )
        connection.execute("BEGIN IMMEDIATE")
        connection.executemany(LAYOUTS[PASS.file].insert, ready)
        connection.execute("COMMIT")


def load(store: Store, facts: list[Fact]) -> None:
    """Add the facts as one command."""
    with store.writing() as writer:
        writer.add(facts, who="Ann", what="bench", at_us=START_US)
        writer.commit()


def seconds(does: Callable[[], object]) -> float:
    """How long it takes."""
    begun = time.perf_counter()
    does()
    return time.perf_counter() - begun


def plain_read(path: Path) -> None:
    """Every row of the passes, with a plain connection."""
    with closing(sqlite3.connect(path)) as connection:
        for _ in connection.execute("SELECT * FROM passes"):
            pass


def raw_s(path: Path, number: int) -> float:
    """How long the plain insert takes, its rows ready beforehand."""
    ready = rows(number)
    return seconds(lambda: raw(path, ready))


def store_s(path: Path, number: int) -> float:
    """How long the store takes, its facts ready beforehand."""
    store = Store.open(path)
    facts = list(passes(number))
    taken_s = seconds(lambda: load(store, facts))
    store.close()
    return taken_s


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--passes", type=int, default=1_000_000)
    number: int = parser.parse_args().passes
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "house.db"
        raw_taken_s = raw_s(Path(folder) / "raw.db", number)
        load_s = store_s(path, number)
        peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        read_s = seconds(lambda: plain_read(path))
        findings: list[Finding] = []
        check_s = seconds(lambda: findings.extend(check(path)))
    assert not findings, findings
    print(
        f"{number} passes: raw executemany {raw_taken_s:.2f} s, store {load_s:.2f} s, ratio {load_s / raw_taken_s:.2f}"
    )
    print(f"check {check_s:.2f} s, plain read {read_s:.2f} s, ratio {check_s / read_s:.2f}; peak {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
