"""The guarded wipe on the command line: its steps, its questions, its certificate."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.cli.demo import NOW_US
from tests.cli.conftest import Call
from tests.proved_house import DAY_US, REEL, TITLE, damage, proved_house

HEARD = ["--heard", TITLE] * 3


@pytest.fixture
def proved(tmp_path: Path) -> Path:
    """A house with a reel W-1 whose take is proved by copies last read 10 days ago."""
    desk = proved_house(tmp_path, NOW_US - DAY_US, read_days_ago=9)
    desk.close()
    return desk.store.path


def test_the_steps_one_after_another_read_a_copy_again(call: Call, proved: Path, tmp_path: Path) -> None:
    assert len(call("wipe", "places", REEL, "--json", on=proved).answer["places"]) == 3
    ran = call("wipe", "permit", REEL, "--label", REEL, *HEARD, "--json", on=proved)
    assert ran.status == 0, ran.err
    assert "Reading copies through once more" in ran.err
    assert "Bulk eraser" in ran.err
    done = call("wipe", "done", REEL, "--method", "bulk", "--json", on=proved)
    entry = str(done.answer["entry"])
    assert call("advise", REEL, "--json", on=proved).answer["reels"][0]["verdict"] == "inspect"
    text = call("wipe", "certificate", entry, on=proved).out
    assert f"{TITLE}/1" in text
    assert "gap_s: 0:05" in text
    page = tmp_path / "page.pdf"
    assert call("wipe", "certificate", entry, "--pdf", str(page), on=proved).status == 0
    assert page.read_bytes().startswith(b"%PDF-")
    assert call("wipe", "certificate", "1", on=proved).status == 1


def test_a_copy_that_is_not_the_same_any_more_refuses(call: Call, proved: Path, tmp_path: Path) -> None:
    damage(tmp_path / "a")
    ran = call("wipe", "permit", REEL, "--label", REEL, *HEARD, on=proved)
    assert ran.status == 1
    assert "failed its newest check" in ran.err
    assert call("wipe", "done", REEL, "--method", "bulk", on=proved).status == 1


def test_a_medium_that_is_away_is_asked_for_by_name(call: Call, proved: Path, tmp_path: Path) -> None:
    for copy in ("a", "b"):
        (tmp_path / copy).rename(tmp_path / f"{copy} away")
    ran = call("wipe", "permit", REEL, "--label", REEL, *HEARD, on=proved)
    assert ran.status == 1
    assert "mount one of: disk a, disk b" in ran.err
    assert "was read through in the last 7 days" in ran.err


@pytest.mark.parametrize("args", [[], ["--label", REEL], ["--heard", "x"]])
def test_without_a_terminal_nothing_is_asked(call: Call, proved: Path, args: list[str]) -> None:
    ran = call("wipe", "permit", REEL, *args, on=proved)
    assert ran.status == 2
    assert "no terminal to ask at" in ran.err


@pytest.mark.parametrize("step", [["permit", REEL], ["done", REEL, "--method", "bulk"]])
def test_no_day_asked_for_reaches_a_wipe(call: Call, proved: Path, step: list[str]) -> None:
    ran = call("wipe", *step, "--today", "2026-11-20", on=proved)
    assert ran.status == 2
    assert "--today" in ran.err
