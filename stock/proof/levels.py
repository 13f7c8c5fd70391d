"""Levels of a file as it is decoded: peak, RMS, silence, clipping, and exact zeros inside programme.

Sound is looked at in windows of half the shortest zero run that counts: such a run then holds a whole window of zeros
wherever it begins, so that only windows of zeros need a closer look.
"""

from __future__ import annotations

from math import isfinite, log10
from typing import TYPE_CHECKING

from stock.proof.expectation import Limits
from stock.proof.facts import Channel, Format
from stock.proof.runs import Kept, RunFinder

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

_SAMPLES_AT_ONCE = 262_144
_FRAMES_AT_ONCE = (160, 40, 10, 1)
"""Frames whose samples are compared side by side, as many as divide a block: more a row is faster by far."""
_STEADY = 1 / 64
"""An offset from which on it is taken off before squaring."""


class Meter:
    """Takes a file's sound block by block; memory does not grow with its length.

    Every block but the last holds `block_frames` frames.
    """

    def __init__(self, shape: Format, limits: Limits) -> None:
        import numpy as np

        self.window = max(shape.rate_hz * limits.zero_run_us // 2_000_000, 16)
        self.block_frames = max(_SAMPLES_AT_ONCE // shape.channels // self.window, 1) * self.window
        self.frames = 0
        self._rate_hz = shape.rate_hz
        self._ones = np.ones(self.window, np.float32)
        self._scratch = np.empty(self.block_frames * shape.channels, np.float32)
        self._full = 1.0 if shape.coding == "FLOAT" else 1.0 - 2.0 ** (1 - shape.bits)
        self._quiet = 10.0 ** (limits.silence_db / 10)
        self._peaks = np.zeros(shape.channels, np.float32)
        self._squares = np.zeros(shape.channels, np.float64)
        self._runs = [_ChannelRuns(shape, limits, self.window, self._full) for _ in range(shape.channels)]

    def add(self, block: Samples) -> None:
        """Take the next block: float32, frames by channels, full scale 1."""
        import numpy as np

        whole = len(block) // self.window * self.window
        # Samples that are no numbers, or too large ones, are found by `sane`.
        with np.errstate(all="ignore"):
            if whole:
                self._add(block[:whole], self.window)
            if whole < len(block):
                self._add(block[whole:], len(block) - whole)

    def _add(self, block: Samples, size: int) -> None:
        """Take samples, frames by channels, in windows of a size."""
        import numpy as np

        windows = block.reshape(-1, size, block.shape[1])
        tops = self._tops(block)
        steady, squares, sums = self._sums(windows)
        # An offset that stays is no sound: an unplugged converter may well have one.
        offsets = sums.mean(axis=1, keepdims=True) / size
        sound = squares >= self._quiet * size + offsets * (2 * sums - offsets * size)
        self._squares += squares.sum(axis=1, dtype=np.float64) + steady * (
            2 * sums.sum(axis=1, dtype=np.float64) + steady * len(block)
        )
        self._peaks = np.maximum(self._peaks, tops)
        clipping = tops >= self._full
        # A window of zeros has them at these places; whether all of it is zero is looked at again.
        zeros = ((windows[:, 0] == 0) & (windows[:, size // 2] == 0) & (windows[:, -1] == 0)).any(axis=0)
        zeros |= (block[0] == 0) | (block[-1] == 0)
        plain = (sound.all(axis=1) & ~zeros & ~clipping & (size == self.window)).tolist()
        for channel, runs in enumerate(self._runs):
            if plain[channel]:
                runs.add_plain(sound.shape[1])
            else:
                lane = block[:, channel]
                runs.add(self.frames, lane, sound[channel], bool(zeros[channel]), bool(clipping[channel]))
        self.frames += len(block)

    def _tops(self, block: Samples) -> Samples:
        """The largest sample of each channel, signs aside."""
        import numpy as np

        frames, channels = block.shape
        at_once = next(count for count in _FRAMES_AT_ONCE if count == 1 or (channels > 1 and not frames % count))
        rows = block.reshape(-1, channels * at_once)
        tops: Samples = np.maximum(rows.max(axis=0), -rows.min(axis=0))
        folded: Samples = tops.reshape(at_once, channels).max(axis=0)
        return folded

    def _sums(self, windows: Samples) -> tuple[NDArray[np.float64], Samples, Samples]:
        """The steady offset taken off each channel; the sums of the squares and of the samples, by channel and window.

        Interleaved channels stay as they lie: to sort them out first would cost more than all the rest. A large offset
        is taken off before squaring, for in float32 its square would hide what is quiet.
        """
        import numpy as np

        _, size, channels = windows.shape
        ones, scratch = self._ones[:size], self._scratch[: windows.size].reshape(windows.shape)
        steady = ones @ windows[0] / size
        if (np.abs(steady) > _STEADY).any():
            windows = np.subtract(windows, steady, out=scratch)
        else:
            steady = np.zeros(channels, np.float32)
        if channels == 1:
            lane = windows.reshape(1, -1, size)
            return steady.astype(np.float64), np.vecdot(lane, lane), np.vecdot(lane, ones)
        sums = (ones @ windows).T
        return steady.astype(np.float64), (ones @ np.square(windows, out=scratch)).T, sums

    @property
    def sane(self) -> bool:
        """Whether every sample so far was a number."""
        return all(map(isfinite, self._squares.tolist()))

    def result(self) -> tuple[Channel, ...]:
        """The levels of each channel, once the whole file was taken."""
        return tuple(
            runs.result(peak, squares / self.frames, self.frames, self._rate_hz)
            for runs, peak, squares in zip(self._runs, self._peaks.tolist(), self._squares.tolist(), strict=True)
        )


class _ChannelRuns:
    """Silence, clipping and dropped-out stretches of one channel."""

    def __init__(self, shape: Format, limits: Limits, window: int, full: float) -> None:
        self._window = window
        self._full = full
        self._plain = 0
        self._sounding = 0
        self._silence = RunFinder(-(-limits.silent_stretch_us * shape.rate_hz // (window * 1_000_000)))
        self._silent = Kept()
        self._clips = RunFinder(limits.clip_samples)
        self._clipped = Kept()
        self._zeros = RunFinder(-(-limits.zero_run_us * shape.rate_hz // 1_000_000))
        self._dropped = Kept()
        self._maybe_dropped = Kept()
        self._programme = False

    def add_plain(self, windows: int) -> None:
        """Take a piece of whole windows that sounds throughout, with no zeros in a row and nothing at full scale."""
        self._plain += windows

    def _settle(self, at: int) -> None:
        """Account for the plain pieces before a place: they are most of a file, and cost nothing one by one."""
        windows, self._plain = self._plain, 0
        if windows:
            samples = windows * self._window
            self._sounding += samples
            self._silence.feed_same(False, windows)
            self._clips.feed_same(False, samples)
            self._zeros.feed_same(False, samples)
            self._close(at - samples, at)

    def add(self, at: int, lane: Samples, sound: NDArray[np.bool_], zeros: bool, clipping: bool) -> None:
        """Take a piece that begins `at` so many samples: whether each of its windows sounds, and what it holds."""
        import numpy as np

        self._settle(at)
        size = len(lane) // len(sound)
        sounding = np.flatnonzero(sound)
        self._sounding += len(sounding) * size
        self._silence.feed(~sound)
        if clipping:
            self._clips.feed((lane >= self._full) | (lane <= -self._full))
        else:
            self._clips.feed_same(False, len(lane))
        if zeros:
            self._zeros.feed(lane == 0)
        else:
            self._zeros.feed_same(False, len(lane))
        if len(sounding):
            self._close(at + int(sounding[0]) * size, at + int(sounding[-1] + 1) * size)
        else:
            self._close(None, None)

    def _close(self, first: int | None, last: int | None) -> None:
        """Keep the runs that ended. first, last: where sound begins and ends in this piece, None where there is none.

        Zeros count only where sound has come before and has come after.
        """
        self._silent.add(self._silence.closed)
        self._clipped.add(self._clips.closed)
        runs = self._zeros.closed
        if first is None or last is None:
            if self._programme:
                self._maybe_dropped.add(runs)
            return
        if self._programme:
            self._dropped.take(self._maybe_dropped)
        inside = [run for run in runs if self._programme or run[0] > first]
        self._dropped.add([run for run in inside if run[1] <= last])
        self._maybe_dropped.add([run for run in inside if run[1] > last])
        self._programme = True

    def result(self, peak: float, power: float, frames: int, rate_hz: int) -> Channel:
        """The levels of the channel. peak: largest sample; power: mean square; frames: samples in all."""
        self._settle(frames)
        self._silence.end()
        self._silent.add(self._silence.closed)
        self._clips.end()
        self._clipped.add(self._clips.closed)
        return Channel(
            peak_db=20 * log10(peak) if peak > 0 else None,
            rms_db=10 * log10(power) if power > 0 else None,
            sound_us=self._sounding * 1_000_000 // rate_hz,
            silent=self._silent.runs(rate_hz, self._window, frames),
            clipped=self._clipped.runs(rate_hz, 1, frames),
            zeros=self._dropped.runs(rate_hz, 1, frames),
        )
