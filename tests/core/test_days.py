"""Facts of one day, some with a time and some without: a whole day never helps towards a yes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

import pytest

from stock.core.measure import FOOT
from stock.core.moments import instant
from stock.store.store import Store

from .builder import Studio, codes, just_after, place

DAY = "2026-03-10"
NOON = "2026-03-10T12:00:00Z"
NEXT = "2026-03-11"

Tell = Callable[[Studio, str, str], None]
"""Tells what binds and what loosens, each with the date given."""


def a_hold(studio: Studio, binds: str, loosens: str) -> None:
    studio.add("holds", hold="H1", reel="R1", date=binds, reason="a court asks")
    studio.add("hold_ends", hold="H1", date=loosens)


def a_move(studio: Studio, binds: str, loosens: str) -> None:
    studio.add("moves", reel="R1", date=binds, kind="out")
    studio.add("moves", reel="R1", date=loosens, kind="back")


def an_exposure(studio: Studio, binds: str, loosens: str) -> None:
    studio.find("stray-field", "1", binds)
    studio.find("listened", "0", loosens)


def a_fault(studio: Studio, binds: str, loosens: str) -> None:
    studio.find("dropout", "1", binds)
    studio.find("dropout", "0", loosens)


def a_faulty_batch(studio: Studio, binds: str, loosens: str) -> None:
    studio.first_reel["batch"] = "b1"
    studio.reel("R2", batch="b1")
    studio.find("sticky", "1", binds, "R2")
    studio.inspected["date"] = loosens


def another_owner(studio: Studio, binds: str, loosens: str) -> None:
    studio.proved_take()
    studio.add("owners", reel="R1", date=binds, owner="client one")
    studio.add("owners", reel="R1", date=loosens, owner="house")


def a_failed_check(studio: Studio, binds: str, loosens: str) -> None:
    studio.proved_take()
    studio.check("c1", binds, result="fail")
    studio.check("c1", loosens)


def a_release(studio: Studio, binds: str, loosens: str) -> None:
    studio.take(when=binds, keep="tones")
    studio.project["release_needed"] = "yes"
    studio.add("releases", reel="R1", date=loosens, granted_by="Dee Client")


def a_discard(studio: Studio, binds: str, loosens: str) -> None:
    studio.take()
    studio.record("100 ft", "200 ft", binds, take="1")
    words = {"reel": "R1", "title": "river", "take": "1", "by": "Ada Quill"}
    studio.add("decisions", **words, date=loosens, keep="discard")


def a_discard_taken_back(studio: Studio, binds: str, loosens: str) -> None:
    studio.take()
    words = {"reel": "R1", "title": "river", "take": "1", "by": "Ada Quill"}
    studio.add("decisions", **words, date=binds, keep="keep")
    studio.add("decisions", **words, date=loosens, keep="discard")


def a_wipe(studio: Studio, binds: str, loosens: str) -> None:
    studio.take(when=binds)
    studio.wipe(loosens, method="bulk")
    studio.find("listened", "0", "2026-04-01")


def a_wipe_of_what_was_only_transferred(studio: Studio, binds: str, loosens: str) -> None:
    studio.transfer(binds)
    studio.wipe(loosens)
    studio.find("listened", "0", "2026-04-01")


TELLS: tuple[tuple[Tell, str], ...] = (
    (a_hold, "on-hold"),
    (a_move, "not-here"),
    (an_exposure, "stray-field"),
    (a_fault, "damaged"),
    (a_faulty_batch, "batch-suspect"),
    (another_owner, "no-release"),
    (a_failed_check, "copy-check-failed"),
    (a_release, "no-release"),
    (a_discard, "not-transferred"),
    (a_discard_taken_back, "not-transferred"),
    (a_wipe, "not-transferred"),
    (a_wipe_of_what_was_only_transferred, "unlogged-recording"),
)


@pytest.mark.parametrize(("tell", "code"), TELLS, ids=lambda value: getattr(value, "__name__", None))
@pytest.mark.parametrize(
    ("binds", "loosens", "stands"),
    [
        (DAY, DAY, True),
        (NOON, DAY, True),
        (DAY, NOON, True),
        (NOON, NOON, True),
        (NOON, just_after(NOON), False),
        (DAY, NEXT, False),
        (NOON, NEXT, False),
    ],
)
def test_what_binds_stands_unless_what_loosens_surely_came_after(
    empty: Store, tell: Tell, code: str, binds: str, loosens: str, stands: bool
) -> None:
    studio = Studio(empty)
    tell(studio, binds, loosens)
    assert (code in codes(studio.answer())) == stands


@pytest.mark.parametrize(
    ("recorded", "transferred", "lost"),
    [
        ("2025-07-01T10:00:00Z", "2025-07-01", True),
        ("2025-07-01", "2025-07-01T12:00:00Z", True),
        ("2025-07-01T10:00:00Z", "2025-07-01T10:00:00Z", True),
        ("2025-07-01", "2025-07-02", False),
    ],
)
def test_what_was_recorded_over_is_lost_unless_it_was_proved_first(
    empty: Store, recorded: str, transferred: str, lost: bool
) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.take["date"], chain.transfer["date"] = recorded, transferred
    over = studio.take(when="2026-01-01", take="2", title="stone")
    (note,) = [reason for reason in studio.answer().reasons if reason.code == "overwritten"]
    assert note.says.endswith("it is lost unproved" if lost else "its files are proved")
    # whole only where the transfer has all of what lies under the newer take
    over |= {"start": "150 ft", "end": "250 ft"}
    studio.rows["transfers"][0] |= {"date": "2025-07-02", "end": place(200 * FOOT - 1)}
    (note,) = [reason for reason in studio.answer().reasons if reason.code == "overwritten"]
    assert note.says.endswith("it is lost unproved")


@pytest.mark.parametrize(("wiped", "unproved"), [("2026-03-10", True), (NOON, False), ("2026-03-09", False)])
def test_a_wipe_of_the_day_the_database_was_made_needs_a_time_before_that(
    empty: Store, wiped: str, unproved: bool
) -> None:
    studio = Studio(empty)
    studio.made_us = instant(datetime.fromisoformat(NOON))
    studio.take()
    studio.wipe(wiped)
    assert ("not-transferred" in codes(studio.answer())) == unproved


def test_a_later_rule_of_the_same_day_holds(empty: Store) -> None:
    studio = Studio(empty)
    studio.play(31)
    studio.add("rules", rule="passes_critical", value="30", date="2026-01-02", by="Cy Wren")
    studio.add("rules", rule="passes_critical", value="31", date="2026-01-02T12:00Z", by="Cy Wren")
    assert studio.answer().best_grade == "critical"


def test_a_splice_remade_on_the_day_it_failed_is_the_later_one(empty: Store) -> None:
    studio = Studio(empty)
    cells = {"reel": "R1", "at": "1000 ft"}
    studio.add("splices", **cells, date=DAY, state="failed")
    remade = studio.add("splices", **cells, date=NOON, state="sound")
    assert "splice-doubtful" not in codes(studio.answer())
    remade["date"] = DAY
    assert "splice-doubtful" in codes(studio.answer())


@pytest.mark.parametrize(
    ("found", "cleared", "stands"),
    [("1-2", "1-2", False), ("1-2", "1", True), ("1-2", "", False), ("", "1-3", True), ("2", "1-2", False)],
)
def test_a_fault_ends_only_where_all_its_tracks_were_found_whole(
    empty: Store, found: str, cleared: str, stands: bool
) -> None:
    studio = Studio(empty)
    studio.find("dropout", "1", DAY, tracks=found)
    studio.find("dropout", "0", NEXT, tracks=cleared)
    assert ("damaged" in codes(studio.answer())) == stands


@pytest.mark.parametrize(("batch", "severity", "suspect"), [("b1", "1", True), ("b1", "0", False), ("", "1", False)])
def test_a_batch_is_suspect_by_its_name_and_a_real_fault(
    empty: Store, batch: str, severity: str, suspect: bool
) -> None:
    studio = Studio(empty)
    studio.first_reel["batch"] = batch
    studio.reel("R2", batch=batch)
    fault = studio.find("sticky", severity, "2026-05-20", "R2")
    assert ("batch-suspect" in codes(studio.answer())) == suspect
    studio.void(fault)
    # the void bears on every reel of the batch
    named = [reason.about for reason in studio.answer().reasons if reason.code == "void-loosened"]
    assert named == (["tape"] if suspect else [])


@pytest.mark.parametrize(("extra", "unlogged"), [(0, False), (1, True)])
def test_a_stray_is_timed_at_the_speed_it_ran_at(empty: Store, extra: int, unlogged: bool) -> None:
    # computed: 10 s at 15 in/s and 3 % more are 3.9243 m
    studio = Studio(empty)
    studio.take(keep="discard")
    studio.record("200 ft", place(200 * FOOT + 39_243 + extra), speed="15 ips +3%")
    assert ("unlogged-recording" in codes(studio.answer())) == unlogged
