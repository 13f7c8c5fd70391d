"""One project in every trial: the reels it opens day by day, and when they come back."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from stock.planning.forecast.ahead import Ahead
from stock.planning.forecast.drawing import TitleDrawn, titles
from stock.planning.forecast.laying import Bench, Bools, Floats, Ints, Measures


class Day(NamedTuple):
    """What one title's day needs, by trial. opened: reels. played_us: playing time of its takes."""

    day: int
    opened: Ints
    played_us: Floats


class Back(NamedTuple):
    """Reels that come back. waits: the day from which they only wait for proof. day: the day they may be used again,
    None where that is not to be counted on. reels: how many, by trial; None for all that the project still holds."""

    waits: int
    day: int | None
    reels: Ints | None


class Recorded(NamedTuple):
    """A project recorded in every trial. too_long: the trials in which a take is longer than any reel."""

    days: tuple[Day, ...]
    backs: tuple[Back, ...]
    too_long: Bools


def record(
    project: Ahead, measures: Measures, leftovers: int, today: int, seed: int, factor: Floats, on: Bools
) -> Recorded:
    """Record what is left of a project from today on. factor, on: by trial, the common factor and whether it happens.

    keep-all: every reel is kept until the last day. keep-masters: reels without a master are free the day after they
    were passed over. through: every reel is proved at once when it is full. Reels kept come back `days_back` days after
    the last day, or when a transfer made then has cooled, whichever is later.
    """
    trials = len(factor)
    bench = Bench(trials, measures.room, leftovers)
    keeps_masters = project.mode == "keep-masters"
    days: list[Day] = []
    backs: list[Back] = []
    for title, drawn in enumerate(titles(project, seed, factor)):
        day = project.day_of(title)
        if day < today:
            continue
        opened, done, played = _record_title(bench, measures, drawn, on, keeps_masters)
        days.append(Day(day, opened, played))
        if done is not None:
            backs += _early(project, day, done)
    last = max((day.day for day in days), default=today)
    without, with_master = bench.still_open()
    if project.mode == "through":
        backs += _early(project, last, without + with_master)
    elif keeps_masters:
        backs += _early(project, last, without)
    if project.mode != "through":
        backs.append(_rest(project))
    return Recorded(tuple(days), tuple(backs), bench.too_long)


def _record_title(
    bench: Bench, measures: Measures, drawn: TitleDrawn, on: Bools, keeps_masters: bool
) -> tuple[Ints, Ints | None, Floats]:
    """Reels opened, reels passed over for good that need not be kept, and the time played."""
    need = measures.sizes(drawn.length)
    masters = drawn.masters() if keeps_masters else None
    trials = len(need)
    opened = np.zeros(trials, dtype=np.int32)
    done = np.zeros(trials, dtype=np.int32)
    length = drawn.length.astype(np.float64)
    takes = np.where(on, drawn.takes, 0)
    parts: Floats = takes.astype(np.float64)
    if drawn.broken is not None:
        parts = np.zeros(trials)
    for take in range(int(takes.max(initial=0))):
        active = takes > take
        use = need
        if drawn.broken is not None:
            part: npt.NDArray[np.float32] = drawn.broken[take]
            use = np.minimum(measures.broken_off(length * part), need)
            parts += part * active
        laid = bench.lay(need, use, active, None if masters is None else (masters == take) & active)
        if laid is not None:
            opened += laid[0]
            done += laid[1]
            if not keeps_masters:
                done += laid[2]
    return opened, done, parts * length


def _early(project: Ahead, day: int, reels: Ints) -> list[Back]:
    """Reels that need not be kept until the project's end, from a day on."""
    if project.mode == "keep-all" or not reels.any():
        return []
    if project.mode == "keep-masters":
        return [Back(day + 1, day + 1, reels)]
    back = day + max(project.days_back or 0, project.cool_days, 1)
    return [Back(max(back - project.cool_days, day + 1), back, reels)]


def _rest(project: Ahead) -> Back:
    """All that is left when the project is over."""
    if project.days_back is None:
        return Back(project.last + 1, None, None)
    back = project.last + max(project.days_back, project.cool_days, 1)
    return Back(max(back - project.cool_days, project.last + 1), back, None)
