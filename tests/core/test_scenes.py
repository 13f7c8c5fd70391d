"""Scenes of the studio's life, each with the answer it must get."""

from __future__ import annotations

import pytest

from stock.core.measure import FOOT, INCH
from stock.core.reasons import Reason
from stock.core.verdict import Advice
from stock.store.store import Store

from .builder import Studio, codes, place


def the(answer: Advice, code: str) -> Reason:
    """The one reason of that code."""
    (found,) = [reason for reason in answer.reasons if reason.code == code]
    return found


def test_transferred_on_tuesday_and_punched_in_on_wednesday(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.take["date"], chain.transfer["date"] = "2025-07-28", "2025-07-29"
    assert studio.answer().verdict == "clear"
    studio.record("150 ft", "160 ft", "2025-07-30", tracks="2", take="river/1")
    reason = the(studio.answer(), "partly-transferred")
    assert (reason.lo, reason.hi, reason.tracks) == (150 * FOOT, 160 * FOOT, 0b10)
    assert studio.answer().verdict == "keep"


def test_recorded_and_transferred_on_one_day_without_times(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.take["date"] = chain.transfer["date"] = "2025-07-28"
    assert codes(studio.answer()) == {"not-transferred"}
    chain.take["date"], chain.transfer["date"] = "2025-07-28T11:00Z", "2025-07-28T18:00Z"
    assert studio.answer().verdict == "clear"


def test_a_discard_by_nobody_is_none(empty: Store) -> None:
    studio = Studio(empty)
    take = studio.take(keep="discard", by="")
    assert codes(studio.answer()) == {"not-transferred"}
    take["by"] = "Ada Quill"
    assert studio.answer().verdict == "clear"


def test_a_take_entered_as_discard_does_not_cover_a_later_recording(empty: Store) -> None:
    studio = Studio(empty)
    studio.take(keep="discard")
    overdub = studio.record("150 ft", "160 ft", "2025-07-02", take="1")
    assert the(studio.answer(), "not-transferred").lo == 150 * FOOT
    decision = studio.add(
        "decisions", reel="R1", title="river", take="1", date="2025-07-02", keep="discard", by="Ada Quill"
    )
    assert codes(studio.answer()) == {"not-transferred"}  # of the same day, so perhaps decided before
    decision["date"] = "2025-07-03"
    assert studio.answer().verdict == "clear"
    decision["date"], overdub["date"] = "2025-06-30", "2025-07-01"
    assert codes(studio.answer()) == {"not-transferred"}


def test_the_newest_decision_holds_and_a_tie_keeps(empty: Store) -> None:
    studio = Studio(empty)
    studio.take()
    words = {"reel": "R1", "title": "river", "take": "1", "by": "Ada Quill"}
    discard = studio.add("decisions", **words, date="2025-08-01T10:00Z", keep="discard")
    assert studio.answer().verdict == "clear"
    keep = studio.add("decisions", **words, date="2025-08-01T10:00Z", keep="keep")
    assert studio.answer().verdict == "keep"
    discard["date"] = "2025-08-01T10:01Z"
    assert studio.answer().verdict == "clear"
    keep["date"] = "2025-08-02"
    assert studio.answer().verdict == "keep"


def test_tones_need_no_name_and_end_with_a_recording_over_them(empty: Store) -> None:
    studio = Studio(empty)
    studio.take(title="tones", keep="tones", by="", project="")
    studio.project["release_needed"] = "yes"
    assert codes(studio.answer()) == {"no-release"}  # of no project, so that somebody's word is needed
    studio.add("releases", reel="R1", date="2025-08-01", granted_by="Dee Client")
    assert studio.answer().verdict == "clear"
    studio.record("150 ft", "160 ft", "2025-07-02")
    assert codes(studio.answer()) == {"not-transferred"}


def test_of_two_reels_of_a_set_neither_goes_before_both_may(empty: Store) -> None:
    studio = Studio(empty)
    studio.reel("R2")
    studio.find("inspection", "0", "2026-05-02", "R2")
    studio.proved_take()
    take = studio.take(reel="R2")
    for reel in ("R1", "R2"):
        studio.add("sets", set="S1", reel=reel, date="2025-07-01")
    answers = studio.answers()
    assert codes(answers["R1"]) == {"set-not-clear"}
    assert codes(answers["R2"]) == {"not-transferred"}
    studio.prove(take, "T2", reel="R2")
    assert [answer.verdict for answer in studio.answers().values()] == ["clear", "clear"]


def assembled(empty: Store) -> Studio:
    """A master, M1, with a stretch of R1 joined in 10 ft from its head."""
    studio = Studio(empty)
    studio.reel("M1", role="master")
    studio.take()
    studio.add("edits", reel="R1", date="2025-09-01", start="90 ft", end="210 ft", to_reel="M1", to_at="10 ft")
    return studio


def test_an_assembled_master_carries_takes_and_splices(empty: Store) -> None:
    answers = assembled(empty).answers()
    take = the(answers["M1"], "not-transferred")
    assert (take.lo, take.hi) == (20 * FOOT, 120 * FOOT)
    assert [joint.at for joint in answers["M1"].fitness.joints] == [10 * FOOT, 130 * FOOT]
    assert [joint.at for joint in answers["R1"].fitness.joints] == [90 * FOOT]
    assert answers["M1"].view.length == 2620 * FOOT
    assert answers["R1"].view.length == 2380 * FOOT
    assert answers["R1"].verdict == "blank"
    assert "no-release" in codes(answers["M1"])


@pytest.mark.parametrize(("day", "goes_along"), [("2025-08-31", True), ("2025-09-02", False)])
def test_an_assembled_master_carries_holds_owner_and_releases(empty: Store, day: str, goes_along: bool) -> None:
    studio = assembled(empty)
    studio.add("holds", hold="H1", reel="R1", date=day, reason="a court asks")
    studio.add("releases", reel="R1", date=day, granted_by="Dee Client")
    found = codes(studio.answer("M1"))
    assert ("on-hold" in found) == goes_along
    assert ("no-release" in found) == (not goes_along)
    studio = assembled(empty)
    studio.add("owners", reel="R1", date=day, owner="client one")
    owners = {answer.reel: "no-release" in codes(answer) for answer in studio.answers().values()}
    assert owners == {"M1": True, "R1": False}  # it is a master anyhow, and nothing is left on R1
    studio.rows["reels"][-1]["role"] = ""
    assert ("no-release" in codes(studio.answer("M1"))) == goes_along


def test_a_hold_of_the_day_of_an_edit_binds_both_reels(empty: Store) -> None:
    studio = assembled(empty)
    studio.add("holds", hold="H1", reel="R1", date="2025-09-01", reason="a court asks")
    assert {answer.reel for answer in studio.answers().values() if "on-hold" in codes(answer)} == {"M1", "R1"}


def test_tape_thrown_away_takes_its_take_wear_and_faults_along(empty: Store) -> None:
    studio = Studio(empty)
    studio.take()
    studio.record("100 ft", "200 ft", take="1", count="500")
    studio.find("crease", "3", "2025-08-01", start="150 ft", end="151 ft")
    assert the(studio.answer(), "too-many-passes").lo == 100 * FOOT
    studio.add("edits", reel="R1", date="2025-09-01", start="100 ft", end="200 ft")
    answer = studio.answer()
    assert answer.verdict == "blank"
    assert codes(answer) == set()
    assert [joint.at for joint in answer.fitness.joints] == [100 * FOOT]
    assert [piece for _, piece in studio.house().layouts.thrown_away] == [("R1", 100 * FOOT, 200 * FOOT)]
    assert studio.answer(day="2025-08-31").verdict == "keep"


def test_what_a_shorter_measurement_says_is_not_there_is_still_asked_about(empty: Store) -> None:
    studio = Studio(empty)
    studio.take("2400 ft", "2450 ft")
    studio.add("lengths", reel="R1", date="2025-09-01", length="2300 ft")
    answer = studio.answer()
    assert answer.view.length == 2300 * FOOT
    assert codes(answer) == {"not-transferred"}


def test_a_worn_reel_with_an_unproved_take_is_kept_with_advice(empty: Store) -> None:
    studio = Studio(empty)
    studio.take("0 ft", "2500 ft")
    studio.play(400)
    answer = studio.answer()
    assert answer.verdict == "keep"
    assert the(answer, "worn-out").remedy == "transfer it and prove the transfer, then retire it"
    assert codes(answer) == {"not-transferred", "too-many-passes"}


def test_a_worn_reel_with_nothing_to_lose_is_to_be_retired(empty: Store) -> None:
    studio = Studio(empty)
    studio.play(401)
    assert studio.answer().verdict == "retire"
    studio = Studio(empty)
    studio.add("retirements", reel="R1", date="2026-01-01")
    assert studio.answer().verdict == "retire"
    assert the(studio.answer(), "nothing-recorded").severity == "note"


def test_nothing_to_lose_and_fitness_unknown_is_to_be_inspected(empty: Store) -> None:
    studio = Studio(empty)
    studio.proved_take()
    studio.formulation["binder_watch"] = "yes"
    studio.inspected["date"] = "2025-05-31"
    assert studio.answer().verdict == "inspect"


def test_a_void_that_loosened_an_answer_is_named(empty: Store) -> None:
    studio = Studio(empty)
    take = studio.take()
    assert studio.answer().verdict == "keep"
    studio.void(take)
    answer = studio.answer()
    assert answer.verdict == "blank"
    reason = the(answer, "void-loosened")
    assert (reason.about, reason.severity) == ("recording", "note")
    voids = {fact for fact in reason.facts if fact != int(take["entry"])}
    assert len(voids) == 1
    # a void counts at every day, also before its own
    assert studio.answer(day="2025-12-31").verdict == "blank"
    studio.take(take="2", title="stone")
    assert "void-loosened" not in {reason.code for reason in studio.answer().reasons}


def test_every_reason_is_listed_and_not_the_first_one_found(empty: Store) -> None:
    studio = Studio(empty)
    studio.take()
    studio.take("300 ft", "400 ft", title="stone")
    studio.first_reel["role"] = "reference"
    studio.add("moves", reel="R1", date="2026-01-01", kind="lost")
    studio.add("holds", hold="H1", reel="R1", date="2026-01-01", reason="a court asks")
    found = [reason.code for reason in studio.answer().reasons]
    assert found == ["not-here", "not-transferred", "not-transferred", "on-hold", "reference-tape"]


@pytest.mark.parametrize("gap", [1, INCH, INCH + 1])
def test_each_join_between_pieces_is_a_splice(empty: Store, gap: int) -> None:
    studio = Studio(empty)
    at = 1000 * FOOT
    studio.add("edits", reel="R1", date="2025-09-01", start=place(at), end="1010 ft")
    studio.add("edits", reel="R1", date="2025-09-02", start=place(at + gap), end="1010 ft")
    assert [joint.at for joint in studio.answer().fitness.joints] == [at, at + gap]


def test_a_splice_entered_within_an_inch_of_a_join_is_that_join(empty: Store) -> None:
    studio = Studio(empty)
    studio.add("edits", reel="R1", date="2025-09-01", start="1000 ft", end="1010 ft")
    entered = studio.add("splices", reel="R1", date="2025-09-02", at=place(1000 * FOOT + INCH), state="failed")
    (joint,) = studio.answer().fitness.joints
    assert (joint.at, joint.state, joint.firm) == (1000 * FOOT, "failed", True)
    entered["at"] = place(1000 * FOOT + INCH + 1)
    assert [joint.state for joint in studio.answer().fitness.joints] == ["sound", "failed"]
