"""What is live on a reel: for each place and track the newest recording since the last wipe, and the take over it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from stock.core.moments import EVER
from stock.core.record import Take
from stock.core.view import Recording, View, take_names


class Atom(NamedTuple):
    """Places [lo, hi) and tracks on which everything is alike.

    moment: of the newest recording. newest: the recordings made at that moment. takes: the newest take over it (all of
    them where several are tied). lent: where no take lies over it, the takes that the record passes name; named: the
    names they give that no take entered on their reel has.
    """

    lo: int
    hi: int
    mask: int
    moment: int
    newest: tuple[Recording, ...]
    takes: tuple[Take, ...]
    lent: tuple[Take, ...] = ()
    named: tuple[str, ...] = ()

    @property
    def owners(self) -> tuple[Take, ...]:
        """The takes it is part of: those over it, or those its passes name."""
        return self.takes or self.lent

    @property
    def in_a_take(self) -> bool:
        return bool(self.takes or self.lent or self.named)


@dataclass
class Live:
    """All that is live on a reel, in reel order, and what was recorded over since.

    wiped: (lo, hi, moment of the last wipe that counts; EVER where there is none), covering the reel's extent.
    overwritten: for each take entry, the stretches (lo, hi, mask) a newer take lies over.
    """

    atoms: list[Atom] = field(default_factory=list)
    wiped: list[tuple[int, int, int]] = field(default_factory=list)
    overwritten: dict[int, tuple[Take, list[tuple[int, int, int]]]] = field(default_factory=dict)


def _last_wipes(cuts: list[int], wipes: Iterable[tuple[int, int, int]]) -> list[int]:
    last = [EVER] * (len(cuts) - 1)
    for lo, hi, moment in wipes:
        for i in range(bisect_left(cuts, lo), bisect_left(cuts, hi)):
            if moment > last[i]:
                last[i] = moment
    return last


def live(view: View, wipes: list[tuple[int, int, int]], borders: Iterable[int]) -> Live:
    """Find what is live. wipes: the ones that count, (lo, hi, moment). borders: places to cut at in any case."""
    recordings = view.recordings()
    cuts = sorted(
        {0, view.extent}
        | {place for place in borders if 0 <= place <= view.extent}
        | {place for wipe in wipes for place in wipe[:2]}
        | {place for recording in recordings for place in recording[:2]}
    )
    last = _last_wipes(cuts, wipes)
    found = Live(wiped=[(cuts[i], cuts[i + 1], moment) for i, moment in enumerate(last)])
    if not recordings:
        return found
    ordered = sorted(recordings, key=_newest_first)
    newest = _paint(cuts, last, ordered)
    takes = _paint(cuts, last, [recording for recording in ordered if recording.take is not None], found.overwritten)
    for i, layers in enumerate(newest):
        for mask, group in layers:
            rest = mask
            for take_mask, over in takes[i]:
                both = rest & take_mask
                if both:
                    names = tuple(recording.take for recording in over if recording.take is not None)
                    found.atoms.append(Atom(cuts[i], cuts[i + 1], both, group[0].moment, tuple(group), names))
                    rest &= ~both
            if rest:
                lent, named = _named(view, group)
                atom = Atom(cuts[i], cuts[i + 1], rest, group[0].moment, tuple(group), (), lent, named)
                found.atoms.append(atom)
    return found


def _named(view: View, group: list[Recording]) -> tuple[tuple[Take, ...], tuple[str, ...]]:
    """The takes that record passes name, the newest of each name on the pass's reel; and names no take has."""
    lent: dict[int, Take] = {}
    unknown: set[str] = set()
    for recording in group:
        row = recording.pass_
        if row is None or not row.take:
            continue
        takes = [take for take in view.house.takes_of(row.reel) if row.take in take_names(take)]
        if takes:
            newest = max(takes, key=lambda take: (view.house.calendar.binds(take.day, take.at_us), take.entry))
            lent[newest.entry] = newest
        else:
            unknown.add(row.take)
    return tuple(lent[entry] for entry in sorted(lent)), tuple(sorted(unknown))


def _newest_first(recording: Recording) -> tuple[Any, ...]:
    source = recording.take or recording.pass_
    assert source is not None
    return -recording.moment, source.entry, recording.lo


def _paint(
    cuts: list[int],
    last: list[int],
    newest_first: list[Recording],
    covered: dict[int, tuple[Take, list[tuple[int, int, int]]]] | None = None,
) -> list[list[tuple[int, list[Recording]]]]:
    """Lay recordings newest first: for each cell, the tracks and the recordings on top there (tied ones together).

    covered, if given, gathers where a take lies under a newer one.
    """
    cells: list[list[tuple[int, list[Recording]]]] = [[] for _ in last]
    taken = [0] * len(last)
    for recording in newest_first:
        mask = recording.mask
        for i in range(bisect_left(cuts, recording.lo), bisect_left(cuts, recording.hi)):
            if recording.moment < last[i]:
                continue
            under = taken[i] & mask
            if under:
                under = _tie(cells[i], recording, under)
                if under and covered is not None and recording.take is not None:
                    held = covered.setdefault(recording.take.entry, (recording.take, []))
                    held[1].append((cuts[i], cuts[i + 1], under))
            free = mask & ~taken[i]
            if free:
                cells[i].append((free, [recording]))
                taken[i] |= free
    return cells


def _tie(layers: list[tuple[int, list[Recording]]], recording: Recording, under: int) -> int:
    """Add a recording to the layers made at the very same moment; gives the tracks that newer ones cover."""
    for at in range(len(layers)):
        mask, group = layers[at]
        both = mask & under
        if not both or group[0].moment != recording.moment:
            continue
        if both != mask:
            layers[at] = (mask & ~both, group)
            layers.append((both, [*group, recording]))
        else:
            layers[at] = (mask, [*group, recording])
        under &= ~both
    return under
