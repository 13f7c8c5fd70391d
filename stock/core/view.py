"""One reel as it is now, with every fact about its tape laid at the reel's own places."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any, NamedTuple

from stock.core.facts import Stretch
from stock.core.house import House, Placed
from stock.core.record import Pass, Take
from stock.core.spans import Span, union
from stock.core.tracks import every


class Recording(NamedTuple):
    """A record pass or a take at reel places: tracks as a mask, moment in microseconds, actual speed or None."""

    lo: int
    hi: int
    mask: int
    moment: int
    take: Take | None
    pass_: Pass | None
    speed: int | None


def take_names(take: Take) -> tuple[str, str]:
    """What a pass may call a take: its own name, or that behind its title."""
    return take.take, f"{take.title}/{take.take}"


class View:
    """A reel's tape and what lies on it.

    Places run from 0 at the head to `length`; what a shorter measurement says is not there any more follows up to
    `extent`, and is looked at for recordings only.
    """

    def __init__(self, house: House, number: str) -> None:
        self.house = house
        self.reel = house.reel(number)
        self.layout = house.layout(number)
        self.pieces: list[tuple[int, Stretch]] = []
        at = 0
        for piece in self.layout.pieces:
            self.pieces.append((at, piece))
            at += piece.hi - piece.lo
        self.length = at
        self.on_reel = list(self.pieces)
        for piece in self.layout.beyond:
            self.pieces.append((at, piece))
            at += piece.hi - piece.lo
        self.extent = at
        self.tapes = sorted({piece.tape for _, piece in self.pieces})

    def spans(self, file: str, *, beyond: bool = True) -> list[Placed]:
        """The rows of a file with the reel places they lie on: (lo, hi, row), one for each piece of tape touched."""
        found: list[Placed] = []
        for start, piece in self.pieces if beyond else self.on_reel:
            shift = start - piece.lo
            for lo, hi, row in self.house.on_tape(file, piece.tape):
                a, b = max(lo, piece.lo), min(hi, piece.hi)
                if a < b:
                    found.append((a + shift, b + shift, row))
        return found

    def points(self, file: str) -> list[tuple[int, Any]]:
        """The rows of a file that lie at one place, with that reel place."""
        found: list[tuple[int, Any]] = []
        for start, piece in self.on_reel:
            for lo, _, row in self.house.on_tape(file, piece.tape):
                if piece.lo <= lo <= piece.hi:
                    found.append((lo - piece.lo + start, row))
        return found

    def tape_spans(self, tape: str) -> list[Span]:
        """The reel places of one tape's pieces."""
        return union((start, start + piece.hi - piece.lo) for start, piece in self.pieces if piece.tape == tape)

    def recordings(self) -> list[Recording]:
        """Every record pass and take, wiped since or not; an older one that a like one covers is left out."""
        house, calendar = self.house, self.house.calendar
        passes: dict[tuple[Any, ...], Recording] = {}
        for lo, hi, row in self.spans("passes"):
            if row.kind != "record":
                continue
            speed = _actual(row.speed, row.vary)
            moment = calendar.binds(row.day, row.at_us)
            key = lo, hi, row.tracks, row.reel, row.take, speed
            held = passes.get(key)
            if held is None or held.moment < moment:
                passes[key] = Recording(lo, hi, house.mask_of(row.reel, row.tracks), moment, None, row, speed)
        takes = [
            Recording(
                lo,
                hi,
                house.mask_of(row.reel, row.tracks),
                calendar.binds(row.day, row.at_us),
                row,
                None,
                _actual(row.speed, row.vary),
            )
            for lo, hi, row in self.spans("takes")
        ]
        return [*passes.values(), *takes]

    def listened(self) -> list[tuple[int, int, int, int]]:
        """Stretches listened to with nothing heard (severity 0): (lo, hi, track mask, moment)."""
        return [
            (lo, hi, self.house.mask_of(row.reel, row.tracks), self.house.calendar.loosens(row.day, row.at_us))
            for lo, hi, row in self.spans("findings")
            if row.kind == "listened" and row.severity == 0
        ]

    @property
    def every_track(self) -> int:
        """The mask of all tracks of the reel."""
        return every(self.reel.tracks)

    def on_all_tracks(self, parts: Iterable[tuple[int, int, int]], mask: int | None = None) -> list[Span]:
        """The places where the parts (lo, hi, track mask) together have every track of the mask (None: of the reel)."""
        wanted = self.every_track if mask is None else mask
        held = [(lo, hi, tracks & wanted) for lo, hi, tracks in parts]
        if all(part[2] == wanted for part in held):
            return union((lo, hi) for lo, hi, _ in held)
        cuts = sorted({place for part in held for place in part[:2]})
        found: list[Span] = []
        for lo, hi in pairwise(cuts):
            together = 0
            for a, b, tracks in held:
                if a <= lo and hi <= b:
                    together |= tracks
            if together == wanted:
                found.append((lo, hi))
        return union(found)

    def wipe_counts(self, wipe: Any) -> bool:
        """Whether a wipe ends recordings: one dated after the database was made needs its certificate."""
        made_us = self.house.record.made_us
        return wipe.certificate is not None or self.house.calendar.binds(wipe.day, wipe.at_us) <= made_us


def _actual(speed: int | None, vary: int | None) -> int | None:
    if speed is None:
        return None
    return (speed * (10_000 + (vary or 0)) + 5_000) // 10_000
