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
_LEAST_OFFSET = 1e-4
"""-80 dB against full scale: an offset below it makes no silence sound."""


class Meter:
    """Takes a file's sound block by block; memory does not grow with its length.

    Every block but the last holds `block_frames` frames.
    """

    def __init__(self, shape: Format, limits: Limits) -> None:
        self.window = max(shape.rate_hz * limits.zero_run_us // 2_000_000, 16)
        self.block_frames = max(_SAMPLES_AT_ONCE // shape.channels // self.window, 1) * self.window
        self._rate_hz = shape.rate_hz
        self.frames = 0
        self._channels = [_ChannelMeter(shape, limits, self.window) for _ in range(shape.channels)]

    def add(self, block: Samples) -> None:
        """Take the next block: float32, frames by channels, full scale 1."""
        import numpy as np

        lanes = block.T if block.shape[1] == 1 else np.ascontiguousarray(block.T)
        # Samples that are no numbers, or too large ones, are found by `sane`.
        with np.errstate(all="ignore"):
            for meter, lane in zip(self._channels, lanes, strict=True):
                meter.add(lane)
        self.frames += len(block)

    @property
    def sane(self) -> bool:
        """Whether every sample so far was a number."""
        return all(isfinite(meter.squares) for meter in self._channels)

    def result(self) -> tuple[Channel, ...]:
        """The levels of each channel, once the whole file was taken."""
        return tuple(meter.result(self._rate_hz) for meter in self._channels)


class _ChannelMeter:
    def __init__(self, shape: Format, limits: Limits, window: int) -> None:
        self.squares = 0.0
        self._window = window
        self._full = 1.0 if shape.coding == "FLOAT" else 1.0 - 2.0 ** (1 - shape.bits)
        self._quiet = 10.0 ** (limits.silence_db / 10)
        self._peak = 0.0
        self._frames = 0
        self._sounding = 0
        self._silence = RunFinder(-(-limits.silent_stretch_us * shape.rate_hz // (window * 1_000_000)))
        self._silent = Kept()
        self._clips = RunFinder(limits.clip_samples)
        self._clipped = Kept()
        self._zeros = RunFinder(-(-limits.zero_run_us * shape.rate_hz // 1_000_000))
        self._dropped = Kept()
        self._maybe_dropped = Kept()
        self._programme = False

    def add(self, lane: Samples) -> None:
        import numpy as np

        whole = len(lane) // self._window * self._window
        shapes = [lane[:whole].reshape(-1, self._window)] if whole else []
        if whole < len(lane):
            shapes.append(lane[whole:].reshape(1, -1))
        for windows in shapes:
            high, low = windows.max(axis=1), windows.min(axis=1)
            squares = np.vecdot(windows, windows)
            self.squares += float(squares.sum(dtype=np.float64))
            top, bottom = float(high.max()), float(low.min())
            self._peak = max(self._peak, top, -bottom)
            size = windows.shape[1]
            # An offset that stays is no sound: an unplugged converter may well have one.
            offset = float(windows.mean())
            power = squares / size
            if abs(offset) > _LEAST_OFFSET:
                power -= offset * (2 * windows.mean(axis=1) - offset)
            sound = power >= self._quiet
            self._hear(sound, size)
            clipping = top >= self._full or bottom <= -self._full
            samples = windows.reshape(-1)
            if clipping:
                self._clips.feed((samples >= self._full) | (samples <= -self._full))
            else:
                self._clips.feed_same(False, samples.size)
            self._clipped.add(self._clips.closed)
            self._look_for_zeros(samples, (high == 0) & (low == 0), sound, size)
            self._frames += samples.size

    def _hear(self, sound: NDArray[np.bool_], size: int) -> None:
        heard = int(sound.sum())
        self._sounding += heard * size
        if heard in (0, len(sound)):
            self._silence.feed_same(not heard, len(sound))
        else:
            self._silence.feed(~sound)
        self._silent.add(self._silence.closed)

    def _look_for_zeros(self, samples: Samples, zero: NDArray[np.bool_], sound: NDArray[np.bool_], size: int) -> None:
        """Find runs of zeros, and count those that sound has come before and has come after."""
        import numpy as np

        if zero.any() or samples[-1] == 0 or samples[0] == 0:
            self._zeros.feed(samples == 0)
        else:
            self._zeros.feed_same(False, samples.size)
        runs = self._zeros.closed
        sounding = np.flatnonzero(sound)
        if not len(sounding):
            if self._programme:
                self._maybe_dropped.add(runs)
            return
        first, last = (self._frames + int(at) * size for at in (sounding[0], sounding[-1]))
        if self._programme:
            self._dropped.take(self._maybe_dropped)
        inside = [run for run in runs if self._programme or run[0] > first]
        self._dropped.add([run for run in inside if run[1] <= last + size])
        self._maybe_dropped.add([run for run in inside if run[1] > last + size])
        self._programme = True

    def result(self, rate_hz: int) -> Channel:
        self._silence.end()
        self._silent.add(self._silence.closed)
        self._clips.end()
        self._clipped.add(self._clips.closed)
        return Channel(
            peak_db=20 * log10(self._peak) if self._peak > 0 else None,
            rms_db=10 * log10(self.squares / self._frames) if self.squares > 0 else None,
            sound_us=self._sounding * 1_000_000 // rate_hz,
            silent=self._silent.runs(rate_hz, self._window, self._frames),
            clipped=self._clipped.runs(rate_hz, 1, self._frames),
            zeros=self._dropped.runs(rate_hz, 1, self._frames),
        )
