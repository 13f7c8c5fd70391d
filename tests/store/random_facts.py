"""Random facts of every kind, made from the table of kinds by the types of their columns."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from random import Random

from stock.core.facts import Fact, Stretch, Value
from stock.core.kinds import BY_NAME, KINDS, Column, Kind, columns

TEXTS = (
    "",
    "A-0001",
    "side [A] take [/]",
    "=SUM(1)",
    'it\'s "so"',
    "Tonbänder, 録音, 🎚",
    "two\nlines\tand a tab",
    r"\u0000 spelled out",
    "x" * 300,
)
NUMBERS = (0, 1, -1, 254, 7_620_000, 1 << 40, (1 << 63) - 1, -(1 << 63))


def random_facts(rng: Random, number: int, first_target: int = 1) -> Iterator[Fact]:
    """So many facts, kind by kind in turn; the voids among them take back the numbers from first_target up."""
    targets = count(first_target)
    for i in range(number):
        kind = KINDS[i % len(KINDS)]
        yield random_fact(rng, kind, next(targets) if kind.name == "void" else None)


def random_fact(rng: Random, kind: Kind, target: int | None = None) -> Fact:
    """One fact with values of the right types, some empty where they may be, on none to three stretches of tape."""
    values = tuple(target if column.name == "target" else _value(rng, column) for column in columns(kind))
    stretches = rng.choice((0, 1, 1, 2, 3)) if kind.placed != "no" else 0
    places = tuple(Stretch(rng.choice(TEXTS[1:]), n, n + rng.randrange(9999)) for n in range(stretches))
    return Fact(kind, values, places)


def _value(rng: Random, column: Column) -> Value:
    if column.nullable and rng.random() < 0.4:
        return None
    return rng.choice(NUMBERS) if column.integer else rng.choice(TEXTS)


def note_of(number: int) -> Fact:
    """A small fact that is told from others by a number."""
    kind = BY_NAME["move"]
    given: dict[str, Value] = {"reel": f"R-{number}", "day": 20_000, "kind": "out"}
    return Fact(kind, tuple(given.get(column.name) for column in columns(kind)))
