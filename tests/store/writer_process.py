"""Programs the crash tests run beside themselves: `python writer_process.py MODE [PATH] [ROLE]`.

serve: for each path read from standard input, a child that adds line after line to that store until it is killed.
once: adds three lines. race: for each round number read, takes that round's reel if nobody has.
Everything acknowledged is written to standard output in one call, after the commit returned.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from random import Random

from stock.core.facts import Fact, Stretch, Value
from stock.core.kinds import BY_NAME, Kind, columns
from stock.store.journal import Line
from stock.store.store import Store

NOW_US = 1_750_000_000_000_000


def say(words: str) -> None:
    os.write(1, f"{words}\n".encode())


def fact(kind: Kind, reel: str) -> Fact:
    """A fact of that reel that says nothing but what it must."""
    given: dict[str, Value] = {"reel": reel, "hold": "h", "reason": "r", "method": "bulk", "kind": "play"}
    places = (Stretch(reel, 0, 10), Stretch("T2", 0, 10))
    return Fact(kind, tuple(given.get(column.name) for column in columns(kind)), places)


def add(store: Store, facts: Iterable[Fact]) -> Line:
    with store.writing() as writer:
        line = writer.add(facts, who="Ann", what="test", at_us=NOW_US)
        writer.commit()
    return line


def write_until_killed(path: str) -> None:
    store = Store.open(path)
    rng = Random(path)
    while True:
        size = rng.choice((1, 20, 400))
        line = add(store, [fact(BY_NAME["pass"], f"R-{n % 50}") for n in range(size)])
        say(f"ack {line.line} {line.facts} {line.sha256}")


def serve() -> None:
    for path in sys.stdin:
        child = os.fork()
        if child == 0:
            say(f"pid {os.getpid()}")
            write_until_killed(path.rstrip("\n"))
        os.waitpid(child, 0)
        say("dead")


def once(path: str) -> None:
    store = Store.open(path)
    for _ in range(3):
        line = add(store, [fact(BY_NAME["pass"], "R-1")] * 200)
        say(f"ack {line.line} {line.facts} {line.sha256}")
    store.close()


def race(path: str, role: str) -> None:
    store = Store.open(path)
    for number in sys.stdin:
        reel = f"R-{int(number)}"
        with store.writing() as writer:
            taken = writer.raw(
                "SELECT 1 FROM holds WHERE reel = ? UNION ALL SELECT 1 FROM wipes WHERE reel = ?", (reel,) * 2
            )
            if not taken:
                writer.add([fact(BY_NAME[role], reel)], who=role, what="race", at_us=NOW_US)
                writer.commit()
        say("lost" if taken else "won")
    store.close()


if __name__ == "__main__":
    modes: dict[str, Callable[..., None]] = {"serve": serve, "once": once, "race": race}
    modes[sys.argv[1]](*sys.argv[2:])
