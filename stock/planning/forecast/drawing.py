"""What chance decides of a project: whether it happens, how long its titles are, how many takes each needs.

Every project draws from a stream of its own, made of the seed and its name: dropping one project, or asking about
another speed, changes nothing in what the others draw.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple
from zlib import crc32

import numpy as np
import numpy.typing as npt

from stock.planning.forecast.ahead import Ahead, Spread
from stock.planning.forecast.laying import Bools, Floats

_COMMON = 0


class TitleDrawn(NamedTuple):
    """One title in every trial. length: of its takes, microseconds. takes: how many. broken: (take, trial) the part of
    its length a take was broken off at, 1 for a whole one; None where no take is a false start."""

    length: npt.NDArray[np.int64]
    takes: npt.NDArray[np.int64]
    broken: npt.NDArray[np.float32] | None

    def masters(self) -> npt.NDArray[np.int64]:
        """Which take of the title is its master: the last whole one; the last of all where none is."""
        if self.broken is None:
            return self.takes - 1
        order = np.arange(len(self.broken))[:, None]
        whole = (self.broken >= 1) & (order < self.takes)
        last = len(self.broken) - 1 - whole[::-1].argmax(axis=0)
        return np.where(whole.any(axis=0), last, self.takes - 1)


def common_factor(seed: int, trials: int, share: int) -> Floats:
    """What all projects share in a trial: how many more takes, or fewer, everybody needs.

    share: its standard deviation, thousandths of its mean, which is 1; lognormal, so that it stays above nothing.
    """
    sigma = np.sqrt(np.log1p((share / 1000) ** 2))
    drawn = _stream(seed, _COMMON).standard_normal(trials)
    return np.asarray(np.exp(sigma * drawn - sigma * sigma / 2))


def happens(project: Ahead, seed: int, trials: int) -> Bools:
    """The trials in which a project happens."""
    return _stream(seed, 1, project.project).random(trials) * 1000 < project.chance


def titles(project: Ahead, seed: int, factor: Floats) -> Iterator[TitleDrawn]:
    """The titles of a project, in the order of recording."""
    stream = _stream(seed, 2, project.project)
    trials = len(factor)
    least = min(project.takes[0], 1)
    for _ in range(project.titles):
        length = np.rint(_triangular(stream, project.lengths, trials)).astype(np.int64)
        wanted = _triangular(stream, project.takes, trials) * factor
        takes = np.maximum(np.floor(wanted + 0.5), least).astype(np.int64)
        broken = None
        if project.false_starts:
            share = project.false_starts / 1000
            drawn = stream.random((int(takes.max()), trials), dtype=np.float32)
            drawn *= np.float32(1 / share)
            broken = np.minimum(drawn, np.float32(1))
        yield TitleDrawn(np.maximum(length, 1), takes, broken)


def _triangular(stream: np.random.Generator, spread: Spread, trials: int) -> Floats:
    low, likely, high = spread
    if low == high:
        return np.full(trials, float(likely))
    return stream.triangular(low, likely, high, trials)


def _stream(seed: int, part: int, name: str = "") -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, part, crc32(name.encode())])))
