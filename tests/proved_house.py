"""A small house with one reel whose take is proved by real files: for tests of proof and of the guarded wipe."""

from __future__ import annotations

from pathlib import Path

from stock.desk.desk import Desk
from stock.desk.proving import prove
from tests.proof.waves import track_file

DAY_US = 86_400_000_000
REEL, TRANSFER, TITLE = "W-1", "W-T", "Ferry Song"
SECONDS = 2


def copies(folder: Path) -> None:
    """Two folders, `a` and `b`, with the same files of tracks 1 and 2."""
    for copy in ("a", "b"):
        for track in (1, 2):
            track_file(folder / copy, track, seconds=SECONDS)


def proved_house(folder: Path, now_us: int, *, read_days_ago: int = 0) -> Desk:
    """The house as of a moment: W-1 was recorded 16 days before, and its copies read so many days before.

    Its clock goes on by a second each time it is looked at. The copies' folders lie beside it.
    """
    clock = Ticking(now_us - 16 * DAY_US)
    desk = Desk.open(folder / "own" / "house.db", "Tess Amblin", now_us=clock)
    copies(folder)
    stretch = {"reel": REEL, "start": "1:00", "end": f"1:0{SECONDS}", "speed": "15 ips"}
    shape = {"tracks": "1,2", "sample_rate_hz": "48 kHz", "bit_depth": "24"}
    desk.add("formulation", {"formulation": "Corvane C40", "base": "polyester"})
    desk.add("stock-item", {"stock_item": "two", "formulation": "Corvane C40", "width": "2 in", "length": "2500 ft"})
    desk.add("machine", {"machine": "Deck 2", "tracks": "2"})
    for reel in (REEL, "W-2"):
        cells = {"reel": reel, "stock_item": "two", "tracks": "2", "owner": "house", "arrived_as": "sealed"}
        desk.add("reel", cells)
    desk.add("project", {"project": "Kelp", "client": "house"})
    desk.add("take", {**stretch, "project": "Kelp", "title": TITLE, "take": "1", "tracks": "1 kick; 2 snare"})
    desk.add("take", {**stretch, "reel": "W-2", "project": "Kelp", "title": "Tide", "take": "1"})
    desk.add("transfer", {**stretch, **shape, "transfer": TRANSFER})
    desk.add("listen", {"transfer": TRANSFER})
    if read_days_ago:
        clock.now_us = now_us - read_days_ago * DAY_US
    else:
        clock.now_us = now_us
    read_both(desk, folder)
    clock.now_us = max(clock.now_us, now_us)
    desk.add("finding", {"reel": REEL, "kind": "inspection", "severity": "0"})
    return desk


def read_both(desk: Desk, folder: Path) -> None:
    """Prove both copies: copy `a` on a disk here, `b` on one elsewhere."""
    for copy, place in (("a", "here"), ("b", "elsewhere")):
        read = prove(desk, TRANSFER, folder / copy, medium=f"disk {copy}", place=place, own_medium=True)
        assert read.report.passed, read.report.remarks


def damage(folder: Path) -> None:
    """Flip one bit of a file of the copy in a folder."""
    victim = min(folder.rglob("*.wav"))
    content = bytearray(victim.read_bytes())
    content[-1_000] ^= 1
    victim.write_bytes(content)


class Ticking:
    """A clock that goes on by a second each time it is looked at, and can be moved."""

    def __init__(self, now_us: int) -> None:
        self.now_us = now_us

    def __call__(self) -> int:
        self.now_us += 1_000_000
        return self.now_us
