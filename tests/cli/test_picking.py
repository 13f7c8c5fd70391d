"""`pick` on the demo house: what it answers, in words and in JSON, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.measure import FOOT, SECOND
from tests.cli.conftest import Call

NINE_MINUTES = ("pick", "--take", "9:00x3", "--speed", "15ips", "--width", "2in", "--tracks", "24")


def test_three_nine_minute_takes_lie_on_one_reel(call: Call, loaded_house: Path) -> None:
    # common practice: at 15 in/s a nine-minute piece fits three times on 2500 ft
    ran = call(*NINE_MINUTES, "--json", on=loaded_house)
    assert ran.status == 0
    plan = ran.answer["plan"]
    assert len(plan["reels"]) == 1
    assert plan["proved_fewest"] is True
    assert plan["bound"] == 1
    assert [placement["take"] for placement in plan["placements"]] == [1, 2, 3]
    ends = 0.0
    for placement in plan["placements"]:
        assert placement["reel"] == plan["reels"][0]
        assert placement["start_ft"] > ends
        ends = placement["end_ft"]
        # nine minutes at 15 in/s are 675 ft exactly
        assert placement["end_ft"] - placement["start_ft"] == pytest.approx(9 * 60 * 15 / 12, abs=1e-3)
    assert ends < 2500
    chosen = {row["reel"] for row in ran.answer["candidates"]}
    refused = {row["reel"]: row["codes"] for row in ran.answer["rejected"]}
    assert plan["reels"][0] in chosen
    assert not chosen & refused.keys()
    assert all(refused.values())
    assert "wrong-width" in refused["E-0201"]
    assert "on-hold" in refused["M-0112"]


def test_a_plan_wipes_nothing_that_may_not_be_wiped(call: Call, loaded_house: Path) -> None:
    answers = {row["reel"]: row for row in call("advise", "--json", on=loaded_house).answer["reels"]}
    ran = call(
        "pick", "--take", "9:00x24", "--speed", "15 ips", "--width", "2 in", "--tracks", "24", "--json", on=loaded_house
    )
    plan = ran.answer["plan"]
    assert plan["wipe_first"]
    for row in plan["wipe_first"]:
        assert answers[row["reel"]]["verdict"] == "clear"
    for reel in plan["reels"]:
        assert answers[reel]["erasable"] == "yes"


def test_the_page_names_reel_place_and_margin(call: Call, loaded_house: Path) -> None:
    ran = call(*NINE_MINUTES, on=loaded_house)
    assert ran.status == 0
    assert "1 reel, proved the fewest" in ran.out
    assert "Reels that may serve, best first" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80


def test_where_nothing_fits_it_says_what_would(call: Call, loaded_house: Path) -> None:
    ran = call("pick", "--take", "59:00", "--speed", "30 ips", "--json", on=loaded_house)
    assert ran.status == 1
    assert ran.answer["plan"] is None
    assert any("the take of 59:00" in hint for hint in ran.answer["hints"])
    worn = call(
        "pick", "--take", "20:00x9", "--speed", "15 ips", "--width", "2in", "--grade", "critical", on=loaded_house
    )
    assert worn.status == 1
    assert "For 20:00x9 at 15 ips" in worn.out
    assert "record it as standard" in worn.out


def test_several_formulations_serve_together_only_where_somebody_says_so(call: Call, loaded_house: Path) -> None:
    def formulations(*more: str) -> set[str]:
        takes = "--take", "25:00x24", "--speed", "15 ips"
        ran = call("pick", *takes, *more, "--json", on=loaded_house)
        assert ran.status == 0, ran.out
        used = ran.answer["plan"]["reels"]
        shelf = call("reels", "--json", on=loaded_house).answer["reels"]
        return {row["formulation"] for row in shelf if row["reel"] in used}

    assert len(formulations("--mix")) > 1
    alone = call("pick", "--take", "25:00x24", "--speed", "15 ips", "--json", on=loaded_house)
    assert alone.status == 1
    assert "mix" in {way["code"] for way in alone.answer["ways"]}


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--take", "9 kg", "--speed", "15 ips"), "a playing time was expected"),
        (("--take", "0:00", "--speed", "15 ips"), "names no takes"),
        (("--take", ",", "--speed", "15 ips"), "names no takes"),
        (("--take", "9:00", "--speed", "30 ft"), "a speed was expected"),
        (("--take", "9:00", "--speed", "15 ips", "--grade", "best"), "is no grade"),
        (("--take", "9:00", "--speed", "15 ips", "--width", "2 h"), "width"),
        (("--take", "9:00", "--speed", "15 ips", "--tracks", "many"), "tracks"),
        (("--take", "9:00", "--speed", "15 ips", "--reels", "0"), "at least one reel"),
        (("--speed", "15 ips"), "--take"),
    ],
)
def test_what_cannot_be_read_is_said(call: Call, loaded_house: Path, args: tuple[str, ...], says: str) -> None:
    ran = call("pick", *args, on=loaded_house)
    assert ran.status == 2
    assert says in ran.err
    assert ran.out == ""


def test_an_hour_of_takes_counts_the_room_to_run_over(call: Call, loaded_house: Path) -> None:
    ran = call("pick", "--take", "10:00", "--speed", "15 ips", "--width", "2in", "--json", on=loaded_house)
    (placement,) = ran.answer["plan"]["placements"]
    # 10 s of slate after the 105 s of tones and the 15 s left unused at the head
    assert placement["start_ft"] * FOOT >= (105 + 15 + 10) * 15 * 254
    assert placement["margin_s"] * SECOND >= 60 * SECOND
