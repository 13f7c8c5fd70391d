"""Timecode against SMPTE ST 12-1."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.timecode import RATES, TimecodeError, code_of, frame_of, time_between

DROP = "29.97 drop"
RATE = st.sampled_from(sorted(RATES))

# SMPTE ST 12-1: numbers ;00 and ;01 of each minute except every tenth are left out. Counts computed from that:
# frame = ((60 h + m) 60 + s) 30 + f - 2 (M - M // 10), M = 60 h + m.
DROP_FRAMES = [
    ("00:00:00;00", 0),
    ("00:00:59;29", 1799),
    ("00:01:00;02", 1800),
    ("00:09:59;29", 17_981),
    ("00:10:00;00", 17_982),
    ("01:00:00;00", 107_892),
    ("23:59:59;29", 2_589_407),
]
FRAMES_A_DAY = {"24": 2_073_600, "25": 2_160_000, "29.97": 2_592_000, DROP: 2_589_408, "30": 2_592_000}


@pytest.mark.parametrize(("code", "frame"), DROP_FRAMES)
def test_drop_frame_counts(code: str, frame: int) -> None:
    assert frame_of(code, DROP) == frame
    assert code_of(frame, DROP) == code


@pytest.mark.parametrize(
    ("code", "rate"),
    [
        ("00:01:00;00", DROP),
        ("00:01:00;01", DROP),
        ("23:59:00;01", DROP),
        ("00:00:00:30", "30"),
        ("00:00:00:30", "29.97"),
        ("00:00:00:25", "25"),
        ("00:00:00:24", "24"),
        ("24:00:00:00", "25"),
        ("00:60:00:00", "25"),
        ("00:00:60:00", "25"),
        ("1:00:00:00", "25"),
        ("01:00:00", "25"),
        ("01:00:00:0٣", "25"),
        ("", "25"),
    ],
)
def test_codes_that_do_not_exist(code: str, rate: str) -> None:
    with pytest.raises(TimecodeError):
        frame_of(code, rate)


@pytest.mark.parametrize("code", ["00:10:00;00", "00:10:00;01", "00:01:00;02", "01:00:00;01"])
def test_codes_next_to_those_left_out_exist(code: str) -> None:
    assert code_of(frame_of(code, DROP), DROP) == code


def test_a_drop_frame_hour_leaves_out_108_numbers() -> None:
    spelled = [code_of(frame, DROP) for frame in range(107_892)]
    assert len(set(spelled)) == 107_892
    a_minute = Counter(code[:5] for code in spelled)
    assert {minute for minute, count in a_minute.items() if count == 1800} == {f"00:{tens}0" for tens in range(6)}
    assert sorted(set(a_minute.values())) == [1798, 1800]


def test_an_hour_of_timecode_lasts() -> None:
    # computed: 107 892 frames and 108 000 frames at 30 000 / 1001 a second
    assert time_between("00:00:00;00", "01:00:00;00", DROP) == 3_599_996_400
    assert time_between("00:00:00:00", "01:00:00:00", "29.97") == 3_603_600_000
    for rate in ("24", "25", "30"):
        assert time_between("00:00:00:00", "01:00:00:00", rate) == 3_600_000_000
    assert time_between("01:00:00:00", "00:59:59:24", "25") == -40_000


@given(RATE, st.data())
def test_every_frame_of_a_day_has_one_code(rate: str, data: st.DataObject) -> None:
    frame = data.draw(st.integers(0, FRAMES_A_DAY[rate] - 1))
    assert frame_of(code_of(frame, rate), rate) == frame
    assert code_of(frame + FRAMES_A_DAY[rate], rate) == code_of(frame, rate)


@given(RATE, st.tuples(*[st.integers(0, most) for most in (25, 61, 61, 31)]))
def test_a_code_that_is_read_is_spelled_the_same(rate: str, parts: tuple[int, ...]) -> None:
    mark = ";" if RATES[rate].drops else ":"
    hours, minutes, seconds, frames = parts
    code = f"{hours:02d}:{minutes:02d}:{seconds:02d}{mark}{frames:02d}"
    left_out = RATES[rate].drops and minutes % 10 and not seconds and frames < 2
    if hours < 24 and minutes < 60 and seconds < 60 and frames < RATES[rate].counted and not left_out:
        assert code_of(frame_of(code, rate), rate) == code
    else:
        with pytest.raises(TimecodeError):
            frame_of(code, rate)


@given(RATE, st.data())
def test_time_between_codes_is_the_time_of_their_frames(rate: str, data: st.DataObject) -> None:
    first, second = (data.draw(st.integers(0, FRAMES_A_DAY[rate] - 1)) for _ in range(2))
    exact = Fraction(second - first) / RATES[rate].run * 1_000_000
    assert abs(time_between(code_of(first, rate), code_of(second, rate), rate) - exact) <= Fraction(1, 2)
