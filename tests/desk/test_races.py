"""Two people at once, and one who is cut off: no wipe past a hold, no entry lost, nothing stored by half."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from select import select

import pytest

import stock
from stock.store.check import check

from . import desk_process
from .conftest import SMALL
from .houses import facts_of, load_well, open_desk, write_house

ROOT = Path(stock.__file__).parents[1]
ROUNDS = 300


@contextmanager
def running(role: str, database: Path, *more: Path) -> Iterator[subprocess.Popen[str]]:
    """A program beside this one that has opened the database."""
    command = [sys.executable, desk_process.__file__, role, str(database), *map(str, more)]
    with subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as process:
        try:
            assert hear(process) == "ready"
            yield process
        finally:
            assert process.stdin is not None
            process.stdin.close()
            process.wait()


def send(process: subprocess.Popen[str], words: object) -> None:
    assert process.stdin is not None
    process.stdin.write(f"{words}\n")
    process.stdin.flush()


def hear(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    return process.stdout.readline().strip()


def written(journal: Path) -> bool:
    """Whether a transaction has begun to change the database, and not ended."""
    return journal.exists() and journal.stat().st_size > 0


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with a blank reel for each round."""
    folder = tmp_path_factory.mktemp("shelf")
    rows: dict[str, list[dict[str, str]]] = {}
    files = {"formulation": "formulations", "stock-item": "stock_items", "machine": "machines", "reel": "reels"}
    for kind, cells in SMALL:
        if kind in files:
            rows.setdefault(f"{files[kind]}.csv", []).append(cells)
    usual = rows["reels.csv"][0]
    rows["reels.csv"] = [usual | {"reel": f"R{number}"} for number in range(ROUNDS)]
    desk = open_desk(folder)
    load_well(desk, write_house(rows, folder / "folder"))
    desk.close()
    return desk.store.path


@pytest.mark.parametrize(("role", "table"), [("waste", "edits"), ("out", "moves"), ("wipe", "wipes")])
def test_a_hold_and_what_it_bars_never_both_win(shelf: Path, tmp_path: Path, role: str, table: str) -> None:
    """Whichever comes first holds: what a hold bars is never recorded after the hold."""
    path = Path(shutil.copyfile(shelf, tmp_path / "house.db"))
    answers = []
    with running("hold", path) as holder, running(role, path) as other:
        for number in range(ROUNDS):
            pair = (holder, other) if number % 2 else (other, holder)
            for process in pair:
                send(process, f"R{number}")
            assert hear(holder) == "held"
            answers.append(hear(other))
    desk = open_desk(tmp_path)
    with desk.store.reading() as reader:
        held: dict[str, int] = dict(reader.raw("SELECT reel, line FROM holds"))
        barred: dict[str, int] = dict(reader.raw(f"SELECT reel, line FROM {table}"))
    desk.close()
    assert len(held) == ROUNDS
    assert barred.keys() == {f"R{number}" for number, answer in enumerate(answers) if answer == "done"}
    assert [reel for reel, line in barred.items() if line > held[reel]] == []
    assert set(answers) == {"done", "refused"}, "one of the two always came first, which says nothing"
    assert check(path) == []


def test_two_desks_adding_at_once_lose_nothing(shelf: Path, tmp_path: Path) -> None:
    path = Path(shutil.copyfile(shelf, tmp_path / "house.db"))
    with running("add-one", path) as one, running("add-two", path) as two:
        for process in (one, two):
            send(process, 200)
        assert (hear(one), hear(two)) == ("added", "added")
    desk = open_desk(tmp_path)
    with desk.store.reading() as reader:
        rows = reader.raw('SELECT entry, note, "by" FROM passes ORDER BY entry')
    desk.close()
    assert sorted(note for _, note, _ in rows) == sorted(
        f"{who} {n}" for who in ("add-one", "add-two") for n in range(200)
    )
    assert all(note.startswith(by) for _, note, by in rows)
    first = rows[0][0]
    assert [entry for entry, _, _ in rows] == list(range(first, first + 400))
    order = [by for _, _, by in rows]
    assert any(before != after for before, after in zip(order[50:350], order[51:351], strict=True)), "they took turns"
    assert check(path) == []


def test_a_load_killed_at_any_point_leaves_all_or_nothing(shelf: Path, tmp_path: Path) -> None:
    rng = Random(4)
    passes = [{"reel": f"R{n % ROUNDS}", "date": "2026-03-02", "kind": "play", "note": str(n)} for n in range(6_000)]
    folder = write_house({"passes.csv": passes}, tmp_path / "folder")
    outcomes = []
    in_mid_write = 0
    for number in range(20):
        house = tmp_path / str(number)
        house.mkdir()
        path = Path(shutil.copyfile(shelf, house / "house.db"))
        journal = path.with_name("house.db-journal")
        with running("load", path, folder) as process:
            assert process.stdout is not None
            send(process, "go")
            assert hear(process) == "begun"
            if number % 2:
                # from when it writes on; the others at any point before or after
                while not written(journal) and not select([process.stdout], [], [], 0)[0]:
                    pass
            for _ in range(rng.randrange(2_000_000)):
                pass
            os.kill(process.pid, signal.SIGKILL)
            process.wait()
            in_mid_write += written(journal)
        desk = open_desk(house)
        stored = sum(fact.kind.name == "pass" for fact in facts_of(desk))
        assert stored in (0, len(passes))
        outcomes.append(stored)
        assert check(path) == []
        # what was cut off is loaded as if nothing had been
        assert load_well(desk, folder).added.get("passes", 0) == len(passes) - stored
        desk.close()
    assert in_mid_write > 3, "too few kills came in mid-write to say anything"
    assert outcomes.count(0) > 3
