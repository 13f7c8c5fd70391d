"""Free stretches: what is left of a reel for a request, and why another reel may not serve."""

from __future__ import annotations

from typing import Any

import pytest

from stock.core.measure import IPS, Speed
from stock.core.picking.candidates import candidates, sort_out, standings
from stock.core.picking.ranking import rank
from stock.core.picking.request import Request, footprint
from stock.core.rules import Rules
from stock.core.verdict import Judge
from stock.store.store import Store
from tests.core.builder import Studio

from .asking import FOOT, MINUTE, NINE, SECOND, ask, codes, offered, planned, seconds


def test_nine_minutes_three_times_on_a_fresh_reel(empty: Store) -> None:
    # common practice: at 15 in/s a nine-minute piece fits a 2500 ft reel three times with some minutes to spare,
    # at 30 once; worked from the default rules: 2000 s less 20 s, 105 s of tones and 30 s are 1845 s
    studio = Studio(empty)
    three = planned(studio, ask(NINE, NINE, NINE))
    assert three is not None and three.proved_fewest and three.proved_best
    assert [seconds(place.lo) for place in three.placements] == [125, 125 + 609, 125 + 2 * 609]
    assert [seconds(place.end - place.start) for place in three.placements] == [540] * 3
    assert seconds(three.placements[-1].hi) == 125 + 1822
    assert seconds(three.placements[-1].margin) == 54 + 1845 - 1822
    assert seconds(three.spare["R1"]) == 1845 - 1822 - 5
    assert three.wipe_first == ()
    assert planned(studio, ask(*[NINE] * 4)) is None
    fast = Speed(30 * IPS)
    assert planned(studio, ask(NINE, speed=fast)) is not None
    assert planned(studio, ask(NINE, NINE, speed=fast)) is None


def test_a_footprint_is_slate_take_and_room_to_run_over() -> None:
    rules = Rules()
    assert [seconds(part) for part in footprint(NINE, 15 * IPS, rules)] == [10, 550, 604]
    assert [seconds(part) for part in footprint(4 * MINUTE, 15 * IPS, rules)] == [10, 250, 280]
    assert footprint(NINE, 30 * IPS, rules).length == 2 * footprint(NINE, 15 * IPS, rules).length


@pytest.mark.parametrize("terms", [{"takes": ()}, {"takes": (0,)}, {"reels_most": 0}, {"speed": Speed(0)}])
def test_a_request_that_asks_for_nothing_is_refused(terms: dict[str, Any]) -> None:
    with pytest.raises(ValueError):
        Request(**{"takes": (MINUTE,), "speed": Speed(15 * IPS), **terms})


def test_a_clear_reel_is_wiped_first_in_bulk_where_its_heads_were_others(empty: Store) -> None:
    studio = Studio(empty)
    studio.proved_take()
    found, _ = offered(studio, ask(tracks=4))
    assert found["R1"].wipe == "any"
    found, _ = offered(studio, ask(tracks=8))
    assert found["R1"].wipe == "bulk"
    wiped = planned(studio, ask(tracks=8))
    assert wiped is not None and wiped.wipe_first == (("R1", "bulk"),)


def test_the_wipe_that_must_come_first_counts_as_a_reuse(empty: Store) -> None:
    studio = Studio(empty)
    studio.wipe("2025-01-01")
    studio.find("listened", "0", "2025-01-02")
    studio.proved_take()
    assert codes(studio, ask(grade="standard")) == set()
    # critical bears one wipe: there was one, and there must be one more
    assert codes(studio, ask(grade="critical")) == {"too-many-reuses", "no-room"}


def test_a_part_used_reel_serves_its_project_after_its_last_recording_and_a_guard(empty: Store) -> None:
    studio = Studio(empty)
    studio.take("100 ft", "1000 ft")
    request = ask(project="inn", part_used=True, tracks=4)
    found, _ = offered(studio, request)
    after = 1000 * FOOT + 20 * 3810 + 2 * FOOT
    assert (found["R1"].stretches[0].lo, found["R1"].tones, found["R1"].wipe) == (after, None, None)
    # a whole number of tenths, rounded up; counted from the zero mark
    studio.add("zero_marks", reel="R1", date="2025-06-01", at="100.0001 m")
    found, _ = offered(studio, request)
    distance = 1000 * FOOT - 1_000_001
    assert found["R1"].stretches[0].lo == 1000 * FOOT + 20 * 3810 + -(-distance * 2 // 1000)


def test_gaps_between_masters_are_not_free(empty: Store) -> None:
    studio = Studio(empty)
    studio.take("50 ft", "60 ft")
    studio.take("2300 ft", "2400 ft", take="2")
    request = ask(project="inn", part_used=True)
    assert codes(studio, request) == {"no-room"}


PART_USED: dict[str, tuple[dict[str, Any], dict[str, str], set[str]]] = {
    "part used reels may not serve": ({"part_used": False}, {}, set()),
    "no project is named": ({"project": None}, {}, {"other-project"}),
    "another project": ({"project": "tale"}, {}, {"other-project"}),
    "another speed": ({"speed": Speed(30 * IPS)}, {}, {"other-speed"}),
    "another head format": ({"tracks": 8}, {}, {"other-tracks"}),
    "a take of another project on it": ({}, {"project": "tale"}, {"other-project", "no-release"}),
}


@pytest.mark.parametrize(("terms", "second", "wanted"), PART_USED.values(), ids=PART_USED.keys())
def test_a_part_used_reel_serves_nobody_else(
    empty: Store, terms: dict[str, Any], second: dict[str, str], wanted: set[str]
) -> None:
    studio = Studio(empty)
    studio.take()
    if second:
        studio.take("300 ft", "400 ft", take="2", **second)
    usual = {"project": "inn", "part_used": True, "tracks": 4}
    assert codes(studio, ask(**{**usual, **terms})) == {"not-clear", "not-transferred", *wanted}


@pytest.mark.parametrize(
    ("code", "tell"),
    [
        ("on-hold", lambda studio: studio.add("holds", hold="H1", reel="R1", date="2026-01-01", reason="a court asks")),
        ("not-here", lambda studio: studio.add("moves", reel="R1", date="2026-01-01", kind="out", to="client one")),
        ("unlogged-recording", lambda studio: studio.record("300 ft", "400 ft")),
        ("stray-field", lambda studio: studio.find("stray-field", "1", "2026-03-01")),
        ("no-release", lambda studio: studio.project.update(release_needed="yes")),
    ],
)
def test_a_part_used_reel_with_more_against_it_than_a_missing_proof_does_not_serve(
    empty: Store, code: str, tell: Any
) -> None:
    studio = Studio(empty)
    studio.take()
    request = ask(project="inn", part_used=True)
    assert codes(studio, request) == set()
    tell(studio)
    assert codes(studio, request) >= {"not-clear", "not-transferred", code}


def test_a_retired_part_used_reel_does_not_serve(empty: Store) -> None:
    studio = Studio(empty)
    studio.take()
    studio.add("retirements", reel="R1", date="2026-05-01", reason="worn")
    assert codes(studio, ask(project="inn", part_used=True)) == {"unfit-grade", "retired"}


def test_reels_of_others_and_reels_kept_for_others(empty: Store) -> None:
    studio = Studio(empty)
    studio.reel("R2", owner="Guest Band")
    studio.reel("R3", owner="")
    studio.add("reservations", reel="R1", project="tale", date="2026-05-01", until="2026-06-01")
    assert codes(studio, ask()) == {"reserved"}
    assert codes(studio, ask(project="tale")) == set()
    assert [codes(studio, ask(), reel) for reel in ("R2", "R3")] == [{"not-ours"}, {"not-ours"}]
    assert codes(studio, ask(owner=" guest band"), "R2") == set()
    studio.rows["reservations"][0]["until"] = "2026-05-31"
    assert codes(studio, ask()) == set()


def test_tape_that_does_not_suit(empty: Store) -> None:
    studio = Studio(empty)
    assert codes(studio, ask(width_um=50_800, formulations=("grey nine",))) == set()
    assert codes(studio, ask(width_um=25_400)) == {"wrong-width"}
    assert codes(studio, ask(formulations=("blue two",))) == {"wrong-formulation"}
    assert codes(studio, ask(largest_reel_um=266_700)) == {"size-unknown"}
    studio.find("crease", "2", "2026-01-01")
    assert codes(studio, ask()) == {"unfit-grade", "damaged"}
    assert codes(studio, ask(grade="scratch")) == set()


def test_a_project_stays_on_its_formulation_unless_told_otherwise(empty: Store) -> None:
    studio = Studio(empty)
    studio.add("formulations", formulation="blue two", base="polyester")
    studio.add("stock_items", stock_item="blue 2", formulation="blue two", width="2 in", length="2500 ft")
    studio.reel("R2", stock_item="blue 2")
    studio.take()
    assert codes(studio, ask(project="tale"), "R2") == set()
    assert codes(studio, ask(project="inn"), "R2") == {"wrong-formulation"}
    assert codes(studio, ask(project="inn", formulations=("blue two",)), "R2") == set()


def test_critical_and_standard_keep_away_from_splices_and_scratch_crosses_sound_ones(empty: Store) -> None:
    studio = Studio(empty)
    studio.add("splices", reel="R1", date="2025-01-01", at="1200 ft", state="sound")
    found, _ = offered(studio, ask())
    assert [(free.lo, free.hi) for free in found["R1"].stretches] == [
        (25 * FOOT + 105 * 3810, 1200 * FOOT - 2 * 3810),
        (1200 * FOOT + 2 * 3810, 2500 * FOOT - 30 * 3810),
    ]
    assert found["R1"].stretches[0].splice == 1200 * FOOT
    scratch, _ = offered(studio, ask(grade="scratch"))
    assert len(scratch["R1"].stretches) == 1
    studio.rows["splices"][0]["state"] = "doubtful"
    scratch, _ = offered(studio, ask(grade="scratch"))
    assert [free.hi for free in scratch["R1"].stretches][0] == scratch["R1"].stretches[1].lo == 1200 * FOOT


def test_a_scratch_take_has_at_most_four_splices_in_its_own_footprint(empty: Store) -> None:
    studio = Studio(empty)
    first = 25 * FOOT + 105 * 3810
    for number in range(5):
        place = first + number * FOOT
        studio.add("splices", reel="R1", date="2025-01-01", at=f"{place // 10_000}.{place % 10_000:04d} m")
    five = planned(studio, ask(grade="scratch"))
    assert five is not None and five.placements[0].lo == first + 1
    studio.rows["splices"].pop()
    four = planned(studio, ask(grade="scratch"))
    assert four is not None and four.placements[0].lo == first


def test_standings_taken_before_give_the_same_answer(empty: Store) -> None:
    studio = Studio(empty)
    studio.reel("R2")
    studio.take()
    house, request = studio.house(), ask(project="inn", part_used=True)
    known = {held.reel: held for held in standings(Judge(house), request)}
    assert candidates(Judge(house), request, known) == candidates(Judge(house), request)
    # at another speed they do not count
    fast = ask(speed=Speed(30 * IPS))
    assert candidates(Judge(house), fast, known) == candidates(Judge(house), fast)
    assert sort_out(known.values(), request, house.rules, ())[0]


def test_a_list_of_reels_shows_what_lies_in_the_longest_stretch_of_each(empty: Store) -> None:
    studio = Studio(empty)
    studio.reel("R2", length="1250 ft")
    house, request = studio.house(), ask(NINE, NINE, 4 * MINUTE)
    found, _ = candidates(Judge(house), request)
    ranked = rank(found, request, house.rules)
    assert [(row.candidate.reel, row.takes) for row in ranked] == [("R1", (0, 1, 2)), ("R2", (0,))]
    assert seconds(ranked[0].left) == 1845 - (604 + 5 + 604 + 5 + 280)
    loose = rank(found, ask(NINE, 8 * MINUTE, SECOND, any_order=True), house.rules)
    assert [row.takes for row in loose] == [(0, 1, 2), (0, 2)]
