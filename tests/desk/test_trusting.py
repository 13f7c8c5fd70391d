"""The critical check: what is known of one place, and that it says yes only where all is well."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.critical import Trust
from stock.core.measure import SECOND
from stock.core.trust_words import trust_lines
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, NoSuchReel
from stock.desk.trusting import trust_at

from .entries import FOOT, SECOND_AT_15, add


def ask(desk: Desk, at: str = "10:00", **asked: object) -> Trust:
    return trust_at(desk, "R1", at, speed="15 ips", **asked)  # type: ignore[arg-type]


def said(found: Trust, label: str) -> str:
    lines = trust_lines(found)
    at = next(number for number, line in enumerate(lines) if line.label == label)
    rest = [line.says for line in lines[at + 1 :]]
    labels = [line.label for line in lines[at + 1 :]]
    more = next((number for number, each in enumerate(labels) if each), len(labels))
    return "; ".join([lines[at].says, *rest[:more]])


def test_sealed_tape_never_used_is_trusted_between_its_unused_ends(desk: Desk) -> None:
    found = ask(desk)
    assert found.answer == "yes"
    # 15 s are 18.75 ft at 15 in/s, less than the 25 ft that are left at least
    assert found.stretch == (25 * FOOT, 2500 * FOOT - 30 * SECOND_AT_15)
    assert (found.wear.tenths, found.wear.grade) == (0, "critical")
    assert (found.before, found.after, found.faults, found.response, found.nearby) == (None, None, (), (), ())
    assert (found.inspected_days, found.code) == (None, None)
    assert ask(desk, "0:10").answer == "no"
    assert "outside the usable tape" in said(ask(desk, "33:10"), "trust it")


def test_passes_here_are_counted_and_the_nearest_limit_named(desk: Desk) -> None:
    add(desk, "finding", reel="R1", kind="inspection", severity="0")
    add(desk, "pass", reel="R1", kind="play", start="9:00", end="11:00", speed="15 ips", count="29")
    add(desk, "pass", reel="R1", kind="wind")
    assert ask(desk).wear.tenths == 291
    assert said(ask(desk), "passes") == "29.1 passes here; critical bears 30, 0 more"
    assert said(ask(desk, "12:00"), "passes").startswith("0.1 passes here")
    add(desk, "pass", reel="R1", kind="play", start="9:00", end="11:00", speed="15 ips", count="2")
    found = ask(desk)
    assert found.answer == "no"
    assert found.wear.grade == "standard"
    assert [reason.code for reason in found.reasons] == ["too-many-passes"]
    assert ask(desk, grade="standard").answer == "yes"
    assert ask(desk, "12:00").answer == "yes"


def test_the_splices_to_either_side_are_told_with_state_and_age(desk: Desk) -> None:
    add(desk, "splice", reel="R1", at="9:00", speed="15 ips", kind="repair", date="2026-11-10")
    add(desk, "splice", reel="R1", at="10:30", speed="15 ips", state="doubtful", date="2026-11-19")
    add(desk, "splice", reel="R1", at="20:00", speed="15 ips")
    found = ask(desk)
    assert found.before is not None
    assert found.after is not None
    assert (found.before.joint.kind, found.before.joint.state, found.before.age_days) == ("repair", "sound", 10)
    assert (found.after.joint.state, found.after.away, found.after.age_days) == ("doubtful", 30 * SECOND_AT_15, 1)
    assert said(found, "splice after") == "doubtful edit 0:30 after, at 10:30, 1 day old"
    # a critical take stays two seconds away from any splice
    assert [ask(desk, at).answer for at in ("8:57", "8:59", "9:01", "9:03")] == ["yes", "no", "no", "no"]
    assert "no fit stretch long enough lies here" in said(ask(desk, "9:30"), "trust it")
    assert [ask(desk, at).answer for at in ("19:57", "19:59", "20:01", "20:03")] == ["yes", "no", "no", "yes"]
    assert said(ask(desk, "5:00"), "splice before") == "none before this place"


def test_findings_response_and_inspection_are_told(desk: Desk) -> None:
    add(desk, "finding", reel="R1", kind="inspection", severity="0", date="2026-11-01")
    add(desk, "finding", reel="R1", kind="dropout", severity="1", start="9:50", end="10:10", speed="15 ips", tracks="3",
        date="2026-11-18")  # fmt: skip
    for level, date in (("0.1", "2026-10-01"), ("-0.3", "2026-11-18")):
        add(desk, "response", reel="R1", at="20 ft", speed="15 ips", track="1", frequency_hz="10 kHz", level_db=level,
            date=date)  # fmt: skip
    found = ask(desk)
    assert found.answer == "no"
    assert said(found, "findings") == "dropout, severity 1 on track 3, 2 days ago"
    assert said(found, "response") == "10 kHz -0.3 dB, fallen 0.4 dB since the first check, track 1, 2 days ago"
    assert said(found, "inspected") == "19 days ago; critical asks for 90"
    clear = ask(desk, "11:00")
    assert (clear.answer, clear.faults) == ("yes", ())


def test_where_only_knowledge_lacks_it_is_not_known_and_never_yes(desk: Desk) -> None:
    add(desk, "pass", reel="R1", kind="play", date="2026-11-01")
    found = ask(desk)
    assert found.answer == "unknown"
    assert said(found, "inspected") == "never, here"
    add(desk, "finding", reel="R1", kind="inspection", severity="0", start="0 ft", end="700 ft")
    assert ask(desk, "5:00").answer == "yes"
    assert ask(desk).answer == "unknown"


def test_what_is_recorded_within_a_minute_is_told(desk: Desk) -> None:
    add(desk, "finding", reel="R1", kind="inspection", severity="0")
    for take, start, end in (("1", "8:00", "9:10"), ("2", "10:40", "12:00"), ("3", "14:00", "15:00")):
        add(desk, "take", reel="R1", title="river", take=take, start=start, end=end, speed="15 ips", tracks="1-4")
    found = ask(desk)
    assert [(each.kept.label, each.away, each.safe) for each in found.nearby] == [
        ("river/1", 50 * SECOND_AT_15, False),
        ("river/2", 40 * SECOND_AT_15, False),
    ]
    assert [each.kept.label for each in ask(desk, "12:59").nearby] == ["river/2"]
    assert ask(desk, "13:00").nearby == ()
    assert [each.away for each in ask(desk, "14:30").nearby] == [0]


def test_timecode_there_is_told(desk: Desk) -> None:
    add(desk, "stripe", reel="R1", track="8", at="100 ft", start_code="01:00:00:00", rate="25")
    assert ask(desk, "1:20").code == "01:00:00:00"
    assert ask(desk, "1:21").code == "01:00:01:00"
    assert ask(desk, "01:00:01:00").place == 81 * SECOND_AT_15
    assert said(ask(desk, "1:00"), "timecode") == "none here yet: the stripe starts later"


def test_a_stripe_whose_start_code_cannot_be_says_nothing(desk: Desk) -> None:
    add(desk, "stripe", reel="R1", track="8", at="0 ft", start_code="01:00:00:29", rate="25")
    assert ask(desk, "1:20").code is None
    assert ask(desk, "1:20").answer == "yes"


def test_a_take_must_fit_before_the_fit_stretch_ends(desk: Desk) -> None:
    nine = 9 * 60 * SECOND
    # slate 10 s, nine minutes, 54 s to run over: 604 s before 32:50
    assert ask(desk, "22:46", take_us=nine).answer == "yes"
    assert ask(desk, "22:47", take_us=nine).answer == "no"
    add(desk, "splice", reel="R1", at="19:00", speed="15 ips")
    assert ask(desk, "8:54", take_us=nine).answer == "yes"
    assert ask(desk, "8:55", take_us=nine).answer == "no"
    add(desk, "take", reel="R1", title="river", take="1", start="15:00", end="16:00", speed="15 ips")
    add(desk, "finding", reel="R1", kind="inspection", severity="0")
    assert ask(desk, "8:00", take_us=nine).answer == "no"
    assert "does not fit" in said(ask(desk, "8:00", take_us=nine), "the take")


@pytest.mark.parametrize("at", ["", "9 kg", "60:00", "-1:00", "01:00:00:00"])
def test_a_place_that_is_none_is_said_to_be_none(desk: Desk, at: str) -> None:
    with pytest.raises(CannotEnter) as refused:
        ask(desk, at)
    assert [problem.column for problem in refused.value.problems] == ["at"]
    with pytest.raises(NoSuchReel):
        trust_at(desk, "R77", "1:00")
    with pytest.raises(CannotEnter):
        trust_at(desk, "R1", "1:00", speed="9 kg")


def test_the_demo_house_answers_everywhere(demo: Desk, tmp_path: Path) -> None:
    for reel in ("M-0151", "M-0135", "Q-0406", "H-0302", "M-0113"):
        for at in ("0 ft", "100 ft", "475.5 ft", "900 ft"):
            found = trust_at(demo, reel, at)
            assert found.answer != "yes" or found.stretch is not None
            assert all(line.says for line in trust_lines(found))
