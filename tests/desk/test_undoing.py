"""Taking back what one entered oneself: which commands, why not, and what it would change, seen before it is done."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from stock.core.kinds import BY_NAME
from stock.desk import wiping
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.undoing import REASON, Own, own_entries, see_undo, take_back

from .entries import FULL, TAKE, add
from .houses import answers_of, facts_of

HOLD = {"hold": "h", "reel": "R1", "reason": "asked for"}


def newest(desk: Desk) -> Own:
    return own_entries(desk, 1)[0]


def other_person(desk: Desk) -> Desk:
    """Somebody else at the same house."""
    return Desk(desk.store, "Cy Marl", now_us=desk.now_us)


def told(desk: Desk) -> Mapping[str, object]:
    return {reel: answer[:3] for reel, answer in answers_of(desk).items()}


def test_the_newest_of_ones_own_comes_first_and_others_entries_are_not_offered(desk: Desk) -> None:
    first = add(desk, "hold", **HOLD)
    second = add(desk, "move", reel="R2", kind="out")
    add(other_person(desk), "move", reel="R3", kind="out")
    assert [own.entries for own in own_entries(desk)[:2]] == [(second,), (first,)]
    assert own_entries(desk)[0].reels == ("R2",)
    (theirs,) = own_entries(other_person(desk))
    assert theirs.reels == ("R3",)


def test_what_is_voided_is_offered_no_more_and_a_void_never(desk: Desk) -> None:
    first = add(desk, "hold", **HOLD)
    second = add(desk, "move", reel="R2", kind="out")
    take_back(desk, newest(desk).entries, REASON)
    assert newest(desk).entries == (first,)
    (line,) = [line for line in desk.history("R2") if line.entry == second]
    assert line.voided is not None
    assert line.voided[1:] == (REASON, desk.who)


@pytest.mark.parametrize(
    ("kind", "cells"),
    [
        ("hold", HOLD),
        ("take", TAKE),
        ("move", {"reel": "R1", "kind": "out"}),
        ("finding", {"reel": "R1", "kind": "crease", "severity": "3"}),
        ("finding", {"reel": "R1", "kind": "sticky", "severity": "2"}),
        ("edit", {"reel": "R1", "start": "0 ft", "end": "2300 ft", "to_reel": "R2"}),
        ("length", {"reel": "R1", "length": "300 ft"}),
        ("retirement", {"reel": "R2"}),
        ("rule", {"rule": "shortest_stretch", "value": "2600 ft"}),
        ("owner", {"reel": "R1", "owner": "Dee Client"}),
        ("splice", {"reel": "R1", "at": "300 ft"}),
    ],
)
def test_what_is_shown_is_what_it_makes(desk: Desk, kind: str, cells: dict[str, str]) -> None:
    entry = add(desk, kind, **cells)
    before, facts = told(desk), facts_of(desk)
    seen = see_undo(desk, (entry,))
    assert facts_of(desk) == facts, "to look enters nothing"
    assert not seen.beyond
    take_back(desk, (entry,), REASON)
    after = told(desk)
    turned = {reel for reel in before if before[reel] != after[reel]}
    assert {change.reel for change in seen.changes} == turned
    for change in seen.changes:
        assert change.before is not None
        assert change.after is not None
        assert (change.after.verdict, change.after.erasable) == (after[change.reel][0], after[change.reel][1])


@pytest.mark.parametrize("kind", sorted(FULL))
def test_every_kind_is_seen_as_it_will_be_and_goes_without_a_trace_in_the_answers(known: Desk, kind: str) -> None:
    first = told(known)
    known.add(kind, FULL[kind])
    before, facts = told(known), facts_of(known)
    own = newest(known)
    assert own.why_not is None
    seen = see_undo(known, own.entries)
    assert facts_of(known) == facts
    assert {change.reel for change in seen.changes} == {
        reel for reel in before.keys() | first.keys() if before.get(reel) != first.get(reel)
    }
    take_back(known, own.entries, REASON)
    assert told(known) == first


def test_a_loosening_says_so_and_a_binding_does_not(desk: Desk) -> None:
    hold = add(desk, "hold", **HOLD)
    seen = see_undo(desk, (hold,))
    (change,) = seen.loosens
    assert change.says == "R1 would go from keep to blank (may the recording go: no, then yes)"
    take = add(desk, "take", **TAKE | {"reel": "R2"})
    decision = add(desk, "decision", reel="R2", title="river", take="1", keep="discard")
    seen = see_undo(desk, (decision,))
    assert [change.reel for change in seen.changes] == ["R2"]
    assert "would go from clear to keep" in seen.changes[0].says
    assert not seen.loosens
    assert see_undo(desk, (take,)).says[0].startswith("take on R2, 100 ft to 400 ft")


def test_what_one_command_brought_goes_as_one(desk: Desk) -> None:
    finding = BY_NAME["finding"]
    rows = [(finding, {"reel": "R1", "kind": kind, "severity": "0"}) for kind in ("inspection", "edge", "pack")]
    entries = desk.add_all(rows, "add inspection").entries
    assert newest(desk).entries == entries
    before = [fact.entry for fact in facts_of(desk)]
    receipt = take_back(desk, entries, "the wrong reel")
    assert len(receipt.entries) == 3
    assert newest(desk).entries != entries
    assert [fact.entry for fact in facts_of(desk)] == [*before, *receipt.entries]


def test_what_rests_on_one_another_goes_together_and_not_apart(desk: Desk) -> None:
    with desk.store.writing() as writer:
        now_us, calendar, _ = desk.moment(writer)
        copy = {"transfer": "T9", "copy": "A", "medium": "disk", "place": "here"}
        rows = [
            (BY_NAME["take"], TAKE),
            (
                BY_NAME["transfer"],
                {
                    "transfer": "T9", "reel": "R1", "start": "100 ft", "end": "400 ft", "speed": "15 ips",
                    "tracks": "1-8", "sample_rate_hz": "96000", "bit_depth": "24",
                },
            ),
            (BY_NAME["copy"], copy),
        ]  # fmt: skip
        entries = desk.enter_all_in(writer, rows, "add all", now_us, calendar).entries
        writer.commit()
    assert newest(desk).why_not is None
    with pytest.raises(CannotEnter, match="rests on it"):
        desk.void(entries[1], "slip")
    take_back(desk, entries, REASON)
    assert told(desk)["R1"] == told(desk)["R3"]


def test_an_edit_with_later_facts_on_its_tape_is_told_why_not(desk: Desk) -> None:
    edit = add(desk, "edit", reel="R1", start="0 ft", end="100 ft", to_reel="R2", date="2026-05-01")
    add(other_person(desk), "pass", reel="R2", kind="play", date="2026-05-02")
    own = newest(desk)
    assert own.entries == (edit,)
    assert own.why_not is not None
    assert "(pass) was made later on that tape" in own.why_not
    assert see_undo(desk, own.entries).why_not == own.why_not
    before = facts_of(desk)
    with pytest.raises(CannotEnter):
        take_back(desk, own.entries, REASON)
    assert facts_of(desk) == before


def test_a_permit_is_told_and_cannot_be_taken_back(desk: Desk) -> None:
    places = wiping.places_of(desk, "R1")
    wiping.permit(desk, "R1", label="R1", heard=[sorted(place.titles)[0] for place in places])
    own = newest(desk)
    assert (own.entries, own.says) == ((), ("permit to wipe R1",))
    assert own.why_not is not None
    assert "no entry" in own.why_not


def test_a_load_is_not_taken_back_in_one_go(demo: Desk) -> None:
    assert own_entries(demo) == []


def test_where_there_are_many_reels_those_it_is_about_are_looked_at(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    sticky = add(desk, "finding", reel="R1", kind="sticky", severity="2")
    monkeypatch.setattr("stock.desk.undoing._MOST_REELS", 2)
    seen = see_undo(desk, (sticky,))
    assert seen.beyond
    assert [change.reel for change in seen.changes] == ["R1"]
