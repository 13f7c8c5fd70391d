"""`wear` on the demo house."""

from __future__ import annotations

import re
from pathlib import Path

from tests.cli.conftest import Call


def test_the_page_tells_range_limit_and_cause(call: Call, loaded_house: Path) -> None:
    ran = call("wear", "M-0100", on=loaded_house)
    assert ran.status == 0
    said = re.sub("[ \n]+", " ", ran.out)
    assert "a range of 80\u00a0%" in said
    assert "by the house's limit of" in said
    assert "clean the heads and guides" in said
    assert all(len(line) <= 80 for line in ran.out.splitlines())


def test_the_json_has_its_keys(call: Call, loaded_house: Path) -> None:
    answer = call("wear", "M-0104", "--json", on=loaded_house).answer
    assert set(answer) == {
        "as_of", "reel", "worst", "least_worn", "response", "limits_db", "life", "shape", "trimming", "survival",
    }  # fmt: skip
    assert answer["life"]["basis"] == "pooled"
    left = answer["life"]["passes_left"]["scratch"]
    assert left["low"] <= left["likely"] <= left["high"]
    top = next(series for series in answer["response"] if series["frequency_hz"] == 10_000)
    levels = [reading["level_db"] for reading in top["readings"]]
    assert top["fall_db"] == round(levels[0] - levels[-1], 3)
    passes = [reading["passes"] for reading in top["readings"]]
    assert passes == sorted(passes)
    assert answer["survival"]["retired"] <= answer["survival"]["reels"]


def test_trimming_is_in_both(call: Call, loaded_house: Path) -> None:
    (trim,) = call("wear", "M-0106", "--json", on=loaded_house).answer["trimming"]
    assert (trim["start_ft"], trim["end_ft"], trim["may_go"]) == (0, 300, True)
    assert "Cut 300 ft off the head" in call("wear", "M-0106", on=loaded_house).out


def test_an_unknown_reel_is_refused(call: Call, loaded_house: Path) -> None:
    ran = call("wear", "M-9999", on=loaded_house)
    assert ran.status == 2
    assert "there is no reel M-9999" in ran.err
