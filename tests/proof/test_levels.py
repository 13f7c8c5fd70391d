"""Silence, clipping and zeros are found where they were put; long files take no more memory than short ones."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.proof.expectation import Limits
from stock.proof.facts import Channel, Format, Stretch
from stock.proof.levels import Meter
from stock.proof.runs import KEPT, RunFinder

RATE_HZ = 48_000
TOP = 1 - 2.0**-23


def measured(sound: np.ndarray, limits: Limits | None = None, *, rate_hz: int = RATE_HZ) -> list[Channel]:
    """The levels of float sound, frames by channels, taken in blocks as a reading does."""
    lanes = sound.reshape(len(sound), -1).astype(np.float32)
    shape = Format("WAV", "PCM", lanes.shape[1], rate_hz, 24, len(lanes))
    meter = Meter(shape, limits or Limits())
    for start in range(0, len(lanes), meter.block_frames):
        meter.add(lanes[start : start + meter.block_frames])
    return list(meter.result())


def noise(seconds: float, level: float = 0.1) -> np.ndarray:
    return np.clip(np.random.default_rng(3).standard_normal(int(seconds * RATE_HZ)) * level, -0.9, 0.9)


def seconds(*ends: float) -> tuple[Stretch, ...]:
    return tuple(Stretch(round(a * 1e6), round(b * 1e6)) for a, b in zip(ends[::2], ends[1::2], strict=True))


def test_a_sine_has_the_peak_and_rms_of_a_sine() -> None:
    """A sine's RMS is its peak less 20 log10 of the root of 2: 3.0103 dB."""
    sine = 0.5 * np.sin(2 * np.pi * 1000 * np.arange(RATE_HZ * 3) / RATE_HZ)
    channel = measured(sine)[0]
    assert channel.peak_db == pytest.approx(-6.0206, abs=1e-3)
    assert channel.rms_db == pytest.approx(-9.0309, abs=1e-3)
    assert channel.sound_us == 3_000_000


def test_exact_silence_has_no_level() -> None:
    channel = measured(np.zeros(RATE_HZ * 30))[0]
    assert (channel.peak_db, channel.rms_db, channel.sound_us) == (None, None, 0)
    assert channel.silent.first == seconds(0, 30)
    assert channel.zeros.found == 0


@pytest.mark.parametrize("level_db, sounds", [(-69.0, True), (-71.0, False)])
def test_sound_begins_at_the_limit(level_db: float, sounds: bool) -> None:
    sine = np.sin(2 * np.pi * 1000 * np.arange(RATE_HZ) / RATE_HZ) * 2**0.5 * 10 ** (level_db / 20)
    assert (measured(sine)[0].sound_us > 900_000) is sounds


def test_a_steady_offset_is_no_sound() -> None:
    quiet = np.random.default_rng(1).standard_normal(RATE_HZ * 2) * 1e-5
    assert measured(quiet + 0.05)[0].sound_us == 0
    assert measured(noise(2) + 0.05)[0].sound_us == 2_000_000


@pytest.mark.parametrize("channels", [1, 2, 16])
@pytest.mark.parametrize("offset", [-0.9, -0.02, 0.0, 0.01, 0.5, 0.9])
def test_an_offset_neither_hides_what_is_quiet_nor_makes_a_sound(channels: int, offset: float) -> None:
    quiet = np.random.default_rng(5).standard_normal((4 * RATE_HZ, channels))
    for level_db, sounds in ((-66, 4_000_000), (-74, 0)):
        for found in measured(offset + quiet * 10 ** (level_db / 20)):
            assert found.sound_us == sounds
            if offset:
                assert found.rms_db == pytest.approx(20 * np.log10(abs(offset)), abs=0.02)


def test_a_silent_stretch_has_its_place() -> None:
    sound = noise(120)
    sound[30 * RATE_HZ : 55 * RATE_HZ] *= 1e-5
    sound[100 * RATE_HZ :] *= 1e-5
    sound[70 * RATE_HZ : 89 * RATE_HZ] *= 1e-5
    channel = measured(sound)[0]
    assert channel.silent.found == 2
    assert channel.silent.first == seconds(30, 55, 100, 120)


@pytest.mark.parametrize("at", [0, 1, 239, 131_039, 131_040, 131_041, 500_000, 959_990])
@pytest.mark.parametrize("count, found", [(2, 0), (3, 1), (10, 1)])
@pytest.mark.parametrize("top", [TOP, -1.0])
def test_clipped_runs(at: int, count: int, found: int, top: float) -> None:
    sound = noise(20)
    sound[at : at + count] = top
    clipped = measured(sound)[0].clipped
    assert clipped.found == found
    if found:
        assert clipped.first[0] == Stretch(at * 1_000_000 // RATE_HZ, (at + count) * 1_000_000 // RATE_HZ)


@pytest.mark.parametrize("at", [5, 240, 300, 131_039, 131_040, 130_900, 262_000, 500_001])
@pytest.mark.parametrize("count, found", [(479, 0), (480, 1), (20_000, 1)])
def test_zero_runs_inside_programme(at: int, count: int, found: int) -> None:
    """10 ms of exact zeros are 480 samples at 48 kHz."""
    sound = noise(20)
    sound[sound == 0] = 0.01
    at += 480
    sound[at : at + count] = 0
    zeros = measured(sound)[0].zeros
    assert zeros.found == found
    if found:
        assert zeros.first[0] == Stretch(at * 1_000_000 // RATE_HZ, (at + count) * 1_000_000 // RATE_HZ)


@pytest.mark.parametrize("rate_hz", [8_000, 44_100, 48_000, 88_200, 96_000, 192_000])
def test_the_shortest_zero_run_is_found_at_every_rate(rate_hz: int) -> None:
    sound = np.full(rate_hz, 0.1)
    sound[::2] = -0.1
    least = -(-rate_hz // 100)
    for at in range(rate_hz // 2, rate_hz // 2 + least, 7):
        dropped = sound.copy()
        dropped[at : at + least] = 0
        assert measured(dropped, rate_hz=rate_hz)[0].zeros.found == 1


def test_zeros_before_and_behind_programme_are_none_of_it() -> None:
    sound = noise(20)
    sound[: 3 * RATE_HZ] = 0
    sound[17 * RATE_HZ :] = 0
    assert measured(sound)[0].zeros.found == 0
    sound[10 * RATE_HZ : 11 * RATE_HZ] = 0
    assert measured(sound)[0].zeros.first == seconds(10, 11)


def test_a_dropout_longer_than_a_block_counts_once_sound_is_back() -> None:
    sound = noise(30)
    sound[5 * RATE_HZ : 25 * RATE_HZ] = 0
    assert measured(sound)[0].zeros.first == seconds(5, 25)


def test_channels_are_kept_apart() -> None:
    sound = np.stack([noise(8), noise(8) * 0, noise(8) * 0.5], axis=1)
    sound[1000:1010, 2] = TOP
    first, second, third = measured(sound)
    assert first.clipped.found == 0
    assert second.peak_db is None
    assert third.clipped.found == 1
    (alone,) = measured(noise(8))
    assert first.rms_db == pytest.approx(alone.rms_db, abs=1e-5)
    assert first._replace(rms_db=None) == alone._replace(rms_db=None)


def test_many_runs_are_counted_and_few_are_kept() -> None:
    sound = noise(60)
    sound[:: RATE_HZ // 10] = sound[1 :: RATE_HZ // 10] = sound[2 :: RATE_HZ // 10] = TOP
    clipped = measured(sound)[0].clipped
    assert clipped.found == 600
    assert len(clipped.first) == KEPT


@given(st.lists(st.booleans(), max_size=80), st.lists(st.integers(1, 80), max_size=6), st.integers(1, 6))
def test_runs_are_those_of_the_whole_however_it_is_cut(yeses: list[bool], cuts: list[int], least: int) -> None:
    whole: list[tuple[int, int]] = []
    start: int | None = None
    for at, yes in enumerate([*yeses, False]):
        if yes and start is None:
            start = at
        if not yes and start is not None:
            if at - start >= least:
                whole.append((start, at))
            start = None
    finder = RunFinder(least)
    found: list[tuple[int, int]] = []
    ends = sorted({*cuts, len(yeses)})
    begin = 0
    for end in ends:
        piece = np.array(yeses[begin:end], bool)
        if len(piece) and (piece.all() or not piece.any()):
            finder.feed_same(bool(piece[0]), len(piece))
        else:
            finder.feed(piece)
        found.extend(finder.closed)
        begin = max(begin, end)
    finder.end()
    assert found + finder.closed == whole
