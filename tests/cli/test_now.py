"""`now` as it is called."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Call


def test_it_lists_what_is_to_be_done_most_urgent_first(call: Call, house: Path) -> None:
    ran = call("now", on=house)
    assert ran.status == 0
    lines = ran.out.splitlines()
    heads = [line for line in lines if line and not line.startswith(" ")]
    assert heads[0] == "Takes still running: 1"
    assert "Orders late: 1" in heads
    assert lines[1].startswith("  M-0154     2026-11-20  take Ballast/3 still runs")
    assert "  and 5 more (--all)" in lines
    assert all(len(line) <= 80 for line in lines)
    everything = call("now", "--all", on=house).out
    assert "--all" not in everything
    assert len(everything.splitlines()) == len(lines) + 4


def test_it_answers_in_json(call: Call, house: Path) -> None:
    answer = call("now", "--json", on=house).answer
    assert answer["as_of"] == "2026-11-20"
    assert answer["with_needs"] is True
    assert answer["count"] == sum(group["count"] for group in answer["groups"])
    groups = {group["code"]: group["tasks"] for group in answer["groups"]}
    (late,) = groups["order-late"]
    assert (late["order"], late["since"], late["cure"], late["reel"]) == ("PO-015", "2026-10-19", "orders", None)
    assert {task["stock_item"] for task in groups["short"]} == {"C40-1-2500", "C52-2-2500"}


def test_the_needs_can_be_left_out_and_that_is_said(call: Call, house: Path) -> None:
    answer = call("now", "--without-needs", "--json", on=house).answer
    assert "short" not in {group["code"] for group in answer["groups"]}
    assert answer["with_needs"] is False
    assert "Needs are left out" in call("now", "--without-needs", on=house).out


def test_it_answers_as_of_a_day(call: Call, house: Path) -> None:
    answer = call("now", "--json", "--today", "2026-09-01", on=house).answer
    assert answer["as_of"] == "2026-09-01"
    assert "running" not in {group["code"] for group in answer["groups"]}
    assert "overdue" not in {group["code"] for group in answer["groups"]}


def test_a_house_with_nothing_to_do_says_so(call: Call, tmp_path: Path) -> None:
    empty = tmp_path / "empty.db"
    assert call("add", "machine", "--machine", "Deck 1", on=empty).status == 0
    assert call("now", on=empty).out == "Nothing to do, as of 2026-11-20.\n"


def test_what_somebody_typed_is_shown_and_not_obeyed(call: Call, house: Path) -> None:
    call("add", "move", "--reel", "M-0101", "--kind", "out", "--date", "2026-10-01", "--to", "\x1b[31mred", on=house)
    out = call("now", "--all", on=house).out
    assert "red" in out
    assert "\x1b" not in out
