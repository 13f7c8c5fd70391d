"""A fresh store, and one with a few facts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from stock.store.store import Store

from .random_facts import random_facts

NOW_US = 1_750_000_000_000_000


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "house.db"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    opened = Store.open(path, now_us=lambda: NOW_US)
    yield opened
    opened.close()


@pytest.fixture
def filled(store: Store) -> Store:
    """Three journal lines with 40 facts each."""
    rng = Random(11)
    for number in range(3):
        with store.writing() as writer:
            facts = random_facts(rng, 40, first_target=1 + 40 * number)
            writer.add(facts, who="Ann", what=f"line {number}", at_us=NOW_US + number)
            writer.commit()
    return store
