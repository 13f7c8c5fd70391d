"""`why`: the reasons explained for one reel, or by code."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.explain import EXPLAINED
from tests.cli.conftest import Call


def test_why_a_reel_is_not_clear_begins_with_what_to_do(call: Call, loaded_house: Path) -> None:
    ran = call("why", "M-0151", on=loaded_house)
    assert ran.status == 1
    out = ran.out
    assert out.index("What to do") < out.index("May the recording go?")
    assert "transfer that stretch (partly-transferred)" in out
    assert EXPLAINED["partly-transferred"].means.split()[0] in out


def test_why_a_reel_that_is_clear_has_nothing_in_the_way(call: Call, loaded_house: Path) -> None:
    ran = call("why", "M-0105", "--json", on=loaded_house)
    assert ran.status == 0
    told = ran.answer
    assert told["verdict"] in ("clear", "blank")
    assert told["steps"] == []


@pytest.mark.parametrize("code", ["no-release", "too-many-passes", "no-room"])
def test_one_reason_by_its_code(call: Call, loaded_house: Path, code: str) -> None:
    told = call("why", "--code", code, "--json", on=loaded_house).answer
    assert told["means"] == EXPLAINED[code].means
    assert set(told["rules"]) == set(EXPLAINED[code].rules)
    if code == "too-many-passes":
        assert told["rules"]["passes_critical"] == "25 passes (default 30)"


@pytest.mark.parametrize(
    ("asked", "says"),
    [((), "name a reel"), (("M-0151", "--code", "on-hold"), "name a reel"), (("--code", "x"), "no reason called")],
)
def test_wrong_use_says_what_to_do(call: Call, loaded_house: Path, asked: tuple[str, ...], says: str) -> None:
    ran = call("why", *asked, on=loaded_house)
    assert ran.status == 2
    assert says in ran.err
    assert "Traceback" not in ran.err


def test_a_reel_that_is_not_there(call: Call, loaded_house: Path) -> None:
    ran = call("why", "none such", on=loaded_house)
    assert ran.status == 2
    assert "none such" in ran.err
