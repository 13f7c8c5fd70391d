"""When nothing fits: what is there, and what would make room; each way is seen to be true by doing it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stock.core.picking.candidates import formulations_of, standings
from stock.core.picking.request import Request
from stock.core.record import StockItem
from stock.core.verdict import Judge
from stock.planning.why_not import Way, WhyNot, why_not_fit
from stock.store.store import Store
from tests.core.builder import Studio

from .asking import MINUTE, NINE, SECOND, ask, planned, seconds


def why_not(studio: Studio, request: Request) -> WhyNot:
    house = studio.house()
    assert planned(studio, request) is None, "it is asked only where nothing fits"
    stock: list[StockItem] = house.record.of("stock_items")
    held = standings(Judge(house), request)
    return why_not_fit(held, request, house.rules, formulations_of(house, request), stock)


def ways(studio: Studio, request: Request) -> dict[str, Way]:
    return {way.code: way for way in why_not(studio, request).ways}


def test_a_take_longer_than_any_reel_is_named_and_cut_to_the_second(empty: Store) -> None:
    studio = Studio(empty)
    request = ask(NINE, 40 * MINUTE)
    told = why_not(studio, request)
    assert told.too_long == (1,)
    assert told.longest is not None and told.longest[0] == "R1"
    assert seconds(told.longest[1].length) == 1845
    # one reel for both: nine minutes and a gap take 609 of the 1845 s; the rest holds 10 s + 1.1 times the take
    (shorter,) = (way for way in told.ways if way.code == "shorter")
    assert shorter.take == 1 and shorter.take_us is not None
    left = 40 * MINUTE - shorter.take_us
    assert left == 1114 * SECOND
    assert planned(studio, replace(request, takes=(NINE, left))) is not None
    assert planned(studio, replace(request, takes=(NINE, left + SECOND))) is None


def test_other_terms_are_offered_where_they_do(empty: Store) -> None:
    studio = Studio(empty)
    studio.reel("R2")
    studio.find("inspection", "0", "2026-05-02", reel="R2")
    assert ways(studio, ask(*[NINE] * 4, reels_most=1))["more-reels"].reels == 2
    assert "more-reels" not in ways(studio, ask(*[NINE] * 7, reels_most=2))
    # a second tape helps only where both may serve together
    studio.add("formulations", formulation="blue four", base="polyester")
    studio.add("stock_items", stock_item="blue 2", formulation="blue four", width="2 in", length="2500 ft")
    studio.reel("R3", stock_item="blue 2")
    studio.find("inspection", "0", "2026-05-02", reel="R3")
    assert "mix" in ways(studio, ask(*[NINE] * 7))
    assert planned(studio, ask(*[NINE] * 7, mix=True)) is not None
    assert "mix" not in ways(studio, ask(*[NINE] * 10))
    # in the order given 20, 4, 20, 4 would need a third reel, 20 and 4 twice fill two
    mixed = ask(20 * MINUTE, 20 * MINUTE, 4 * MINUTE, 4 * MINUTE)
    assert "any-order" in ways(studio, mixed)
    assert "any-order" not in ways(studio, replace(mixed, any_order=True, takes=(*mixed.takes, NINE)))


def test_part_used_reels_are_offered_to_their_own_project(empty: Store) -> None:
    studio = Studio(empty)
    studio.take()
    assert "part-used" in ways(studio, ask(NINE, project="inn"))
    assert "part-used" not in ways(studio, ask(NINE, project="tale"))
    assert "part-used" not in ways(studio, ask(NINE))


def test_the_best_lesser_grade_that_does(empty: Store) -> None:
    studio = Studio(empty)
    studio.play(40)
    assert ways(studio, ask(NINE, grade="critical"))["lower-grade"].says == "record it as standard"
    studio.play(200)
    assert ways(studio, ask(NINE, grade="critical"))["lower-grade"].says == "record it as scratch"
    studio.play(400)
    assert "lower-grade" not in ways(studio, ask(NINE, grade="critical"))


@pytest.mark.parametrize(
    ("code", "undo"),
    [
        ("listen-to-files", lambda rows: rows["listens"].clear()),
        ("one-copy-more", lambda rows: rows["copies"].pop()),
        ("one-copy-more", lambda rows: rows["copies"][1].update(medium="drive red")),
        ("wait", lambda rows: [rows["transfers"][0].update(date="2026-05-30T10:00:00Z")]),
    ],
)
def test_one_act_of_proof_that_would_clear_a_reel(empty: Store, code: str, undo: Any) -> None:
    studio = Studio(empty)
    studio.proved_take()
    assert planned(studio, ask(NINE)) is not None
    undo(studio.rows)
    if code == "one-copy-more" and len(studio.rows["copies"]) == 1:
        studio.rows["copy_checks"].pop()
    if code == "wait":
        studio.rows["listens"][0]["date"] = "2026-05-31"
        for check in studio.rows["copy_checks"]:
            check["date"] = "2026-05-31T10:00:00Z"
    found = ways(studio, ask(NINE))
    assert found[code].reel == "R1" and found[code].sure
    # with a hold besides, no single act clears it
    studio.add("holds", hold="H1", reel="R1", date="2026-01-01", reason="a court asks")
    assert not {"listen-to-files", "one-copy-more", "wait"} & set(ways(studio, ask(NINE)))


def test_a_reel_nobody_has_looked_at_may_prove_fit(empty: Store) -> None:
    studio = Studio(empty)
    studio.inspected["date"] = "2024-01-01"
    studio.play(1)
    look = ways(studio, ask(NINE))["inspect"]
    assert (look.reel, look.sure) == ("R1", False)
    studio.inspected["date"] = "2026-05-02"
    studio.wipe("2026-05-03")
    assert ways(studio, ask(NINE))["listen"].reel == "R1"


def test_the_fewest_new_reels_of_what_can_be_bought(empty: Store) -> None:
    studio = Studio(empty)
    studio.add("stock_items", stock_item="short", formulation="grey nine", width="2 in", length="1250 ft")
    told = ways(studio, ask(*[NINE] * 10))["new-reel"]
    assert told.reels == 3 and "grey 2" in told.says
    assert "new-reel" not in ways(studio, ask(NINE * 5))
