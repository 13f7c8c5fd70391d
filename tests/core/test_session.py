"""The tape left under the heads: by hand-made reels, and against counting second by second."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from stock.core.fitness import Joint
from stock.core.measure import FOOT, IPS, SECOND, Speed, length_of
from stock.core.picking.counter import Counter
from stock.core.picking.request import Request, footprints
from stock.core.rules import Rules
from stock.core.session import (
    Kept,
    OnMachine,
    Running,
    bound,
    first_place,
    left,
    left_us,
    outlook,
    outlook_words,
    place_of,
    planned_end,
    recorded_over,
)
from stock.core.tracks import every

RULES = Rules()
FIFTEEN = Speed(15 * IPS)
REEL = 2500 * FOOT
NINE = 9 * 60 * SECOND


def at(seconds: float) -> int:
    return length_of(int(seconds * SECOND), FIFTEEN.actual)


def machine(*live: Kept, mask: int = every(8), firm: tuple[int, ...] = (), speed: Speed = FIFTEEN) -> OnMachine:
    head = max(length_of(15 * SECOND, speed.actual), 25 * FOOT)
    usable = head, REEL - length_of(30 * SECOND, speed.actual)
    joints = tuple(Joint(place, "edit", "doubtful", True, ()) for place in firm)
    return OnMachine("R1", REEL, usable, speed, mask, Counter(0, None), live, joints, 0, RULES)


def test_three_nine_minute_takes_fit_on_a_fresh_reel_at_fifteen_and_a_fourth_does_not() -> None:
    # common practice: at 15 in/s a nine-minute piece fits three times on 2500 ft, at 30 in/s once
    on = machine()
    assert [each.fits for each in outlook(on, first_place(on), [NINE] * 4)] == [True, True, True, False]
    fast = machine(speed=Speed(30 * IPS))
    assert [each.fits for each in outlook(fast, first_place(fast), [NINE] * 2)] == [True, False]


def test_the_words_name_what_is_left() -> None:
    on = machine()
    (found,) = outlook(on, REEL - at(30 + 380), [NINE])
    assert outlook_words(found) == "another 9:00 does not fit: 6:20 left"
    assert found.lacks == at(604) - at(380)
    (found,) = outlook(on, REEL - at(30 + 620), [NINE])
    assert outlook_words(found) == "another 9:00 fits: 10:20 left"
    (found,) = outlook(on, REEL - at(30 + 606), [NINE], after_a_take=True)
    assert not found.fits, "a gap of five seconds goes before it"


def test_the_next_live_recording_ends_the_tape_only_on_the_tracks_in_use() -> None:
    on = machine(Kept("river/1", at(600), at(900), 0b1111))
    assert (bound(on, at(60)).what, left_us(on, at(60))) == ("recording", 540 * SECOND)
    assert bound(on, at(60)).label == "river/1 on tracks 1-4"
    assert left(on, at(700)) == 0
    assert bound(on, at(900)).what == "end"
    other = on._replace(mask=0b1111_0000)
    assert bound(other, at(60)).what == "end"
    assert recorded_over(other, at(60), at(1000)) == []
    assert [kept.label for kept in recorded_over(on, at(500), at(601))] == ["river/1"]
    assert recorded_over(on, at(500), at(600)) == []


def test_before_a_recording_planned_takes_leave_what_the_counter_may_be_off_by() -> None:
    # a footprint of 604 s, and 0.2 % of the 700 s from zero to the recording
    on = machine(Kept("river/1", at(700), at(900), 1))
    assert outlook(on, at(94), [NINE])[0].fits
    assert not outlook(on, at(95), [NINE])[0].fits
    assert outlook(on._replace(mask=2), at(95), [NINE])[0].fits


def test_a_splice_no_take_crosses_ends_the_tape() -> None:
    on = machine(firm=(at(300),))
    assert (bound(on, at(60)).what, left(on, at(60))) == ("splice", at(240))
    assert bound(on, at(300)).what == "end"


def test_a_session_begins_behind_what_is_live_or_behind_the_tones() -> None:
    # 15 s (18.75 ft) or 25 ft are left at the head, and 105 s for tones come after
    assert first_place(machine()) == 25 * FOOT + at(105)
    # a guard of 20 s and 0.2 % of 900 s, rounded up to the tenth of a millimetre
    assert first_place(machine(Kept("river/1", at(600), at(900), 1))) == at(920) + -(-at(900) * 2 // 1000)
    assert first_place(machine(Kept("river/1", at(600), REEL, 1))) == REEL
    assert first_place(machine(Kept("code", 0, REEL, 0b1000_0000), mask=every(7))) == 25 * FOOT + at(105)


def test_a_running_take_is_where_the_clock_says_and_never_beyond_its_tape() -> None:
    on = machine()
    running = Running(1, "R1", None, "river", "1", FIFTEEN, every(8), "", at(130), 1000 * SECOND, None, None)
    assert place_of(running, on, 1060 * SECOND) == at(190)
    assert place_of(running, on, 900 * SECOND) == at(130)
    assert place_of(running, on, 10**15) == REEL
    assert planned_end(running, on, 1060 * SECOND, NINE) == at(130 + 10 + 540)
    assert planned_end(running, on, 1060 * SECOND, None) == at(190)
    assert planned_end(running, on, 1700 * SECOND, NINE) == at(830)


KEPTS = st.builds(
    lambda lo, length, mask: Kept("k", at(lo), at(lo + length), mask),
    st.integers(0, 1900),
    st.integers(1, 300),
    st.integers(1, 15),
)


@given(
    st.lists(KEPTS, max_size=5), st.integers(1, 15), st.integers(0, 2000), st.lists(st.integers(0, 2000), max_size=2)
)
def test_what_is_left_is_free_to_its_last_place_and_no_further(
    live: list[Kept], mask: int, seconds: int, firm: list[int]
) -> None:
    on = machine(*live, mask=mask, firm=tuple(at(each) for each in firm))
    place = at(seconds)
    rest = left(on, place)
    assert recorded_over(on, place, place + rest) == []
    assert not any(place < joint.at < place + rest for joint in on.firm)
    if rest:
        assert place + rest <= on.usable[1]
    end = place + rest
    assert end >= on.usable[1] or recorded_over(on, end, end + 1) != [] or any(joint.at == end for joint in on.firm)


@given(
    st.lists(KEPTS, max_size=4),
    st.integers(0, 1900),
    st.lists(st.integers(1, 900), min_size=1, max_size=5),
    st.booleans(),
)
def test_takes_said_to_fit_lie_one_after_another_in_what_is_left(
    live: list[Kept], seconds: int, takes: list[int], after: bool
) -> None:
    on = machine(*live)
    place = at(seconds)
    times = [take * SECOND for take in takes]
    found = outlook(on, place, times, after_a_take=after)
    prints = footprints(Request(tuple(times), FIFTEEN), RULES)
    used, first = 0, not after
    for each, print_ in zip(found, prints, strict=True):
        needs = print_.length + (0 if first else at(5))
        if each.fits:
            used += needs
            first = False
        else:
            assert each.lacks > 0
    assert used <= left(on, place)
    assert recorded_over(on, place, place + used) == []
