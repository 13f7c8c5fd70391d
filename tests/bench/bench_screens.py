"""The screens' speed: first paint beside a trivial program, keys and typing to paint in long lists; run by hand.

    python -m tests.bench.bench_screens [ROWS ...]

Each program runs in a terminal of its own, and time is taken from the bytes of a key to the bytes of the picture. The
list is filled with made-up rows, so that it is the drawing that is measured and not the verdicts.
"""

from __future__ import annotations

import argparse
import sqlite3
import statistics
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from stock.desk.desk import Desk
from stock.desk.shelf import Shelf, shelf_path
from tests.tui.terminal import DOWN, END, HOME, PAGE_DOWN, PAGE_UP, UP, Terminal

PRESSES = 150
STARTS = 11
LETTERS = "holfield"
SEARCHES = 20

TRIVIAL = """
from textual.app import App
from textual.widgets import Static
class Trivial(App):
    def compose(self):
        yield Static("the first picture")
Trivial().run()
"""
OURS = """
import sys
def opening():
    from stock.desk.desk import Desk
    return Desk.open(sys.argv[1], "Ann")
from tui.app import run
sys.exit(run(opening))
"""


@contextmanager
def house(rows: int) -> Iterator[str]:
    """The path of a house whose list holds so many made-up reels; its stamp is right, so none is worked out anew."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "house.db"
        desk = Desk.open(path, "Ann")
        shelf = Shelf(desk)
        shelf.refresh()
        shelf.close()
        fill(shelf_path(desk.store.path), rows)
        desk.close()
        yield str(path)


def fill(path: Path, rows: int) -> None:
    """Put made-up reels into a list."""
    rng = Random(7)
    words = [first + last for first in ("hol", "mar", "ten", "wick", "sal") for last in ("lane", "field", "moor")]
    verdicts = ("clear", "blank", "inspect", "keep", "retire")
    connection = sqlite3.connect(path)
    for number in range(1, rows + 1):
        rank = rng.randrange(5)
        reel, projects = f"R-{number:06d}", f"{rng.choice(words)} {rng.choice(words)}"
        says = "" if rank < 2 else "a take on it has never been transferred since it was recorded"
        row = (
            number, reel, verdicts[rank], "standard" if rank < 2 else "", rng.randrange(7_000_000),
            rng.randrange(3_000),
            rng.randrange(4), "K40-2-2500", "Kelwin 40", 24, 7_620_000, "house", f"{rng.randrange(90)}-1", projects,
            says, "", rank,
        )  # fmt: skip
        connection.execute(f"INSERT INTO shelf VALUES ({', '.join('?' * len(row))})", row)
        connection.execute("INSERT INTO shelf_words (rowid, words) VALUES (?, ?)", (number, f"{reel} house {projects}"))
    connection.commit()
    connection.close()


def first_paint_ms(code: str, *args: str, shows: bytes) -> float:
    """From the start of the process to the bytes of its first picture."""
    terminal = Terminal(code, *args)
    try:
        took = (terminal.read_until(shows) - terminal.started) * 1000
        terminal.read_rest(0.5)
        terminal.send(b"q\x11")
        terminal.end()
        return took
    finally:
        terminal.close()


def keys_ms(path: str, rows: int) -> dict[str, list[float]]:
    """From a key to the picture that shows it; for typing, to the first reels found."""
    terminal = Terminal(OURS, path)
    took: dict[str, list[float]] = {"arrow": [], "page": [], "an end": [], "search": []}
    try:
        terminal.read_until(b"looked at")
        terminal.send(b"2")
        terminal.read_until(b"%d reels" % rows)
        terminal.read_rest(1.5)
        for keys, name, times in (
            ((DOWN,), "arrow", PRESSES),
            ((PAGE_DOWN,), "page", PRESSES),
            ((UP, DOWN), "arrow", PRESSES // 2),
            ((PAGE_UP,), "page", PRESSES),
            ((END, HOME), "an end", 10),
        ):
            for _ in range(times):
                for key in keys:
                    start = terminal.send(key)
                    took[name].append((terminal.read_until(b".") - start) * 1000)
                    terminal.read_rest()
        terminal.send(b"/")
        terminal.read_rest()
        for letter in LETTERS * SEARCHES:
            start = terminal.send(letter.encode())
            took["search"].append((terminal.read_until(rb"R-\d{6}") - start) * 1000)
            terminal.read_rest()
            if len(took["search"]) % len(LETTERS) == 0:
                terminal.send(b"\x15")
                terminal.read_rest(0.3)
        terminal.send(b"\x11")
        terminal.end()
        return took
    finally:
        terminal.close()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("rows", nargs="*", type=int, default=[10_000, 100_000])
    with house(0) as path:
        paints: dict[str, list[float]] = {"trivial": [], "ours": []}
        for _ in range(STARTS):
            paints["trivial"].append(first_paint_ms(TRIVIAL, shows=b"the first picture"))
            paints["ours"].append(first_paint_ms(OURS, path, shows=b"Opening the house"))
    trivial, ours = (statistics.median(paints[name]) for name in ("trivial", "ours"))
    print(f"first paint: trivial {trivial:.0f} ms, ours {ours:.0f} ms, ratio {ours / trivial:.2f} (at most 1.35)")
    for rows in parser.parse_args().rows:
        with house(rows) as path:
            for name, took in keys_ms(path, rows).items():
                p95 = statistics.quantiles(took, n=20)[-1]
                print(f"{rows} reels, {name}: median {statistics.median(took):.1f} ms, 95 % within {p95:.1f} ms")


if __name__ == "__main__":
    main()
