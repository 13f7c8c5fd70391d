"""The guarded wipe on the command line: its steps, its questions, its certificate."""

from __future__ import annotations

from itertools import count
from pathlib import Path

import pytest

from stock.cli.demo import NOW_US
from stock.cli.settings import Settings
from stock.desk.proving import prove
from tests.cli.conftest import Call
from tests.proof.waves import track_file

DAY_US = 86_400_000_000
WEEKS_AGO_US = NOW_US - 16 * DAY_US
SECONDS = 2


@pytest.fixture
def proved(tmp_path: Path) -> Path:
    """A house with a reel W-1 whose take is proved by copies last read 16 days ago."""
    stretch = {"reel": "W-1", "start": "1:00", "end": f"1:0{SECONDS}", "speed": "15 ips"}
    shape = {"tracks": "1,2", "sample_rate_hz": "48 kHz", "bit_depth": "24"}
    for copy in ("a", "b"):
        for track in (1, 2):
            track_file(tmp_path / copy, track, seconds=SECONDS)
    house = tmp_path / "own" / "house.db"
    clock = count(WEEKS_AGO_US, 1_000_000)
    with Settings(database=str(house), who="Ann", now_us=lambda: next(clock)).entering() as desk:
        desk.add("formulation", {"formulation": "Corvane C40"})
        item = {"stock_item": "two", "formulation": "Corvane C40", "width": "2 in", "length": "2500 ft"}
        desk.add("stock-item", item)
        desk.add("reel", {"reel": "W-1", "stock_item": "two", "tracks": "2", "owner": "house", "arrived_as": "sealed"})
        desk.add("project", {"project": "Kelp", "client": "house"})
        desk.add("take", {**stretch, "project": "Kelp", "title": "Ferry Song", "take": "1"})
        desk.add("transfer", {**stretch, **shape, "transfer": "W-T"})
        desk.add("listen", {"transfer": "W-T"})
        for copy, place in (("a", "here"), ("b", "elsewhere")):
            read = prove(desk, "W-T", tmp_path / copy, medium=f"disk {copy}", place=place, own_medium=True)
            assert read.report.passed, read.report.remarks
    return house


def test_the_steps_one_after_another_read_a_copy_again(call: Call, proved: Path, tmp_path: Path) -> None:
    places = call("wipe", "places", "W-1", "--json", on=proved).answer["places"]
    assert len(places) == 3
    heard = [part for _ in places for part in ("--heard", "Ferry Song")]
    ran = call("wipe", "permit", "W-1", "--label", "W-1", *heard, "--json", on=proved)
    assert ran.status == 0, ran.err
    assert "Reading copies through once more" in ran.err
    assert "Bulk eraser" in ran.err
    done = call("wipe", "done", "W-1", "--method", "bulk", "--json", on=proved)
    entry = str(done.answer["entry"])
    assert call("advise", "W-1", "--json", on=proved).answer["reels"][0]["verdict"] == "inspect"
    text = call("wipe", "certificate", entry, on=proved).out
    assert "Ferry Song/1" in text
    assert "gap_s: 0:05" in text
    page = tmp_path / "page.pdf"
    assert call("wipe", "certificate", entry, "--pdf", str(page), on=proved).status == 0
    assert page.read_bytes().startswith(b"%PDF-")
    assert call("wipe", "certificate", "1", on=proved).status == 1


def test_a_copy_that_is_not_the_same_any_more_refuses(call: Call, proved: Path, tmp_path: Path) -> None:
    victim = next((tmp_path / "a").glob("*.wav"))
    content = bytearray(victim.read_bytes())
    content[-1_000] ^= 1
    victim.write_bytes(content)
    ran = call("wipe", "permit", "W-1", "--label", "W-1", *["--heard", "Ferry Song"] * 3, on=proved)
    assert ran.status == 1
    assert "failed its newest check" in ran.err
    assert call("wipe", "done", "W-1", "--method", "bulk", on=proved).status == 1


def test_a_medium_that_is_away_is_asked_for_by_name(call: Call, proved: Path, tmp_path: Path) -> None:
    for copy in ("a", "b"):
        (tmp_path / copy).rename(tmp_path / f"{copy} away")
    ran = call("wipe", "permit", "W-1", "--label", "W-1", *["--heard", "Ferry Song"] * 3, on=proved)
    assert ran.status == 1
    assert "mount one of: disk a, disk b" in ran.err
    assert "was read through in the last 7 days" in ran.err


@pytest.mark.parametrize("args", [[], ["--label", "W-1"], ["--heard", "x"]])
def test_without_a_terminal_nothing_is_asked(call: Call, proved: Path, args: list[str]) -> None:
    ran = call("wipe", "permit", "W-1", *args, on=proved)
    assert ran.status == 2
    assert "no terminal to ask at" in ran.err


@pytest.mark.parametrize("step", [["permit", "W-1"], ["done", "W-1", "--method", "bulk"]])
def test_no_day_asked_for_reaches_a_wipe(call: Call, proved: Path, step: list[str]) -> None:
    ran = call("wipe", *step, "--today", "2026-11-20", on=proved)
    assert ran.status == 2
    assert "--today" in ran.err
