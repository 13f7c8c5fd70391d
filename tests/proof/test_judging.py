"""Files held against the record of the transfer: each check passes at its limit and fails beyond it."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from stock.core.tracks import mask_of
from stock.proof.expectation import Expectation
from stock.proof.facts import Bext, Channel, FileFacts, Format, Remark, Runs, Stretch
from stock.proof.judging import judge
from tests.proof.waves import wanted

SECOND = 1_000_000
RATE_HZ = 48_000


def file(
    track: int = 1,
    *,
    frames: int = 600 * RATE_HZ,
    rate_hz: int = RATE_HZ,
    bits: int = 24,
    start: int | None = None,
    sound_us: int = 500 * SECOND,
    silent: Iterable[Stretch] = (),
    sha256: str = "0" * 64,
) -> FileFacts:
    """Ten minutes of one track."""
    places = tuple(silent)
    level = Channel(-6.0, -20.0, sound_us, Runs(len(places), places), Runs(), Runs())
    bext = None if start is None else Bext("", "", "", "", "", start, "")
    shape = Format("WAV", "PCM", 1, rate_hz, bits, frames)
    return FileFacts(f"{track:02d}.wav", 1, sha256, {}, shape, (level,), bext, (track,), "name")


def remarks(*files: FileFacts, expected: Expectation | None = None) -> list[Remark]:
    return judge(files, expected or wanted(*(t for f in files for t in f.tracks or ()), seconds=600))


def codes(found: list[Remark]) -> list[tuple[str, str]]:
    return [(remark.code, remark.severity) for remark in found]


def test_files_that_agree_need_no_remark() -> None:
    assert remarks(file(1), file(2), file(3)) == []


@pytest.mark.parametrize(
    "tape_s, played_frames, code",
    [
        (600, 597 * RATE_HZ, None), (600, 597 * RATE_HZ - RATE_HZ // 100, "too-short"),
        (100, 99 * RATE_HZ, None), (100, 99 * RATE_HZ - 480, "too-short"),
        (600, 660 * RATE_HZ, None), (600, 660 * RATE_HZ + 480, "long"),
        (600, 300 * RATE_HZ, "wrong-speed"), (600, 1200 * RATE_HZ, "wrong-speed"), (600, 1210 * RATE_HZ, "wrong-speed"),
        (600, 298 * RATE_HZ, "too-short"), (600, 1100 * RATE_HZ, "long"), (600, 0, "too-short"),
    ],
)  # fmt: skip
def test_duration(tape_s: int, played_frames: int, code: str | None) -> None:
    """A tenth of the house's limits: 0.5 % or 1 s short, 60 s long, half or twice the time is the wrong speed."""
    found = remarks(file(1, frames=played_frames), expected=wanted(1, seconds=tape_s))
    assert [remark.code for remark in found] == ([code] if code else [])
    assert all((remark.severity == "note") is (code == "long") for remark in found)


def test_unequal_lengths_name_the_odd_one() -> None:
    found = remarks(file(1), file(2), file(3, frames=600 * RATE_HZ - 1))
    assert [(remark.code, remark.path) for remark in found] == [("lengths-differ", "03.wav")]
    assert found[0].severity == "fail"


def test_missing_extra_and_double_tracks() -> None:
    expected = wanted(1, 2, 7, seconds=600)
    found = remarks(file(1), file(2), file(9), file(2), expected=expected)
    assert [(remark.code, remark.track) for remark in found] == [
        ("track-missing", 7), ("track-twice", 2), ("track-extra", 9),
    ]  # fmt: skip
    assert "vocal" in found[0].says
    assert all(remark.severity == "fail" for remark in found)


@pytest.mark.parametrize("rate_hz, bits, code", [(96_000, 24, "rate-differs"), (RATE_HZ, 16, "depth-differs")])
def test_rate_and_depth_are_those_of_the_transfer(rate_hz: int, bits: int, code: str) -> None:
    found = remarks(file(1, rate_hz=rate_hz, bits=bits, frames=600 * rate_hz))
    assert codes(found) == [(code, "fail")]


def test_files_of_two_kinds_are_mixed() -> None:
    found = remarks(file(1), file(2, bits=16))
    assert ("rates-mixed", "fail") in codes(found)


def test_a_track_in_use_must_sound_and_another_need_not() -> None:
    expected = wanted(1, 7, seconds=600, in_use=mask_of((7,)))
    found = remarks(file(1, sound_us=0), file(7, sound_us=150_000), expected=expected)
    assert [(remark.code, remark.track, remark.severity) for remark in found] == [("silent-in-use", 7, "fail")]
    assert "vocal" in found[0].says


def test_a_silent_stretch_is_said_as_a_person_would() -> None:
    found = remarks(file(7, silent=[Stretch(190 * SECOND, 600 * SECOND)]))
    assert codes(found) == [("silent-stretch", "note")]
    assert found[0].says == "track 7 is silent from 3:10 to the end; the track sheet says vocal"
    assert (found[0].start_us, found[0].end_us) == (190 * SECOND, 600 * SECOND)


def test_many_stretches_are_counted() -> None:
    found = remarks(file(7, silent=[Stretch(n * 50 * SECOND, (n * 50 + 30) * SECOND) for n in range(9)]))
    assert len(found) == 6
    assert found[-1].says == "track 7 is silent at 4 more places"


HOUR_IN = 3600 * RATE_HZ


@pytest.mark.parametrize(
    "start, expected_codes",
    [
        (HOUR_IN, []), (HOUR_IN + 1_920, []), (HOUR_IN - 1_920, []), (HOUR_IN + 1_921, [("start-differs", "note")]),
        (HOUR_IN - 10 * RATE_HZ, [("start-differs", "note")]),
        (None, [("no-start", "note")]), (0, [("no-start", "note")]),
    ],
)  # fmt: skip
def test_a_start_is_held_against_the_stripe_within_a_frame(
    start: int | None, expected_codes: list[tuple[str, str]]
) -> None:
    """At 25 frames a second a frame is 1 920 samples at 48 kHz."""
    expected = wanted(1, seconds=600, start_us=3600 * SECOND, frame_rate="25")
    assert codes(remarks(file(1, start=start), expected=expected)) == expected_codes


def test_a_start_before_midnight_is_near_one_after() -> None:
    expected = wanted(1, seconds=600, start_us=0, frame_rate="25")
    found = remarks(file(1, start=24 * HOUR_IN - 2 * RATE_HZ), expected=expected)
    assert "2.000 s before" in found[0].says


def test_tracks_that_start_at_different_times_do_not_belong_together() -> None:
    found = remarks(file(1, start=HOUR_IN), file(2, start=HOUR_IN), file(3, start=HOUR_IN + 1_000))
    assert [(remark.code, remark.severity, remark.path) for remark in found] == [("start-differs", "fail", "03.wav")]


def test_a_second_copy_is_held_against_the_first() -> None:
    first = {"data/01.wav": "0" * 64, "data/02.wav": "A" * 64, "data/03.wav": "1" * 64}
    expected = wanted(1, 2, 3, seconds=600, first_copy=first)
    found = remarks(file(1), file(2, sha256="a" * 64), file(3, sha256="2" * 64), expected=expected)
    assert codes(found) == [("hash-differs", "fail")]
    found = remarks(file(1), file(3, sha256="1" * 64), file(4), expected=expected)
    assert ("file-missing", "fail") in codes(found)
    assert ("file-extra", "fail") in codes(found)
