"""Tape thrown away only when what is on it may go, and entries voided only while nothing rests on them."""

from __future__ import annotations

import pytest

from stock.core.facts import Stretch
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, Unproved

from .entries import FOOT, FULL, TAKE, add, fact, value
from .houses import answers_of, facts_of


def waste(desk: Desk, reel: str, start: str, end: str, **cells: str) -> int:
    return add(desk, "edit", reel=reel, start=start, end=end, **cells)


def test_tape_with_something_unproved_on_it_is_not_thrown_away(desk: Desk) -> None:
    desk.add("take", TAKE)
    before = facts_of(desk)
    for start, end in (("390 ft", "500 ft"), ("0 ft", "101 ft"), ("0 ft", "2500 ft"), ("200 ft", "201 ft")):
        with pytest.raises(Unproved) as refused:
            waste(desk, "R1", start, end)
        assert "river" in str(refused.value)
    assert facts_of(desk) == before
    waste(desk, "R1", "400 ft", "500 ft")
    waste(desk, "R1", "0 ft", "100 ft")


def test_an_earlier_date_throws_nothing_unproved_away_either(desk: Desk) -> None:
    desk.add("take", TAKE)
    with pytest.raises(Unproved):
        waste(desk, "R1", "100 ft", "200 ft", date="2026-01-01")


def test_unproved_tape_is_not_thrown_away_from_another_reel(desk: Desk) -> None:
    desk.add("take", TAKE)
    add(desk, "edit", reel="R1", start="0 ft", end="500 ft", to_reel="R2", to_at="0 ft", date="2026-05-01")
    with pytest.raises(Unproved):
        waste(desk, "R2", "300 ft", "320 ft", date="2026-05-02")
    waste(desk, "R1", "0 ft", "500 ft", date="2026-05-02")


@pytest.mark.parametrize(
    ("kind", "cells"),
    [
        ("hold", {"hold": "h", "reel": "R1", "reason": "asked for"}),
        ("move", {"reel": "R1", "kind": "out"}),
        ("finding", {"reel": "R1", "kind": "stray-field", "severity": "0", "start": "2000 ft", "end": "2010 ft"}),
    ],
)
def test_what_bars_a_wipe_bars_throwing_away(desk: Desk, kind: str, cells: dict[str, str]) -> None:
    entry = add(desk, kind, **cells)
    with pytest.raises(Unproved):
        waste(desk, "R1", "1990 ft", "2005 ft")
    desk.void(entry, "slip")
    waste(desk, "R1", "1990 ft", "2005 ft")


def test_tape_that_may_go_is_thrown_away_and_stays_in_the_record(desk: Desk) -> None:
    desk.add("take", TAKE)
    add(desk, "decision", reel="R1", title="river", take="1", keep="discard")
    entry = waste(desk, "R1", "90 ft", "420 ft")
    house = desk.house()
    assert house.layout("R1").length == 2170 * FOOT
    assert [(edit.entry, piece) for edit, piece in house.layouts.thrown_away] == [
        (entry, Stretch("R1", 90 * FOOT, 420 * FOOT))
    ]


def test_a_void_is_shown_with_its_reason_and_what_it_loosened(desk: Desk) -> None:
    hold = add(desk, "hold", hold="h", reel="R1", reason="asked for")
    assert answers_of(desk)["R1"][0] == "keep"
    void = desk.void(hold, "meant R2").entries[0]
    assert fact(desk, hold).kind.name == "hold"
    (line,) = [line for line in desk.history("R1") if line.entry == hold]
    assert line.voided == (void, "meant R2", "Ada Quill")
    verdict, erasable, _, reasons = answers_of(desk)["R1"]
    assert (verdict, erasable) == ("blank", "yes")
    assert [reason.facts for reason in reasons if reason.code == "void-loosened"] == [(hold, void)]


def refused_void(desk: Desk, entry: int) -> str:
    """What is said to a void that is refused; nothing may be entered."""
    before = facts_of(desk)
    with pytest.raises(CannotEnter) as refused:
        desk.void(entry, "slip")
    assert [problem.column for problem in refused.value.problems] == ["entry"]
    assert facts_of(desk) == before
    return str(refused.value)


def test_no_entry_is_voided_twice_and_no_void_and_no_entry_that_is_none(desk: Desk) -> None:
    entry = add(desk, "move", reel="R1", kind="shelf")
    void = desk.void(entry, "slip").entries[0]
    assert f"voided already, by entry {void}" in refused_void(desk, entry)
    assert "a void itself" in refused_void(desk, void)
    assert "no entry 9999" in refused_void(desk, 9999)


def test_a_void_needs_a_reason(desk: Desk) -> None:
    entry = add(desk, "move", reel="R1", kind="shelf")
    with pytest.raises(CannotEnter) as refused:
        desk.void(entry, "  ")
    assert [problem.column for problem in refused.value.problems] == ["reason"]


@pytest.mark.parametrize(
    ("kind", "cells"),
    [
        ("pass", {"reel": "R2", "kind": "play", "start": "0 ft", "end": "20 ft", "date": "2026-05-02"}),
        ("hold", {"hold": "h", "reel": "R2", "reason": "r", "date": "2026-05-02"}),
        ("edit", {"reel": "R2", "start": "0 ft", "end": "20 ft", "to_reel": "R3", "date": "2026-05-02"}),
        ("length", {"reel": "R1", "length": "2300 ft", "date": "2026-05-02"}),
    ],
)
def test_an_edit_is_voided_only_while_nothing_later_touches_its_pieces(
    desk: Desk, kind: str, cells: dict[str, str]
) -> None:
    joined = {"reel": "R1", "start": "0 ft", "end": "100 ft", "to_reel": "R2", "to_at": "0 ft", "date": "2026-05-01"}
    edit = add(desk, "edit", **joined)
    add(desk, "pass", reel="R1", kind="play", date="2026-04-30")
    add(desk, "pass", reel="R3", kind="play", date="2026-05-02")
    later = add(desk, kind, **cells)
    assert f"entry {later} ({kind})" in refused_void(desk, edit)
    desk.void(later, "slip")
    desk.void(edit, "the wrong reel")
    assert desk.house().layout("R1").pieces == (Stretch("R1", 0, 2500 * FOOT),)


def test_a_reel_in_use_is_not_voided(desk: Desk) -> None:
    reel = next(each.entry for each in facts_of(desk) if each.kind.name == "reel" and each.values[0] == "R3")
    assert reel is not None
    edit = add(desk, "edit", reel="R1", start="0 ft", end="9 ft", to_reel="R3")
    assert f"entry {edit} (edit) is about reel R3" in refused_void(desk, reel)
    desk.void(edit, "slip")
    desk.void(reel, "it was never here")
    assert list(answers_of(desk)) == ["R1", "R2"]
    with pytest.raises(CannotEnter, match="no reel R3"):
        add(desk, "pass", reel="R3", kind="play")


def test_a_reel_whose_tape_is_on_another_is_not_voided(desk: Desk) -> None:
    """The edit is of R1, and R1 is named in it: its tape on R2 keeps R1 in the record."""
    add(desk, "edit", reel="R1", start="0 ft", end="9 ft", to_reel="R2")
    reel = next(each.entry for each in facts_of(desk) if each.kind.name == "reel" and each.values[0] == "R1")
    assert reel is not None
    assert "is about reel R1" in refused_void(desk, reel)


def test_a_transfer_with_copies_is_not_voided_before_them(known: Desk) -> None:
    by_kind = {each.kind.name: each.entry or 0 for each in facts_of(known)}
    assert f"entry {by_kind['copy']} (copy) rests on it" in refused_void(known, by_kind["transfer"])
    check = add(known, "copy-check", transfer="T1", copy="c1", method="stated", result="pass")
    assert f"entry {check} (copy-check) rests on it" in refused_void(known, by_kind["copy"])
    for entry in (check, by_kind["copy"], by_kind["transfer"]):
        known.void(entry, "slip")
    with pytest.raises(CannotEnter, match="no transfer T1"):
        add(known, "listen", transfer="T1")


def test_a_voided_name_may_be_given_again_and_a_live_one_not(known: Desk) -> None:
    with pytest.raises(CannotEnter, match="reel R1 is entered already"):
        known.add("reel", FULL["reel"] | {"reel": "R1"})
    entry = add(known, "reel", **FULL["reel"])
    known.void(entry, "wrong box")
    known.add("reel", FULL["reel"] | {"tracks": "8"})
    assert known.house().reel("R9").tracks == 8


def test_a_decision_is_about_the_newest_take_of_that_name_by_then(desk: Desk) -> None:
    first = add(desk, "take", **TAKE)
    second = add(desk, "take", **TAKE | {"date": "2026-04-02T10:00", "start": "1000 ft", "end": "1100 ft"})

    def decided(**cells: str) -> object:
        entry = add(desk, "decision", reel="R1", title="river", take="1", keep="keep", **cells)
        return value(fact(desk, entry), "take_entry")

    assert decided() == second
    assert decided(date="2026-04-01") == first
    desk.void(second, "slip")
    assert decided() == first
    desk.void(first, "slip")
    with pytest.raises(CannotEnter, match="no such take"):
        decided()
