"""A small house to enter facts into, and the demo house loaded once and copied."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from stock.desk.desk import Desk

from .entries import BEFORE
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


@pytest.fixture(scope="session")
def small_files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The small house, and the same with what the entries refer to, in databases nobody writes to."""
    made = []
    opened = open_desk(tmp_path_factory.mktemp("small"))
    for facts in (SMALL, BEFORE):
        for kind, cells in facts:
            opened.add(kind, cells)
        made.append(Path(shutil.copyfile(opened.store.path, tmp_path_factory.mktemp("small") / "house.db")))
    opened.close()
    return made[0], made[1]


@pytest.fixture
def desk(small_files: tuple[Path, Path], tmp_path: Path) -> Iterator[Desk]:
    """Three sealed reels of 2500 ft."""
    yield from copied(small_files[0], tmp_path)


@pytest.fixture
def known(small_files: tuple[Path, Path], tmp_path: Path) -> Iterator[Desk]:
    """The small house with a take, a transfer, a copy, a hold and an order."""
    yield from copied(small_files[1], tmp_path)


def copied(file: Path, folder: Path) -> Iterator[Desk]:
    """A database copied and opened, closed in the end."""
    shutil.copyfile(file, folder / "house.db")
    opened = open_desk(folder)
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
    yield from copied(demo_file, tmp_path)


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
