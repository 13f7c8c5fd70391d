"""What an entry about a reel begins with: the next free names, what goes on from take to take."""

from __future__ import annotations

from stock.desk.beginning import Beginning, beginning, next_order
from stock.desk.desk import Desk

from .entries import FULL, TAKE, add


def begins(desk: Desk, reel: str = "R1") -> Beginning:
    (advice,) = desk.advise([reel])
    return beginning(desk, advice)


def hold(desk: Desk, name: str, reel: str = "R1") -> int:
    return add(desk, "hold", hold=name, reel=reel, reason="asked for")


def test_a_hold_takes_the_number_after_the_newest_and_none_that_was_given(desk: Desk) -> None:
    assert begins(desk).hold == "H-1"
    hold(desk, "H-7")
    hold(desk, "the label's word")
    assert begins(desk).hold == "H-8"
    hold(desk, "H-8", "R2")
    hold(desk, "H-3")
    hold(desk, "H-4", "R3")
    assert begins(desk).hold == "H-5"
    hold(desk, "K-099")
    assert begins(desk).hold == "K-100"


def test_a_voided_name_is_not_proposed_again(desk: Desk) -> None:
    desk.void(hold(desk, "H-7"), "slip")
    assert begins(desk).hold == "H-8"


def test_a_transfer_goes_on_from_the_reels_own_or_begins_with_the_projects_letters(known: Desk) -> None:
    assert begins(known).transfer == "T2"
    add(known, "take", **TAKE | {"reel": "R2", "project": "Tin Regatta"})
    assert begins(known, "R2").transfer == "TR-1"
    add(known, "transfer", **FULL["transfer"] | {"transfer": "TR-1"})
    assert begins(known, "R2").transfer == "TR-2"
    assert begins(known, "R3").transfer == "T-1"


def test_a_copy_takes_the_first_letter_that_is_free(known: Desk) -> None:
    assert begins(known).copies == {"T1": "A"}
    for copy in "ab":
        add(known, "copy", **FULL["copy"] | {"copy": copy})
    assert begins(known).copies == {"T1": "C"}


def test_formats_are_those_of_the_newest_transfers(known: Desk) -> None:
    add(known, "transfer", **FULL["transfer"] | {"sample_rate_hz": "44100", "bit_depth": "16"})
    assert begins(known).formats == (("44.1 kHz", "16"), ("96 kHz", "24"))


def test_an_order_takes_the_next_number(known: Desk) -> None:
    assert next_order(known) == "PO 2"


def test_a_house_without_orders_begins_with_one(desk: Desk) -> None:
    assert next_order(desk) == "PO-001"


def test_project_tracks_and_machine_go_on_and_a_title_within_its_day(known: Desk) -> None:
    known.add("take", FULL["take"] | {"tracks": "1 kick; 2-8", "date": "2026-05-02"})
    carried = begins(known).carried
    assert (carried.project, carried.tracks, carried.machine) == ("inn", "1 kick; 2-8", "deck one")
    assert carried.title == "untitled"
    today = FULL["take"] | {"take": "3"}
    known.add("take", {name: text for name, text in today.items() if name != "date"})
    carried = begins(known).carried
    assert (carried.title, carried.take) == ("river", "4")
