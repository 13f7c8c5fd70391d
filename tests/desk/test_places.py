"""Where facts lie: counted from zero marks and stripes, on tape as it lay at their moment."""

from __future__ import annotations

import pytest

from stock.core.facts import Stretch
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter

from .entries import FOOT, SECOND_AT_15, add, fact, spans
from .houses import answers_of


@pytest.mark.parametrize(
    ("when", "zero_ft"),
    [
        ("2026-01-31", 0),
        ("2026-02-02", 60),
        ("2026-05-31", 60),
        ("2026-06-01T09:59:59.999999", 60),
        ("2026-06-01T10:00", 70),
        ("2026-06-01", 60),
        ("2026-06-02", 70),
    ],
)
@pytest.mark.parametrize("speed", ["15 ips", "15 ips +3%", "15 ips -50%"])
def test_a_time_counts_from_the_zero_mark_then_in_force_at_the_nominal_speed(
    desk: Desk, when: str, zero_ft: int, speed: str
) -> None:
    add(desk, "zero-mark", reel="R1", at="60 ft", date="2026-02-02")
    add(desk, "zero-mark", reel="R1", at="70 ft", date="2026-06-01T10:00")
    entry = add(desk, "pass", reel="R1", kind="play", date=when, start="1:00", end="2:00.5", speed=speed)
    start = zero_ft * FOOT + 60 * SECOND_AT_15
    assert fact(desk, entry).places == (Stretch("R1", start, start + 60 * SECOND_AT_15 + SECOND_AT_15 // 2),)


def test_a_time_before_zero_lies_before_the_mark_and_on_the_tape(desk: Desk) -> None:
    add(desk, "zero-mark", reel="R1", at="60 ft", date="2026-02-02")
    cells = {"reel": "R1", "date": "2026-03-02", "speed": "15 ips", "end": "1:00"}
    entry = add(desk, "pass", kind="play", start="-0:48", **cells)
    assert fact(desk, entry).places == (Stretch("R1", 0, 60 * FOOT + 60 * SECOND_AT_15),)
    with pytest.raises(CannotEnter) as refused:
        add(desk, "pass", kind="play", start="-0:48.001", **cells)
    assert [problem.column for problem in refused.value.problems] == ["start"]


def test_a_zero_mark_that_is_cut_away_is_the_head(desk: Desk) -> None:
    add(desk, "zero-mark", reel="R1", at="60 ft", date="2026-02-02")
    add(desk, "edit", reel="R1", date="2026-05-01", start="0 ft", end="100 ft")
    entry = add(desk, "pass", reel="R1", kind="play", date="2026-05-02", start="0:00", end="1:00", speed="15 ips")
    assert fact(desk, entry).places == (Stretch("R1", 100 * FOOT, 100 * FOOT + 60 * SECOND_AT_15),)


@pytest.mark.parametrize(
    ("rate", "begins", "code", "time_us"),
    [
        ("25", "01:00:00:00", "01:01:00:00", 60_000_000),
        ("24", "01:00:00:00", "01:01:00:12", 60_500_000),
        ("30", "01:00:00:00", "01:01:00:15", 60_500_000),
        # 1800 frames of 1001/30000 s; in drop frame the first two codes of that minute do not exist (SMPTE ST 12-1)
        ("29.97", "01:00:00:00", "01:01:00:00", 60_060_000),
        ("29.97 drop", "01:00:00;00", "01:01:00;02", 60_060_000),
    ],
)
def test_a_timecode_counts_from_the_stripe(desk: Desk, rate: str, begins: str, code: str, time_us: int) -> None:
    add(desk, "zero-mark", reel="R1", at="60 ft", date="2026-02-02")
    add(desk, "stripe", reel="R1", date="2026-02-03", track="8", at="50 ft", start_code=begins, rate=rate)
    cells = {"reel": "R1", "kind": "play", "date": "2026-03-02", "speed": "15 ips"}
    entry = add(desk, "pass", start=begins, end=code, **cells)
    ((_, lo, hi),) = fact(desk, entry).places
    assert lo == 50 * FOOT
    assert abs(1_000_000 * (hi - lo) - time_us * SECOND_AT_15) <= 500_000


def test_a_timecode_that_does_not_exist_or_has_no_stripe_is_refused(desk: Desk) -> None:
    cells = {"reel": "R1", "kind": "play", "date": "2026-03-02", "speed": "15 ips", "start": "01:00:00;00"}
    with pytest.raises(CannotEnter, match="no stripe"):
        add(desk, "pass", end="01:01:00;02", **cells)
    add(desk, "stripe", reel="R1", date="2026-02-03", start_code="01:00:00;00", rate="29.97 drop")
    with pytest.raises(CannotEnter) as refused:
        add(desk, "pass", end="01:01:00;01", **cells)
    assert [problem.column for problem in refused.value.problems] == ["end"]


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ({"start": "0 ft", "end": "2500.01 ft"}, "end"),
        ({"start": "2501 ft", "end": "2502 ft"}, "start"),
        ({"start": "0:00", "end": "33:20.01", "speed": "15 ips"}, "end"),
    ],
)
def test_a_place_beyond_the_end_is_refused_with_what_the_reel_held(
    desk: Desk, cells: dict[str, str], column: str
) -> None:
    with pytest.raises(CannotEnter) as refused:
        add(desk, "pass", reel="R1", kind="play", **cells)
    (problem,) = refused.value.problems
    assert problem.column == column
    assert "outside the tape: reel R1 held 2500 ft then" in problem.says
    add(desk, "pass", reel="R1", kind="play", start="0 ft", end="2500 ft")
    # 2500 ft at 15 ips last 33:20
    add(desk, "pass", reel="R1", kind="play", start="0:00", end="33:20", speed="15 ips")


def test_a_longer_length_lets_more_be_entered_from_then_on(desk: Desk) -> None:
    add(desk, "length", reel="R1", length="2600 ft", date="2026-05-01")
    entry = add(desk, "pass", reel="R1", kind="play", start="0 ft", end="2600 ft", date="2026-05-02")
    assert spans(desk, entry) == [("R1", 0, 2600)]
    with pytest.raises(CannotEnter, match="held 2500 ft then"):
        add(desk, "pass", reel="R1", kind="play", start="0 ft", end="2600 ft", date="2026-05-01")


@pytest.mark.parametrize(("start", "end"), [("1:00", "2:00"), ("100 ft", "2:00"), ("1:00", "500 ft")])
def test_times_without_a_speed_are_refused(desk: Desk, start: str, end: str) -> None:
    with pytest.raises(CannotEnter) as refused:
        add(desk, "pass", reel="R1", kind="play", start=start, end=end)
    assert [problem.column for problem in refused.value.problems] == ["speed"]


# tape that is cut and joined


def test_facts_after_a_cut_land_on_the_right_tape_and_backdated_ones_on_what_was_there(desk: Desk) -> None:
    add(desk, "edit", reel="R1", date="2026-05-01", start="0 ft", end="40 ft")

    def played(when: str) -> list[tuple[str, float, float]]:
        return spans(desk, add(desk, "pass", reel="R1", kind="play", date=when, start="100 ft", end="200 ft"))

    assert played("2026-05-02") == [("R1", 140, 240)]
    assert played("2026-04-30") == [("R1", 100, 200)]
    # of the same whole day: the places are those of its morning
    assert played("2026-05-01") == [("R1", 100, 200)]
    assert played("2026-05-01T23:59") == [("R1", 100, 200)]


def test_a_fact_of_the_minute_of_an_edit_lies_on_what_the_edit_left(desk: Desk) -> None:
    add(desk, "edit", reel="R1", date="2026-05-01T11:00", start="0 ft", end="40 ft")
    cells = {"reel": "R1", "kind": "play", "start": "100 ft", "end": "200 ft"}
    assert spans(desk, add(desk, "pass", date="2026-05-01T11:00", **cells)) == [("R1", 140, 240)]
    assert spans(desk, add(desk, "pass", date="2026-05-01T10:59:59.999999", **cells)) == [("R1", 100, 200)]
    # another edit of that minute: both places are as the reel was before it
    second = add(desk, "edit", reel="R1", date="2026-05-01T11:00", start="100 ft", end="110 ft")
    assert spans(desk, second) == [("R1", 100, 110)]


def test_facts_on_a_joined_reel_lie_on_both_tapes(desk: Desk) -> None:
    add(desk, "edit", reel="R1", date="2026-05-01", start="1000 ft", end="1100 ft", to_reel="R2", to_at="500 ft")
    cells = {"kind": "play", "date": "2026-05-02"}
    across = add(desk, "pass", reel="R2", start="450 ft", end="650 ft", **cells)
    assert spans(desk, across) == [("R2", 450, 500), ("R1", 1000, 1100), ("R2", 500, 550)]
    gap = add(desk, "pass", reel="R1", start="950 ft", end="1050 ft", **cells)
    assert spans(desk, gap) == [("R1", 950, 1000), ("R1", 1100, 1150)]
    whole = add(desk, "pass", reel="R2", **cells)
    assert spans(desk, whole) == [("R2", 0, 500), ("R1", 1000, 1100), ("R2", 500, 2500)]
    assert spans(desk, add(desk, "splice", reel="R2", at="550 ft", date="2026-05-02")) == [("R1", 1050, 1050)]


def test_tape_moves_on_from_reel_to_reel(desk: Desk) -> None:
    add(desk, "edit", reel="R1", date="2026-05-01", start="0 ft", end="100 ft", to_reel="R2", to_at="0 ft")
    second = add(desk, "edit", reel="R2", date="2026-05-02", start="50 ft", end="150 ft", to_reel="R3")
    assert spans(desk, second) == [("R1", 50, 100), ("R2", 0, 50)]
    entry = add(desk, "pass", reel="R3", kind="play", date="2026-05-03", start="2490 ft", end="2590 ft")
    assert spans(desk, entry) == [("R3", 2490, 2500), ("R1", 50, 100), ("R2", 0, 40)]


@pytest.mark.parametrize("hold_first", [True, False])
def test_a_hold_covers_tape_that_was_on_the_reel_at_any_time_of_its_day(desk: Desk, hold_first: bool) -> None:
    hold = {"hold": "h", "reel": "R2", "reason": "asked for", "date": "2026-05-01"}
    joined = {"reel": "R1", "date": "2026-05-01", "start": "0 ft", "end": "100 ft", "to_reel": "R2", "to_at": "0 ft"}
    if hold_first:
        add(desk, "edit", **joined)
        entry = add(desk, "hold", **hold)
        assert spans(desk, entry) == [("R2", 0, 2500), ("R1", 0, 100)]
    gone = {"reel": "R2", "date": "2026-05-01", "start": "500 ft", "end": "600 ft", "to_reel": "R3"}
    add(desk, "edit", **gone)
    if not hold_first:
        entry = add(desk, "hold", **hold)
    answers = answers_of(desk)
    assert "on-hold" in {reason.code for reason in answers["R2"][3]}
    assert "on-hold" in {reason.code for reason in answers["R3"][3]}
    assert "on-hold" not in {reason.code for reason in answers["R1"][3]}
