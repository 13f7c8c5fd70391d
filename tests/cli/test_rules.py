"""`rules --try`: which verdicts other rules would change, and nothing written."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from stock.core.rule_groups import GROUPS
from tests.cli.conftest import Call
from tests.tui.reel_fixtures import HOSTILE


def test_rules_are_told_in_groups_with_who_set_them(call: Call, loaded_house: Path) -> None:
    shown = call("rules", on=loaded_house).out
    assert all(f"{group.title}: " in shown for group in GROUPS)
    assert all(len(line) <= 80 for line in shown.splitlines())
    assert "passes_critical = 25  (set by Ines Quill on 2025-03-03, entry" in shown
    rows = {row["rule"]: row for row in call("rules", "--json", on=loaded_house).answer["rules"]}
    passes = rows["passes_critical"]
    assert (passes["by"], passes["date"], passes["unit"]) == ("Ines Quill", "2025-03-03", "passes")
    assert passes["note"].startswith("was 30")
    assert "No published figure was found" in passes["why"]
    assert (rows["gap_s"]["by"], rows["gap_s"]["date"], rows["gap_s"]["group"]) == (None, None, "takes")


def test_what_is_tried_is_what_advise_says_once_it_is_entered(call: Call, house: Path) -> None:
    def verdicts() -> dict[str, str]:
        return {row["reel"]: row["verdict"] for row in call("advise", "--json", on=house).answer["reels"]}

    before, file = verdicts(), hashlib.sha256(house.read_bytes()).hexdigest()
    trial = call("rules", "--try", "copies_needed=1", "--try", "cooling_days=0", "--json", on=house).answer
    assert hashlib.sha256(house.read_bytes()).hexdigest() == file, "nothing was written"
    for rule, value in (("copies_needed", "1"), ("cooling_days", "0")):
        assert call("add", "rule", "--rule", rule, "--value", value, on=house).status == 0
    after = verdicts()
    changed = {reel for reel in before if before[reel] != after[reel]}
    assert trial["judged"] == len(before)
    assert changed == {reel for move in trial["moves"] for reel in move["reels"]}
    assert trial["changed"] == len(changed) > 0
    assert trial["freed"] == sorted(reel for reel in changed if after[reel] in ("clear", "blank"))
    assert [each["now"] for each in trial["tried"]] == ["2", "14"]
    assert all(each["looser"] for each in trial["tried"])


def test_what_becomes_free_is_said_first_and_loudly(call: Call, loaded_house: Path) -> None:
    shown = call("rules", "--try", "copies_needed=1", "--try", "cooling_days=0", on=loaded_house)
    assert shown.status == 0
    lines = shown.out.splitlines()
    assert lines[2] == "! 1 REEL WOULD BECOME CLEAR OR BLANK: M-0152."
    assert lines[-1].startswith("Nothing was written.")
    stricter = call("rules", "--try", "copies_needed=3", on=loaded_house).out
    assert "WOULD BECOME" not in stricter
    assert "from clear to keep" in stricter


def test_a_rule_no_verdict_rests_on_says_what_it_bears_on(call: Call, loaded_house: Path) -> None:
    shown = call("rules", "--try", "budget_month=900", on=loaded_house).out
    assert "No verdict rests on it. It bears on order plans and budgets." in shown
    answer = call("rules", "--try", "budget_month=900", "--json", on=loaded_house).answer
    assert (answer["judged"], answer["changed"], answer["moves"]) == (0, 0, [])


def test_another_zone_is_tried_too(call: Call, loaded_house: Path) -> None:
    answer = call("rules", "--try", "time_zone=Asia/Tokyo", "--json", on=loaded_house).answer
    assert answer["judged"] > 0
    assert answer["tried"][0] == {
        "rule": "time_zone",
        "value": "Asia/Tokyo",
        "now": "Europe/Dublin",
        "looser": False,
    }


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("copies_needed=many", "a whole number was expected"),
        ("shortest_stretch=9 kg", "a length was expected"),
        ("no_such_rule=3", "is not a house rule"),
        ("copies_needed", "RULE=VALUE was expected"),
        ("=3", "RULE=VALUE was expected"),
        ("copies_needed=", "a whole number was expected"),
    ],
)
def test_what_cannot_be_read_is_refused(call: Call, loaded_house: Path, asked: str, says: str) -> None:
    ran = call("rules", "--try", asked, on=loaded_house)
    assert (ran.status, ran.out) == (2, "")
    assert "--try" in ran.err
    assert says in ran.err


def test_one_rule_is_not_tried_twice_at_once(call: Call, loaded_house: Path) -> None:
    ran = call("rules", "--try", "gap_s=3", "--try", "gap_s=4", on=loaded_house)
    assert ran.status == 2
    assert "named twice" in ran.err


def test_what_is_typed_obeys_nothing(call: Call, loaded_house: Path) -> None:
    for text in HOSTILE:
        for asked in (f"{text}=3", f"copies_needed={text}", f"time_zone={text}"):
            ran = call("rules", "--try", asked, on=loaded_house)
            assert ran.status == 2, text
            assert not {"\x1b", "\x07", "\u202e"} & set(ran.err)
