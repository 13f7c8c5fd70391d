"""A small house to enter facts into, and the demo house loaded once and copied."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from stock.desk.desk import Desk

from .houses import DEMO, load_well, open_desk

SMALL = (
    ("formulation", {"formulation": "grey nine", "base": "polyester"}),
    ("stock-item", {"stock_item": "grey nine 2", "formulation": "grey nine", "width": "2 in", "length": "2500 ft"}),
    ("machine", {"machine": "deck one", "width": "2 in", "tracks": "8"}),
    *(
        (
            "reel",
            {
                "reel": reel,
                "stock_item": "grey nine 2",
                "tracks": "8",
                "owner": "house",
                "arrived_as": "sealed",
                "acquired": "2025-01-07",
            },
        )
        for reel in ("R1", "R2", "R3")
    ),
    ("project", {"project": "inn", "release_needed": "no"}),
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """Three sealed reels of 2500 ft."""
    opened = open_desk(tmp_path)
    for kind, cells in SMALL:
        opened.add(kind, cells)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo house in a database nobody writes to."""
    opened = open_desk(tmp_path_factory.mktemp("demo"))
    load_well(opened, DEMO)
    opened.close()
    return opened.store.path


@pytest.fixture
def demo(demo_file: Path, tmp_path: Path) -> Iterator[Desk]:
    """The demo house."""
    shutil.copyfile(demo_file, tmp_path / "house.db")
    opened = open_desk(tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[Callable[[], Desk]]:
    """New empty houses, as many as are asked for."""
    opened: list[Desk] = []

    def another() -> Desk:
        opened.append(open_desk(tmp_path / f"fresh-{len(opened)}"))
        return opened[-1]

    yield another
    for desk in opened:
        desk.close()
