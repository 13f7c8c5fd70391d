"""The default limits of each grade: just kept, and just passed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from stock.core.measure import FOOT, INCH, IPS
from stock.core.rules import GRADES
from stock.core.verdict import Advice
from stock.store.store import Store

from .builder import AS_OF, Studio, place

# The house's own limits: no published figure was found for what a professional tape bears.
PASSES = {"critical": 30, "standard": 150, "scratch": 400}
WIPES = {"critical": 1, "standard": 4, "scratch": 10}
FALL_DB = {"critical": "1", "standard": "2", "scratch": "3"}
SEVERITY = {"critical": 0, "standard": 1, "scratch": 2}
INSPECTION_DAYS = {"critical": 90, "standard": 365}


def fits(answer: Advice) -> dict[str, str]:
    return {grade: answer.fit(grade).answer for grade in GRADES}


def grades_from(first: str, below: str) -> dict[str, str]:
    """Fit for a grade and all lesser ones; below: what the better ones are."""
    at = [str(grade) for grade in GRADES].index(first)
    return {grade: "yes" if index >= at else below for index, grade in enumerate(GRADES)}


def next_grade(grade: str) -> dict[str, str]:
    """Fit for the grades below one, and none above."""
    at = [str(each) for each in GRADES].index(grade) + 1
    return {each: "yes" if index >= at else "no" for index, each in enumerate(GRADES)}


def passes(studio: Studio, grade: str, over: bool) -> None:
    studio.play(PASSES[grade] + over)


def tenths_of_a_pass(studio: Studio, grade: str, over: bool) -> None:
    studio.play(PASSES[grade] - 1)
    studio.play(10 + over, "wind")


def wipes(studio: Studio, grade: str, over: bool) -> None:
    for _ in range(WIPES[grade] + over):
        studio.wipe("2026-01-01")
    studio.find("listened", "0", "2026-01-02")


def response(studio: Studio, grade: str, over: bool) -> None:
    cells = {"reel": "R1", "at": "50 ft", "speed": "15 ips", "machine": "deck one", "track": "2"}
    fallen = f"-{FALL_DB[grade]}.001" if over else f"-{FALL_DB[grade]}"
    for when, level in (("2025-01-01", "0"), ("2026-01-01", fallen)):
        studio.add("response", **cells, date=when, frequency_hz="10 kHz", level_db=level)


def severity(studio: Studio, grade: str, over: bool) -> None:
    studio.find("pack", str(SEVERITY[grade] + over), "2026-01-01")


@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("tell", [passes, tenths_of_a_pass, wipes, response, severity])
def test_a_limit_holds_for_its_grade(empty: Store, tell: Callable[[Studio, str, bool], None], grade: str) -> None:
    for over, wanted in ((False, grades_from(grade, "no")), (True, next_grade(grade))):
        studio = Studio(empty)
        tell(studio, grade, over)
        assert fits(studio.answer()) == wanted


@pytest.mark.parametrize("grade", INSPECTION_DAYS)
def test_an_inspection_too_old_leaves_a_grade_unknown(empty: Store, grade: str) -> None:
    for over in (0, 1):
        studio = Studio(empty)
        studio.play(1)
        age = INSPECTION_DAYS[grade] + over
        studio.inspected["date"] = (date.fromisoformat(AS_OF) - timedelta(days=age)).isoformat()
        wanted = grades_from(grade, "unknown")
        if over:
            wanted[grade] = "unknown"
        assert fits(studio.answer()) == wanted


@pytest.mark.parametrize(
    ("cells", "falls"),
    [
        ({}, True),
        ({"speed": "30 ips"}, False),
        ({"at": "51 ft"}, False),
        ({"machine": "deck two"}, False),
        ({"track": "3"}, False),
        ({"frequency_hz": "1 kHz"}, False),
    ],
)
def test_a_fall_is_between_checks_of_one_speed_place_machine_and_track(
    empty: Store, cells: dict[str, str], falls: bool
) -> None:
    studio = Studio(empty)
    studio.add("machines", machine="deck two")
    usual = {"reel": "R1", "at": "50 ft", "speed": "15 ips", "machine": "deck one", "track": "2"}
    usual |= {"frequency_hz": "10 kHz"}
    studio.add("response", **usual, date="2025-01-01", level_db="0")
    studio.add("response", **{**usual, **cells}, date="2026-01-01", level_db="-3.5")
    assert fits(studio.answer()) == dict.fromkeys(GRADES, "no" if falls else "yes")


def test_a_bulk_wipe_is_a_reuse_and_no_pass(empty: Store) -> None:
    studio = Studio(empty)
    studio.play(30)
    studio.wipe("2026-01-01")
    studio.find("listened", "0", "2026-01-02")
    assert studio.answer().fitness.wear_most == 300
    assert fits(studio.answer()) == grades_from("critical", "no")


def test_a_take_wears_once_unless_a_record_pass_names_it(empty: Store) -> None:
    studio = Studio(empty)
    studio.take()
    assert studio.answer().fitness.wear_most == 10
    for name in ("1", "river/1"):
        studio.record("100 ft", "200 ft", take=name)
    assert studio.answer().fitness.wear_most == 20
    studio.record("100 ft", "200 ft", take="stone/1", count="3")
    assert studio.answer().fitness.wear_most == 50


@pytest.mark.parametrize(
    ("speed", "head", "tail"),
    [
        # 15 s and 30 s at the speed of use, and at least 25 ft at the head
        (30 * IPS, 450 * INCH, 900 * INCH),
        (15 * IPS, 25 * FOOT, 450 * INCH),
        (15 * IPS // 2, 25 * FOOT, 225 * INCH),
    ],
)
def test_head_and_tail_are_left_unused(empty: Store, speed: int, head: int, tail: int) -> None:
    studio = Studio(empty)
    answer = studio.answers(speed=speed)["R1"]
    assert answer.fitness.usable == (head, 2500 * FOOT - tail)
    assert answer.fit("critical").stretches == (answer.fitness.usable,)


@pytest.mark.parametrize(
    ("state", "kind", "scratch"), [("sound", "edit", 1), ("doubtful", "edit", 2), ("sound", "leader", 2)]
)
def test_a_splice_is_kept_away_from(empty: Store, state: str, kind: str, scratch: int) -> None:
    studio = Studio(empty)
    splice, head, tail = 1000 * FOOT, 25 * FOOT, 2500 * FOOT - 450 * INCH
    studio.add("splices", reel="R1", date="2025-01-01", at=place(splice), state=state, kind=kind)
    answer = studio.answer()
    guard = 30 * INCH  # 2 s at 15 in/s
    for grade in ("critical", "standard"):
        assert answer.fit(grade).stretches == ((head, splice - guard), (splice + guard, tail))
    whole, apart = ((head, tail),), ((head, splice), (splice, tail))
    assert answer.fit("scratch").stretches == {1: whole, 2: apart}[scratch]


def test_a_reel_chewed_at_its_head_is_fit_from_there_on(empty: Store) -> None:
    studio = Studio(empty)
    studio.find("edge", "3", "2025-01-01", start="0 ft", end="300 ft")
    answer = studio.answer()
    assert answer.fit("critical").stretches == ((300 * FOOT, 2500 * FOOT - 450 * INCH),)
    assert fits(answer) == grades_from("critical", "no")
    # an edge does not mend, however often nobody finds it
    studio.find("edge", "0", "2026-01-01")
    assert studio.answer().fit("critical").stretches == answer.fit("critical").stretches


def test_house_rules_move_the_limits(empty: Store) -> None:
    studio = Studio(empty)
    studio.play(31)
    assert studio.answer().best_grade == "standard"
    studio.add("rules", rule="passes_critical", value="31", date="2026-01-02", by="Cy Wren")
    assert studio.answer().best_grade == "critical"
    # of two rules of one day the stricter holds
    studio.add("rules", rule="passes_critical", value="30", date="2026-01-02", by="Ada Quill")
    assert studio.answer().best_grade == "standard"
    assert studio.house().rules.set_by.keys() == {"passes_critical"}
    assert studio.answer(day="2026-01-01").best_grade == "critical"  # before it was played
