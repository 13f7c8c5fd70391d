"""The session log in processes: a take that runs outlives its program; two who log at once lose nothing."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

import stock
from stock.desk.desk import Desk
from stock.desk.session import log
from stock.desk.session.ending import running_takes
from stock.desk.session.loaded import load
from stock.store.check import check

from . import session_process

ROOT = Path(stock.__file__).parents[1]
TAKES = 12


@pytest.fixture
def database(small_files: tuple[Path, Path], tmp_path: Path) -> Path:
    return Path(shutil.copyfile(small_files[0], tmp_path / "house.db"))


@contextmanager
def beside(database: Path) -> Iterator[subprocess.Popen[str]]:
    command = [sys.executable, session_process.__file__, str(database)]
    with subprocess.Popen(
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    ) as process:
        assert process.stdin is not None
        try:
            assert hear(process) == "ready"
            yield process
        finally:
            process.stdin.close()
            process.wait()


def tell(process: subprocess.Popen[str], words: str) -> None:
    assert process.stdin is not None
    process.stdin.write(f"{words}\n")


def hear(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    return process.stdout.readline().strip()


def test_a_take_still_runs_after_its_program_was_killed(database: Path) -> None:
    with beside(database) as process:
        tell(process, "start R1")
        assert hear(process) == "runs"
        process.send_signal(signal.SIGKILL)
        assert process.wait() == -signal.SIGKILL
    assert check(database) == []
    desk = Desk.open(database, "Ada Quill", create=False)
    try:
        assert [(each.reel, each.label, each.by) for each in running_takes(desk)] == [("R1", "river/1", "Bo Tarn")]
        loaded = load(desk, "R1")
        assert loaded.running is not None
        assert loaded.on.clock_at(loaded.running.start) == "2:10"
        (advice,) = desk.advise(["R1"])
        assert advice.verdict == "keep"
        log.stop(desk, "R1", at="4:00")
        assert running_takes(desk) == []
    finally:
        desk.close()


def test_two_who_log_on_two_reels_at_once_lose_nothing(database: Path) -> None:
    with beside(database) as first, beside(database) as second:
        tell(first, f"takes R1 {TAKES}")
        tell(second, f"takes R2 {TAKES}")
        assert [hear(first), hear(second)] == ["logged", "logged"]
    desk = Desk.open(database, "Ada Quill", create=False)
    try:
        house = desk.house(["R1", "R2"])
        for reel in ("R1", "R2"):
            assert sorted(int(take.take) for take in house.takes_of(reel)) == list(range(1, TAKES + 1))
            assert {(take.state, take.title) for take in house.takes_of(reel)} == {("whole", f"of {reel}")}
            assert load(desk, reel).marks == TAKES
        with desk.store.reading() as reader:
            assert reader.raw("SELECT reel, count(*) FROM passes GROUP BY reel") == [("R1", TAKES), ("R2", TAKES)]
    finally:
        desk.close()
    assert check(database) == []
