"""The wear read for a whole house is the wear read for its reels one by one, voided and divided passes too."""

from __future__ import annotations

from pathlib import Path

from stock.core.fitness import wear_along
from stock.core.view import View
from stock.desk.desk import Desk
from tests.desk.clock import DAY_US, Clock


def test_voided_passes_and_passes_over_several_pieces_count_alike(tmp_path: Path) -> None:
    clock = Clock()
    desk = Desk.open(tmp_path / "house.db", "Ann", now_us=clock)
    desk.add("formulation", {"formulation": "Corvane C40"})
    desk.add("stock-item", {"stock_item": "two", "formulation": "Corvane C40", "width": "2 in", "length": "2500 ft"})
    for reel in ("R1", "R2"):
        desk.add("reel", {"reel": reel, "stock_item": "two", "tracks": "16", "owner": "house", "arrived_as": "sealed"})
    desk.add("pass", {"reel": "R1", "kind": "play", "count": "3"})
    clock.now_us += DAY_US
    desk.add("edit", {"reel": "R2", "start": "100 ft", "end": "200 ft", "to_reel": "R1", "to_at": "1000 ft"})
    divided = [desk.add("pass", {"reel": "R1", "kind": "play", "count": count}).entries[0] for count in ("5", "7")]
    desk.add("pass", {"reel": "R1", "kind": "wind", "start": "900 ft", "end": "1050 ft"})
    desk.void(divided[0], "another reel")
    whole = wear_along(View(desk.house(), "R1"))
    assert whole == wear_along(View(desk.house(["R1"]), "R1"))
    ft = 3048
    assert whole == [
        (0, 900 * ft, 100),
        (900 * ft, 1000 * ft, 101),
        (1000 * ft, 1050 * ft, 71),
        (1050 * ft, 1100 * ft, 70),
        (1100 * ft, 2600 * ft, 100),
    ]
    desk.close()
