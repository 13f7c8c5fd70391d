"""`why`: the reasons explained for one reel, or by code."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.explain import EXPLAINED, Explained
from stock.core.senses import OF_WORDS, SENSES
from tests.cli.conftest import Call
from tests.tui.reel_fixtures import HOSTILE


def test_why_a_reel_is_not_clear_begins_with_what_to_do(call: Call, loaded_house: Path) -> None:
    ran = call("why", "M-0151", on=loaded_house)
    assert ran.status == 1
    out = ran.out
    assert out.index("would make it clear") < out.index("May the recording go?")
    assert "1 transfer what is missing of take Lamplighter/2" in out
    assert EXPLAINED["partly-transferred"].means.split()[0] in out


def test_why_a_reel_that_is_clear_has_nothing_in_the_way(call: Call, loaded_house: Path) -> None:
    ran = call("why", "M-0105", "--json", on=loaded_house)
    assert ran.status == 0
    told = ran.answer
    assert told["verdict"] in ("clear", "blank")
    assert told["steps"] == []


def test_what_to_do_is_in_order_and_says_whether_it_is_enough(call: Call, loaded_house: Path) -> None:
    told = call("why", "M-0151", "--json", on=loaded_house).answer
    assert [step["act"] for step in told["steps"]] == ["transfer", "copies", "hear", "wait"]
    assert (told["enough"], told["not_known"]) == (True, [])
    assert told["steps"][0]["codes"] == ["partly-transferred"]
    assert told["steps"][3]["number"] == 14


def test_every_reel_of_the_demo_is_told_what_is_known(call: Call, loaded_house: Path) -> None:
    seen = set()
    for row in call("advise", "--json", on=loaded_house).answer["reels"]:
        told = call("why", row["reel"], "--json", on=loaded_house)
        good = row["verdict"] in ("clear", "blank")
        assert told.status == (0 if good else 1)
        assert told.answer["enough"] or told.answer["not_known"]
        assert bool(told.answer["steps"] or told.answer["not_known"]) != good
        seen |= {step["act"] for step in told.answer["steps"]}
    assert {"transfer", "hear", "read", "wait"} <= seen


def test_one_of_a_reels_reasons(call: Call, loaded_house: Path) -> None:
    ran = call("why", "M-0152", "cooling-off", on=loaded_house)
    assert ran.status == 1
    assert "house rule cooling_days: 14 days" in ran.out
    assert "would make it clear" not in ran.out
    told = call("why", "M-0152", "cooling-off", "--json", on=loaded_house).answer
    assert {reason["code"] for reason in told["reasons"]} == {"cooling-off"}
    assert [each["code"] for each in told["explained"]] == ["cooling-off"]
    other = call("why", "M-0152", "mould", on=loaded_house)
    assert other.status == 2
    assert "has no reason 'mould'; it has: cooling-off" in other.err


@pytest.mark.parametrize(("of", "table"), SENSES.items())
def test_every_code_there_is_can_be_asked_for(
    call: Call, loaded_house: Path, of: str, table: dict[str, Explained]
) -> None:
    for code, found in table.items():
        shown = call("why", "--code", code, on=loaded_house)
        assert shown.status == 0
        assert f"{code}: {OF_WORDS[of]}" in shown.out
        told = call("why", "--code", code, "--json", on=loaded_house).answer
        (mine,) = (each for each in (told, *told["also"]) if each["of"] == of)
        assert mine["means"] == found.means


def test_a_code_misspelt_names_the_nearest(call: Call, loaded_house: Path) -> None:
    assert "did you mean reread-needed" in call("why", "--code", "re-read-needed", on=loaded_house).err


def test_what_is_typed_obeys_nothing(call: Call, loaded_house: Path) -> None:
    for text in HOSTILE:
        for asked in (("--code", text), (text,), ("M-0151", text)):
            ran = call("why", *asked, on=loaded_house)
            assert ran.status == 2, text
            assert not {"\x1b", "\x07", "\u202e"} & set(ran.err)


@pytest.mark.parametrize("code", ["no-release", "too-many-passes", "no-room"])
def test_one_reason_by_its_code(call: Call, loaded_house: Path, code: str) -> None:
    told = call("why", "--code", code, "--json", on=loaded_house).answer
    assert told["means"] == EXPLAINED[code].means
    assert set(told["rules"]) == set(EXPLAINED[code].rules)
    if code == "too-many-passes":
        assert told["rules"]["passes_critical"] == "25 passes (default 30)"


@pytest.mark.parametrize(
    ("asked", "says"),
    [((), "name a reel"), (("M-0151", "--code", "on-hold"), "name a reel"), (("--code", "x"), "there is no code")],
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
