"""A thousand stale permits: whatever arrives between the look and the key, no wipe is entered."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

import pytest

from stock.desk import wiping
from stock.desk.desk import Desk
from stock.desk.wipe_errors import AnswerStale, NoPermit, WipeRefused
from stock.store.store import Store
from tests.desk.clock import Clock
from tests.proved_house import DAY_US, REEL, TITLE, TRANSFER, Ticking, proved_house

ROUNDS = 1_000 if os.environ.get("REELWARD_NIGHTLY") else 400
HASH = "ab" * 32


def at_midnight(desk: Desk) -> None:
    assert isinstance(desk._now_us, Ticking)
    desk._now_us.now_us += DAY_US


ARRIVES: dict[str, Callable[[Desk], object]] = {
    "a hold": lambda desk: desk.add("hold", {"hold": "H", "reel": REEL, "reason": "the client rang"}),
    "a failed check": lambda desk: desk.add(
        "copy-check",
        {"transfer": TRANSFER, "copy": "disk a", "method": "read", "result": "fail", "manifest_sha256": HASH},
    ),
    "a punch-in": lambda desk: desk.add("pass", {"reel": REEL, "kind": "record", "tracks": "2"}),
    "another owner": lambda desk: desk.add("owner", {"reel": REEL, "owner": "The Pellow Sisters"}),
    "midnight": at_midnight,
}


@pytest.fixture
def made(tmp_path: Path) -> Iterator[tuple[Path, int]]:
    desk = proved_house(tmp_path, Clock().now_us)
    desk.close()
    assert isinstance(desk._now_us, Ticking)
    yield desk.store.path, desk._now_us.now_us


def test_no_stale_look_and_no_stale_permit_wipes_a_reel(made: tuple[Path, int], tmp_path: Path) -> None:
    rng = Random(7)
    tried: set[tuple[str, bool]] = set()
    for number in range(ROUNDS):
        folder = tmp_path / str(number)
        folder.mkdir()
        desk = Desk(_opened(made[0], folder, clock := Ticking(made[1])), "Tess Amblin", now_us=clock)
        name, is_permitted = rng.choice(sorted(ARRIVES)), rng.random() < 0.5
        shown = wiping.standing(desk, REEL)
        assert shown.answer.erasable == "yes"
        if is_permitted:
            wiping.permit(desk, REEL, label=REEL, heard=[TITLE] * 3, seen=shown.seen)
        ARRIVES[name](desk)
        with pytest.raises((AnswerStale, NoPermit, WipeRefused)):
            if is_permitted:
                wiping.done(desk, REEL, method="bulk")
            else:
                wiping.permit(desk, REEL, label=REEL, heard=[TITLE] * 3, seen=shown.seen)
        with desk.store.reading() as reader:
            assert reader.raw("SELECT entry FROM wipes") == []
        desk.close()
        shutil.rmtree(folder)
        tried.add((name, is_permitted))
    assert len(tried) == 2 * len(ARRIVES)


def _opened(path: Path, folder: Path, clock: Ticking) -> Store:
    return Store.open(shutil.copyfile(path, folder / "house.db"), create=False, now_us=clock)
