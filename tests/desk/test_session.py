"""The session log: takes written as they happen, ended by added facts alone, nothing recorded over unasked."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.measure import SECOND
from stock.core.moments import instant
from stock.core.record import Take
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, NoSuchReel
from stock.desk.session import log
from stock.desk.session.ending import reels_used, running_takes, to_do_list
from stock.desk.session.errors import AsksFirst, NeverRecord, NoTakeYet, NothingRuns, StillRunning
from stock.desk.session.loaded import load
from stock.edge.day_line import day_line
from stock.edge.problems import CellError
from stock.store.check import check

from .entries import FOOT, SECOND_AT_15, add
from .houses import open_desk

TEN = instant(datetime(2026, 11, 24, 10, tzinfo=UTC))


class Standing:
    """A clock that stands until it is moved on."""

    def __init__(self) -> None:
        self.now_us = TEN

    def __call__(self) -> int:
        return self.now_us

    def on(self, seconds: float) -> None:
        self.now_us += int(seconds * SECOND)


@pytest.fixture
def clock() -> Standing:
    return Standing()


@pytest.fixture
def studio(small_files: tuple[Path, Path], tmp_path: Path, clock: Standing) -> Iterator[Desk]:
    shutil.copyfile(small_files[0], tmp_path / "house.db")
    # the house was filled later than this clock: an empty journal line is never younger than the clock
    clock.now_us = instant(datetime(2026, 11, 24, 10, tzinfo=UTC))
    opened = open_desk(tmp_path, now_us=clock)
    yield opened
    opened.close()


def takes(desk: Desk, reel: str = "R1") -> list[Take]:
    """The takes that stand, voided ones left out."""
    house = desk.house([reel])
    return sorted(house.takes_of(reel))


def rows(desk: Desk, sql: str) -> list[tuple[object, ...]]:
    with desk.store.reading() as reader:
        return [tuple(row) for row in reader.raw(sql)]


def test_a_take_is_in_the_record_at_once_and_binds_to_the_end_of_the_tape(studio: Desk, clock: Standing) -> None:
    started = log.start(studio, "R1", at="2:10", speed="15 ips", project="inn", title="river", tracks="1 kick; 2-4")
    (take,) = takes(studio)
    assert (take.state, take.lo, take.hi) == ("running", 130 * SECOND_AT_15, 2500 * FOOT)
    assert (take.title, take.take, take.project, take.track_names) == ("river", "1", "inn", "1 kick")
    (advice,) = studio.advise(["R1"])
    assert advice.verdict == "keep"
    assert [each.label for each in running_takes(studio)] == ["river/1"]
    clock.on(60)
    with pytest.raises(StillRunning):
        log.start(studio, "R1", at="20:00")
    ended = log.stop(studio, "R1")
    (take,) = takes(studio)
    assert (take.entry, take.state, take.lo, take.hi) == (ended.entry, "whole", 130 * SECOND_AT_15, 190 * SECOND_AT_15)
    assert take.track_names == "1 kick"
    assert rows(studio, "SELECT target, reason FROM voids") == [(started.entry, "ended")]
    assert rows(studio, "SELECT kind, take, lo, hi, count FROM passes") == [
        ("record", "river/1", 130 * SECOND_AT_15, 190 * SECOND_AT_15, 1)
    ]
    assert running_takes(studio) == []
    with pytest.raises(NothingRuns):
        log.stop(studio, "R1")
    assert check(studio.store.path) == []


def test_ending_a_take_is_one_journal_line(studio: Desk) -> None:
    log.start(studio, "R1", at="2:10")
    before = rows(studio, "SELECT max(line) FROM journal")[0][0]
    log.stop(studio, "R1", at="3:10", plays=2)
    assert rows(studio, f"SELECT what, facts FROM journal WHERE line > {before}") == [("log stop R1", 4)]


def test_one_take_counts_as_one_pass_of_wear(studio: Desk) -> None:
    log.start(studio, "R1", at="2:10")
    log.stop(studio, "R1", at="3:10", plays=2)
    (advice,) = studio.advise(["R1"])
    assert advice.fitness.wear_most == 30
    log.played(studio, "R1", 3)
    (advice,) = studio.advise(["R1"])
    assert advice.fitness.wear_most == 60


def test_an_end_that_is_told_is_not_an_answer_loosened_but_a_take_taken_back_is(studio: Desk, clock: Standing) -> None:
    log.start(studio, "R1", at="2:10", project="inn")
    ended = log.stop(studio, "R1", at="3:10")
    clock.on(60)
    add(studio, "decision", reel="R1", title="untitled", take="1", keep="discard")
    (advice,) = studio.advise(["R1"])
    assert advice.erasable == "yes"
    assert "void-loosened" not in {reason.code for reason in advice.reasons}
    studio.void(ended.entry, "never happened")
    for (entry,) in rows(studio, "SELECT entry FROM passes"):
        studio.void(int(str(entry)), "never happened")
    (advice,) = studio.advise(["R1"])
    assert "void-loosened" in {reason.code for reason in advice.reasons}


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({}, False),
        ({"title": "barley"}, False),
        ({"project": "barn"}, True),
        ({"tracks": "2"}, True),
        ({"start": "2:20"}, True),
    ],
)
def test_only_the_same_recording_ended_is_not_a_take_taken_back(
    studio: Desk, clock: Standing, changed: dict[str, str], named: bool
) -> None:
    began = {"reel": "R1", "project": "inn", "title": "river", "take": "1", "start": "2:10", "speed": "15 ips",
             "tracks": "1"}  # fmt: skip
    running = add(studio, "take", **began, state="running")
    clock.on(60)
    told = {**began, **changed}
    add(studio, "take", **told, end="3:10", state="whole")
    studio.void(running, "ended")
    clock.on(60)
    add(studio, "decision", reel="R1", title=told["title"], take="1", keep="discard")
    add(studio, "release", reel="R1", granted_by="Dee Client")
    (advice,) = studio.advise(["R1"])
    assert advice.erasable == "yes"
    assert ("void-loosened" in {reason.code for reason in advice.reasons}) == named


def test_what_is_made_while_it_runs_was_not_made_after_it(studio: Desk, clock: Standing) -> None:
    log.start(studio, "R1", at="2:10", project="inn")
    clock.on(30)
    add(studio, "decision", reel="R1", title="untitled", take="1", keep="discard")
    clock.on(30)
    log.stop(studio, "R1")
    (advice,) = studio.advise(["R1"])
    assert advice.erasable == "no"


def test_the_next_take_goes_on_where_the_tape_stands(studio: Desk, clock: Standing) -> None:
    log.start(
        studio, "R1", at="2:10", speed="15 ips", project="inn", title="river", tracks="1 kick; 2-4", machine="deck one"
    )
    clock.on(240)
    log.stop(studio, "R1")
    second = log.start(studio, "R1").running
    assert (second.label, second.project, second.tracks, second.machine) == (
        "river/2",
        "inn",
        "1 kick; 2-4",
        "deck one",
    )
    assert second.start == (130 + 240) * SECOND_AT_15
    clock.on(5)
    log.stop(studio, "R1", false_start=True)
    assert [(take.take, take.state, take.keep) for take in takes(studio)] == [
        ("1", "whole", None),
        ("2", "false-start", None),
    ]
    third = log.start(studio, "R1", title="barley").running
    assert (third.label, third.tracks) == ("barley/1", "1 kick; 2-4")
    clock.on(10)
    log.stop(studio, "R1")
    # on to another reel: the title and the track sheet go along
    other = log.start(studio, "R2", project="inn").running
    assert (other.label, other.tracks) == ("barley/2", "1 kick; 2-4")


def test_the_tape_rolls_on_from_one_take_into_the_next(studio: Desk, clock: Standing) -> None:
    log.start(studio, "R1", at="2:10", title="river")
    clock.on(100)
    ended, started = log.stop(studio, "R1"), log.start(studio, "R1")
    assert (ended.label, started.running.label) == ("river/1", "river/2")
    assert started.running.start == ended.hi == 230 * SECOND_AT_15


def test_recording_over_something_live_is_asked_about_first(studio: Desk) -> None:
    log.start(studio, "R1", at="2:10", title="river", tracks="1-4")
    log.stop(studio, "R1", at="6:10")
    before = rows(studio, "SELECT max(line) FROM journal")
    for at, planned in (("5:00", None), ("1:00", 9 * 60 * SECOND), ("1:00", None)):
        with pytest.raises(AsksFirst) as asked:
            log.start(studio, "R1", at=at, tracks="4-6", planned_us=planned)
        (over,) = (concern for concern in asked.value.concerns if concern.code == "over-live")
        assert "river/1 lies at 2:10 to 6:10 on track 4" in over.says
    assert rows(studio, "SELECT max(line) FROM journal") == before, "nothing is entered before the yes"
    log.start(studio, "R1", at="5:00", tracks="5-8")
    log.stop(studio, "R1", at="5:30")
    punched = log.start(studio, "R1", at="5:00", tracks="4", yes=True)
    assert [concern.code for concern in punched.concerns] == ["over-live"]
    ended = log.stop(studio, "R1", at="5:30")
    assert "river/1" in {kept.label for kept in ended.over}
    assert any("it lies over river/1" in each for each in ended.says)


def test_a_yes_is_to_what_was_shown_and_not_to_what_came_since(studio: Desk) -> None:
    log.start(studio, "R1", at="2:10", title="river", tracks="1-4")
    log.stop(studio, "R1", at="6:10")
    with pytest.raises(AsksFirst) as asked:
        log.start(studio, "R1", at="5:00", tracks="4-6", planned_us=9 * 60 * SECOND)
    shown = asked.value.concerns
    other = {"title": "ferry", "take": "1", "start": "8:00", "end": "9:00", "speed": "15 ips", "tracks": "6"}
    add(studio, "take", reel="R1", **other)
    before = rows(studio, "SELECT max(line) FROM journal")
    with pytest.raises(AsksFirst) as asked:
        log.start(studio, "R1", at="5:00", tracks="4-6", planned_us=9 * 60 * SECOND, yes=shown)
    assert "ferry/1" in str(asked.value)
    assert rows(studio, "SELECT max(line) FROM journal") == before
    assert log.start(
        studio, "R1", at="5:00", tracks="4-6", planned_us=9 * 60 * SECOND, yes=asked.value.concerns
    ).running


def test_a_take_that_does_not_fit_is_asked_about_first(studio: Desk) -> None:
    with pytest.raises(AsksFirst) as asked:
        log.start(studio, "R1", at="26:00", planned_us=9 * 60 * SECOND)
    assert "a 9:00 take does not fit: 6:50 left to the end of usable tape" in str(asked.value)
    log.start(studio, "R1", at="22:00", planned_us=9 * 60 * SECOND)
    with pytest.raises(AsksFirst):
        log.start(studio, "R2", at="33:00")
    with pytest.raises(CannotEnter):
        log.start(studio, "R2", at="33:20", yes=True)


def test_a_track_beside_timecode_is_told_of_and_timecode_itself_asked_about(studio: Desk) -> None:
    add(studio, "stripe", reel="R1", track="8", at="0 ft", start_code="01:00:00:00", rate="25")
    assert log.start(studio, "R1", at="1:00").running.tracks == "1-7"
    log.stop(studio, "R1", at="1:10")
    beside = log.start(studio, "R1", at="2:00", tracks="6,7")
    assert [concern.code for concern in beside.concerns] == ["beside-timecode"]
    log.stop(studio, "R1", at="2:10")
    assert log.start(studio, "R1", at="3:00", tracks="1-6").concerns == ()
    log.stop(studio, "R1", at="3:10")
    with pytest.raises(AsksFirst) as asked:
        log.start(studio, "R1", at="4:00", tracks="8")
    assert "track 8 carries timecode" in str(asked.value)


def test_reels_not_to_be_recorded_on_are_asked_about_or_refused(studio: Desk) -> None:
    add(studio, "retirement", reel="R1", reason="worn")
    add(studio, "reservation", reel="R2", project="barn")
    add(studio, "finding", reel="R3", kind="sticky", severity="2")
    for reel, code in (("R1", "retired"), ("R2", "reserved"), ("R3", "sticky")):
        with pytest.raises(AsksFirst) as asked:
            log.start(studio, reel, at="2:00", project="inn")
        assert [concern.code for concern in asked.value.concerns] == [code]
    assert log.start(studio, "R2", at="2:00", project="barn").concerns == ()
    add(studio, "reel", reel="R9", stock_item="grey nine 2", tracks="8", role="reference")
    with pytest.raises(NeverRecord):
        log.start(studio, "R9", at="2:00", yes=True)
    with pytest.raises(NoSuchReel):
        log.start(studio, "R77")


def test_a_mark_is_made_where_the_tape_is(studio: Desk, clock: Standing) -> None:
    log.start(studio, "R1", at="2:10", title="river")
    clock.on(65)
    made = log.mark(studio, "R1", "lovely [bold]")
    assert made.words == "3:15"
    log.mark(studio, "R1", "cough", at="2:40")
    assert rows(studio, "SELECT lo, take, note FROM marks ORDER BY entry") == [
        (195 * SECOND_AT_15, "river/1", "lovely [bold]"),
        (160 * SECOND_AT_15, "river/1", "cough"),
    ]
    clock.on(10)
    log.stop(studio, "R1")
    log.mark(studio, "R1", at="3:00")
    assert rows(studio, "SELECT take FROM marks ORDER BY entry DESC LIMIT 1") == [("river/1",)]
    assert load(studio, "R1").marks == 3


def test_a_name_goes_to_the_take_its_passes_and_its_marks(studio: Desk, clock: Standing) -> None:
    log.start(studio, "R1", at="2:10", project="inn")
    clock.on(20)
    log.mark(studio, "R1", "here")
    _, name = log.name(studio, "R1", "river")
    assert name == "river/1"
    assert [(take.title, take.state, take.lo) for take in takes(studio)] == [("river", "running", 130 * SECOND_AT_15)]
    clock.on(20)
    log.stop(studio, "R1")
    (before,) = takes(studio)
    log.name(studio, "R1", "river mist", "7")
    (take,) = takes(studio)
    assert (take.title, take.take, take.state) == ("river mist", "7", "whole")
    assert (take.lo, take.hi, take.at_us) == (before.lo, before.hi, before.at_us)
    standing = "entry NOT IN (SELECT target FROM voids)"
    assert rows(studio, f"SELECT take FROM passes WHERE {standing}") == [("river mist/7",)]
    assert rows(studio, f"SELECT take, note FROM marks WHERE {standing}") == [("river mist/7", "here")]
    (advice,) = studio.advise(["R1"])
    assert advice.fitness.wear_most == 10
    add(studio, "decision", reel="R1", title="river mist", take="7", keep="discard")
    with pytest.raises(CannotEnter, match="decided on already"):
        log.name(studio, "R1", "barley")
    with pytest.raises(NoTakeYet):
        log.name(studio, "R3", "barley")


def test_a_place_typed_is_told_of_where_the_clock_says_otherwise(studio: Desk, clock: Standing) -> None:
    log.start(studio, "R1", at="2:10")
    clock.on(300)
    assert log.stop(studio, "R1", at="7:00").says == ()
    log.start(studio, "R1", at="8:00")
    clock.on(300)
    (says,) = log.stop(studio, "R1", at="9:00").says
    assert says == "by the clock it ran to 13:00, not 9:00"
    log.start(studio, "R1", at="14:00")
    with pytest.raises(CannotEnter, match="cannot end at 13:00"):
        log.stop(studio, "R1", at="13:00")
    clock.on(24 * 3600)
    ended = log.stop(studio, "R1")
    assert ended.hi == 2500 * FOOT
    assert "it ran to the very end of the tape" in ended.says


def test_the_counter_counts_from_the_zero_mark_and_the_head_of_a_varied_take_from_the_actual_speed(
    studio: Desk, clock: Standing
) -> None:
    add(studio, "zero-mark", reel="R1", at="100 ft")
    log.start(studio, "R1", at="2:10", speed="15 ips +4%")
    clock.on(100)
    log.stop(studio, "R1")
    (take,) = takes(studio)
    assert take.lo == 100 * FOOT + 130 * SECOND_AT_15
    assert take.hi - take.lo == 104 * SECOND_AT_15


def test_overdubs_of_a_day_go_in_as_one_line(studio: Desk) -> None:
    log.start(studio, "R1", at="0:20", title="river")
    log.stop(studio, "R1", at="5:40")
    _, read, over = log.overdubs(studio, "R1", "tracks 1,2, about 60 passes, 0:30 to 5:10", speed="15 ips")
    assert (read.times, read.about, over) == (60, True, ["river/1"])
    assert rows(studio, "SELECT kind, tracks, count, take, lo, hi, note FROM passes ORDER BY entry DESC LIMIT 1") == [
        ("record", 3, 60, "river/1", 30 * SECOND_AT_15, 310 * SECOND_AT_15, "about")
    ]
    with pytest.raises(CannotEnter):
        log.overdubs(studio, "R1", "tracks 9, 0:30 to 5:10")
    with pytest.raises(CannotEnter):
        log.overdubs(studio, "R1", "60 passes")


def test_what_is_left_to_do_follows_from_the_facts(studio: Desk, clock: Standing) -> None:
    assert to_do_list(studio) == []
    log.start(studio, "R1", at="2:10", project="inn")
    assert [(each.reel, each.code) for each in to_do_list(studio)][0] == ("R1", "end")
    clock.on(60)
    log.stop(studio, "R1")
    log.start(studio, "R2", at="2:10", title="barley", project="inn")
    clock.on(60)
    log.stop(studio, "R2")
    assert reels_used(studio) == ["R1", "R2"]
    assert [(each.reel, each.code) for each in to_do_list(studio)] == [
        ("R1", "name"), ("R1", "decide"), ("R1", "transfer"), ("R1", "wind"), ("R1", "shelf"),
        ("R2", "decide"), ("R2", "transfer"), ("R2", "wind"), ("R2", "shelf"),
    ]  # fmt: skip
    clock.on(60)
    add(studio, "pass", reel="R2", kind="wind")
    add(studio, "move", reel="R2", kind="shelf", to="A-1")
    add(studio, "decision", reel="R2", title="barley", take="1", keep="keep")
    add(studio, "transfer", transfer="T9", reel="R2", start="0 ft", end="2500 ft", speed="15 ips", tracks="1-8",
        sample_rate_hz="96000", bit_depth="24")  # fmt: skip
    assert {each.reel for each in to_do_list(studio)} == {"R1"}
    clock.on(24 * 3600)
    assert to_do_list(studio) == []


def test_two_stops_of_one_take_are_one(studio: Desk) -> None:
    log.start(studio, "R1", at="2:10")
    other = open_desk(studio.store.path.parent, "Bo Tarn", now_us=studio.now_us)
    try:
        log.stop(other, "R1", at="3:00")
    finally:
        other.close()
    with pytest.raises(NothingRuns):
        log.stop(studio, "R1", at="3:10")
    assert len(takes(studio)) == 1


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("tracks 9,12, about 60 passes, 0:30 to 5:10", ("9,12", 60, True, "record", "0:30", "5:10")),
        ("track 9, 12 play passes, 0:30 to 5:10", ("9", 12, False, "play", "0:30", "5:10")),
        ("0:30 - 5:10, tracks 1-8", ("1-8", 1, False, "record", "0:30", "5:10")),
        ("Tracks 1-4,9 from 300 ft to 412.5 ft, 3 passes", ("1-4,9", 3, False, "record", "300 ft", "412.5 ft")),
        ("overdubs on tracks 9 and 0:30 to 5:10", ("9", 1, False, "record", "0:30", "5:10")),
    ],
)
def test_a_day_line_is_read_as_it_is_told(line: str, read: tuple[object, ...]) -> None:
    assert tuple(day_line(line)) == read


@pytest.mark.parametrize(
    "line",
    ["", "60 passes", "tracks 9", "tracks 9 0:30", "tracks 9, 0 passes, 0:30 to 5:10", "tracks 9, x, 0:30 to 1:00"],
)
def test_a_day_line_that_is_not_understood_says_so(line: str) -> None:
    with pytest.raises(CellError, match="was expected"):
        day_line(line)


@given(st.text(max_size=60))
def test_no_day_line_breaks_the_reader(line: str) -> None:
    try:
        read = day_line(line)
    except CellError:
        return
    assert read.times >= 1
    assert read.start
    assert read.end
