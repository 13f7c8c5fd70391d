"""Advice to cut: what it promises holds once the cut is entered."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.core.measure import FOOT
from stock.core.rules import GRADES
from stock.core.trimming import trims
from stock.store.store import Store

from .builder import Studio, place


def test_a_chewed_head_is_cut_off(empty: Store) -> None:
    studio = Studio(empty)
    studio.find("edge", "1", "2026-05-03", start="0 ft", end="40 ft")
    (trim,) = trims(studio.answer())
    assert (trim.lo, trim.hi, trim.grades) == (0, 40 * FOOT, ("critical",))
    assert not trim.regained
    assert trim.left == 2460 * FOOT
    # 15 s at 15 in/s are 18.75 ft, so the unused head is 25 ft; the unused tail is 30 s, 37.5 ft
    assert trim.fit_left == 2460 * FOOT - 25 * FOOT - 75 * FOOT // 2
    assert trim.free


def test_sick_tape_joined_in_is_cut_out_and_regains_all(empty: Store) -> None:
    studio = Studio(empty)
    studio.reel("R2")
    studio.find("sticky", "2", "2026-05-03", reel="R2")
    studio.add("edits", reel="R2", date="2026-05-04", start="0 ft", end="300 ft", to_reel="R1", to_at="2500 ft")
    answer = studio.answer()
    assert {answer.fit(grade).answer for grade in GRADES} == {"no"}
    best = trims(answer)[0]
    assert (best.lo, best.hi) == (2500 * FOOT, 2800 * FOOT)
    assert best.regained
    studio.add("edits", reel="R1", date="2026-05-20", start=place(best.lo), end=place(best.hi))
    after = studio.answer()
    assert {after.fit(grade).answer for grade in best.grades} == {"yes"}
    assert after.fit(best.grades[0]).longest == best.fit_left


def test_nothing_is_cut_where_all_is_fit_or_the_fault_is_everywhere(empty: Store) -> None:
    studio = Studio(empty)
    assert trims(studio.answer()) == []
    studio.find("sticky", "2", "2026-05-03")
    assert trims(studio.answer()) == []


def test_the_place_of_a_response_check_is_not_cut_away(empty: Store) -> None:
    studio = Studio(empty)
    for when, level in (("2026-01-10", "0"), ("2026-04-10", "-5")):
        studio.add("response", reel="R1", date=when, at="100 ft", frequency_hz="10000", level_db=level, track="1")
    studio.find("edge", "1", "2026-05-03", start="0 ft", end="120 ft")
    assert trims(studio.answer()) == []


def test_what_may_not_go_is_said(empty: Store) -> None:
    studio = Studio(empty)
    studio.find("edge", "1", "2026-05-03", start="0 ft", end="150 ft")
    studio.take("100 ft", "200 ft")
    assert [trim.free for trim in trims(studio.answer())] == [False]


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=30, deadline=None)
@given(
    faults=st.lists(
        st.tuples(
            st.sampled_from(["edge", "crease", "dropout", "stretch"]),
            st.sampled_from(["1", "2", "3"]),
            st.integers(0, 2400),
            st.integers(1, 300),
        ),
        max_size=4,
    ),
    worn=st.lists(
        st.tuples(st.integers(0, 2400), st.integers(10, 600), st.sampled_from(["40", "200", "500"])), max_size=2
    ),
    splices=st.lists(st.tuples(st.integers(30, 2450), st.sampled_from(["sound", "failed"])), max_size=3),
)
def test_the_grade_promised_is_there_once_the_cut_is_entered(
    empty: Store,
    faults: list[tuple[str, str, int, int]],
    worn: list[tuple[int, int, str]],
    splices: list[tuple[int, str]],
) -> None:
    studio = Studio(empty)
    for kind, severity, start, size in faults:
        studio.find(kind, severity, "2026-05-03", start=f"{start} ft", end=f"{min(start + size, 2500)} ft")
    for start, size, count in worn:
        studio.record(f"{start} ft", f"{min(start + size, 2500)} ft", count=count, kind="play")
    for at, state in splices:
        studio.add("splices", reel="R1", date="2026-05-03", at=f"{at} ft", state=state)
    before = studio.answer()
    for trim in trims(before):
        cut = studio.add("edits", reel="R1", date="2026-05-20", start=place(trim.lo), end=place(trim.hi))
        after = studio.answer()
        assert after.view.length == trim.left
        for grade in trim.grades:
            assert after.fit(grade).answer == "yes"
            assert after.fit(grade).longest >= trim.fit_left
            assert trim.regained == (before.fit(grade).answer != "yes")
        assert min(after.fit(grade).longest for grade in trim.grades) == trim.fit_left
        studio.rows["edits"].remove(cut)
