"""What orders are for: the weeks and projects each covers, and those that go short."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from stock.planning.need import Need

Arrival = tuple[str, int, int]
"""A stock item, the day it arrives, and how many reels."""


class Reason(NamedTuple):
    """A project and the reels of it (at the median) that fall in the weeks covered."""

    project: str
    reels: int


class Cover(NamedTuple):
    """What a line covers. need_by: first day of the week that would be short without it; None where none would."""

    need_by: int | None
    reasons: tuple[Reason, ...]


class Short(NamedTuple):
    """Reels short at the end of the weeks from `week` to `until` (their first days): the most in any of them."""

    stock_item: str
    week: int
    until: int
    reels: int
    projects: tuple[str, ...]


def covers(needs: Sequence[Need], coming: Iterable[Arrival], lines: Sequence[Arrival]) -> list[Cover]:
    """What each line covers: the need that follows what arrives before it, up to what it brings."""
    by_item = {need.stock_item: need for need in needs}
    had = {item: sum(reels for name, _, reels in coming if name == item) for item in by_item}
    found: dict[int, Cover] = {}
    for at in sorted(range(len(lines)), key=lambda at: (lines[at][1], at)):
        item, _, reels = lines[at]
        need = by_item.get(item)
        found[at] = Cover(None, ()) if need is None else _cover(need, had[item], had[item] + reels)
        if need is not None:
            had[item] += reels
    return [found[at] for at in range(len(lines))]


def _cover(need: Need, before: int, after: int) -> Cover:
    weeks = [at for at, wanted in enumerate(need.service) if wanted > before]
    if not weeks:
        return Cover(None, ())
    first = weeks[0]
    last = max([at for at, wanted in enumerate(need.service) if wanted <= after], default=first)
    return Cover(need.weeks[first], _projects(need, first, max(first, last)))


def _projects(need: Need, first: int, last: int) -> tuple[Reason, ...]:
    """The projects whose need grows in some weeks, most first."""
    found = []
    for project, reels in need.by_project.items():
        grown = reels[last] - (reels[first - 1] if first else 0)
        if grown > 0:
            found.append(Reason(project, grown))
    return tuple(sorted(found, key=lambda reason: (-reason.reels, reason.project)))


def shorts(needs: Sequence[Need], arrivals: Sequence[Arrival]) -> list[Short]:
    """Where the need is not met, by item: runs of weeks in which something is short."""
    found = []
    for need in needs:
        own = [(day, reels) for item, day, reels in arrivals if item == need.stock_item]
        run: list[int] = []
        missing = [
            max(0, wanted - sum(reels for day, reels in own if day <= week))
            for week, wanted in zip(need.weeks, need.service, strict=True)
        ]
        for at in range(len(missing) + 1):
            if at < len(missing) and missing[at]:
                run.append(at)
            elif run:
                worst = max(missing[each] for each in run)
                names = tuple(reason.project for reason in _projects(need, run[0], run[-1]))
                found.append(Short(need.stock_item, need.weeks[run[0]], need.weeks[run[-1]], worst, names))
                run = []
    return found
