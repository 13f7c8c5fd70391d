"""Reels as ordered pieces of tape, and what cuts, joins and length corrections make of them.

Facts lie on tape; people read places on reels. A layout maps between the two, for one reel at one moment. Adding,
splitting and mapping are exact: everything is an integer count of tenths of a millimetre.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from copy import copy
from typing import NamedTuple

from stock.core.facts import Stretch
from stock.core.spans import Span


class LayoutError(Exception):
    """An edit or a length that the tape as recorded cannot bear. entry: the fact's number."""

    def __init__(self, says: str, entry: int | None = None) -> None:
        super().__init__(says)
        self.says = says
        self.entry = entry


class Layout(NamedTuple):
    """The pieces on a reel from its head, and the tape a later, shorter measurement says is not there.

    What lies on `beyond` is still asked about before a wipe (a measurement is no proof that a take is gone), but no
    footage is counted on it.
    """

    pieces: tuple[Stretch, ...]
    beyond: tuple[Stretch, ...] = ()

    @property
    def length(self) -> int:
        """How much tape is on the reel, tenths of a millimetre."""
        length = 0
        for _, lo, hi in self.pieces:
            length += hi - lo
        return length

    def locate(self, lo: int, hi: int) -> list[Stretch]:
        """The tape under the reel places [lo, hi), in reel order; only what is on the reel."""
        found: list[Stretch] = []
        at = 0
        for piece in self.pieces:
            tape, first, last = piece
            size = last - first
            start = lo - at if lo > at else 0
            end = hi - at if hi - at < size else size
            if start < end:
                found.append(piece if end - start == size else Stretch(tape, first + start, first + end))
            at += size
        return found

    def point(self, at: int) -> Stretch | None:
        """The tape place under one reel place, from 0 to the length inclusive; None off the reel."""
        start = 0
        for piece in self.pieces:
            size = piece.hi - piece.lo
            if start <= at <= start + size:
                place = piece.lo + at - start
                return Stretch(piece.tape, place, place)
            start += size
        return None

    def project(self, tape: str, lo: int, hi: int) -> list[Span]:
        """The reel places of a stretch of tape: what of it is on the reel, in reel order."""
        spans: list[Span] = []
        start = 0
        for piece in self.pieces:
            if piece.tape == tape:
                a, b = max(lo, piece.lo), min(hi, piece.hi)
                if a < b:
                    spans.append((start + a - piece.lo, start + b - piece.lo))
            start += piece.hi - piece.lo
        return spans

    def project_point(self, tape: str, at: int) -> int | None:
        """The reel place of one tape place; None where it is not on the reel."""
        start = 0
        for piece in self.pieces:
            if piece.tape == tape and piece.lo <= at <= piece.hi:
                return start + at - piece.lo
            start += piece.hi - piece.lo
        return None

    def joins(self) -> list[int]:
        """The reel places where one piece ends and the next begins: each is a splice."""
        places: list[int] = []
        at = 0
        for piece in self.pieces[:-1]:
            at += piece.hi - piece.lo
            places.append(at)
        return places


class Edit(NamedTuple):
    """Tape cut out of a reel, and joined into another or thrown away (to_reel None).

    stretches: the tape cut, in reel order. to_at: the place on the other reel before the join; None is its tail.
    moment: when it counts, microseconds.
    """

    entry: int
    moment: int
    reel: str
    stretches: tuple[Stretch, ...]
    to_reel: str | None
    to_at: int | None


class LengthFix(NamedTuple):
    """How much tape a reel was found to hold. moment: when it counts, microseconds."""

    entry: int
    moment: int
    reel: str
    length: int


def merged(stretches: Iterable[Stretch]) -> tuple[Stretch, ...]:
    """Stretches in the same order, neighbours that continue one another made one and empty ones left out."""
    out: list[Stretch] = []
    for piece in stretches:
        if piece.lo == piece.hi:
            continue
        if out and out[-1].tape == piece.tape and out[-1].hi == piece.lo:
            out[-1] = Stretch(piece.tape, out[-1].lo, piece.hi)
        else:
            out.append(piece)
    return tuple(out)


Event = Edit | LengthFix


def in_order(event: Event) -> tuple[int, int]:
    """The order in which edits and corrections happened: by moment, then as they were entered."""
    return event.moment, event.entry


class Layouts:
    """The layouts of all reels through time.

    lengths: each reel's length as it came. Raises LayoutError where an edit takes tape that is not there.
    """

    def __init__(self, lengths: Mapping[str, int], edits: Iterable[Edit] = (), fixes: Iterable[LengthFix] = ()) -> None:
        self._lengths = lengths
        self._moments: dict[str, list[int]] = {}
        self._versions: dict[str, list[Layout]] = {}
        self._whole: dict[str, Layout] = {}
        self._extent: dict[str, int] = {}
        self.thrown_away: list[tuple[Edit, Stretch]] = []
        self.homes: dict[str, set[str]] = {}
        """For each tape ever joined elsewhere: the other reels it has been on."""
        self._newest: Event | None = None
        events: list[Event] = [*edits, *fixes]
        for event in sorted(events, key=in_order):
            self.append(event)

    def follows(self, event: Event) -> bool:
        """Whether an edit or a correction comes after all that are here, so that it can be appended."""
        return self._newest is None or in_order(self._newest) < in_order(event)

    def append(self, event: Event) -> None:
        """Take one more edit or correction that `follows`; LayoutError, and nothing changed, where it does not fit."""
        if isinstance(event, Edit):
            self._cut(event)
        else:
            self._fix(event)
        self._newest = event

    def supposing(self, edit: Edit) -> Layouts:
        """These layouts with one more edit after all others; these stay as they are. LayoutError where it does not
        fit."""
        other = copy(self)
        other._moments = {reel: [*moments] for reel, moments in self._moments.items()}
        other._versions = {reel: [*versions] for reel, versions in self._versions.items()}
        other.thrown_away = [*self.thrown_away]
        other.homes = {tape: {*reels} for tape, reels in self.homes.items()}
        other.append(edit)
        return other

    def now(self, reel: str) -> Layout:
        """The newest layout of a reel."""
        versions = self._versions.get(reel)
        return versions[-1] if versions else self._as_it_came(reel)

    def at(self, reel: str, moment: int) -> Layout:
        """The layout of a reel at a moment (what happened at that very moment included)."""
        moments = self._moments.get(reel)
        index = bisect_right(moments, moment) if moments else 0
        return self._versions[reel][index - 1] if index else self._as_it_came(reel)

    def _as_it_came(self, reel: str) -> Layout:
        found = self._whole.get(reel)
        if found is None:
            length = self._lengths[reel]
            found = self._whole[reel] = Layout((Stretch(reel, 0, length),) if length else ())
        return found

    def edited(self, reel: str) -> bool:
        """Whether a reel was ever edited or measured anew."""
        return reel in self._versions

    def _put(self, reel: str, moment: int, layout: Layout) -> None:
        self._moments.setdefault(reel, []).append(moment)
        self._versions.setdefault(reel, []).append(layout)

    def _cut(self, edit: Edit) -> None:
        source = self.now(edit.reel)
        cut_from, cut_to = self._where(source, edit)
        size = cut_to - cut_from
        rest = Layout(
            merged([*source.locate(0, cut_from), *source.locate(cut_to, source.length)]),
            source.beyond,
        )
        if edit.to_reel is None:
            self._put(edit.reel, edit.moment, rest)
            self.thrown_away.extend((edit, piece) for piece in edit.stretches)
            return
        target = rest if edit.to_reel == edit.reel else self.now(edit.to_reel)
        to_at = target.length if edit.to_at is None else edit.to_at
        if edit.to_reel == edit.reel and edit.to_at is not None:
            if cut_from < to_at < cut_to:
                raise LayoutError("the place to join at lies inside the tape that is cut out", edit.entry)
            to_at = to_at - size if to_at >= cut_to else to_at
        if not 0 <= to_at <= target.length:
            raise LayoutError(f"reel {edit.to_reel} has no tape at the place to join at", edit.entry)
        joined = Layout(
            merged([*target.locate(0, to_at), *edit.stretches, *target.locate(to_at, target.length)]), target.beyond
        )
        if edit.to_reel != edit.reel:
            self._put(edit.reel, edit.moment, rest)
        self._put(edit.to_reel, edit.moment, joined)
        for piece in edit.stretches:
            self.homes.setdefault(piece.tape, set()).add(edit.to_reel)

    @staticmethod
    def _where(source: Layout, edit: Edit) -> Span:
        """The reel places an edit cuts; its tape must lie there unbroken and in that order."""
        cut_from: int | None = None
        at: int | None = None
        for piece in edit.stretches:
            spans = source.project(*piece)
            if len(spans) != 1 or spans[0][1] - spans[0][0] != piece.hi - piece.lo or at not in (None, spans[0][0]):
                raise LayoutError(f"the tape to be cut is not on reel {edit.reel} at that moment", edit.entry)
            cut_from = spans[0][0] if cut_from is None else cut_from
            at = spans[0][1]
        if cut_from is None or at is None:
            raise LayoutError("there is no tape in the stretch to be cut", edit.entry)
        return cut_from, at

    def _fix(self, fix: LengthFix) -> None:
        layout = self.now(fix.reel)
        missing = fix.length - layout.length
        if missing < 0:
            off = layout.locate(fix.length, layout.length)
            self._note_extent(off)
            kept = Layout(tuple(layout.locate(0, fix.length)), (*off, *layout.beyond))
        else:
            pieces = list(layout.pieces)
            beyond = list(layout.beyond)
            while missing and beyond:
                piece = beyond.pop(0)
                size = min(missing, piece.hi - piece.lo)
                pieces.append(Stretch(piece.tape, piece.lo, piece.lo + size))
                if piece.lo + size < piece.hi:
                    beyond.insert(0, Stretch(piece.tape, piece.lo + size, piece.hi))
                missing -= size
            if missing:
                tape = pieces[-1].tape if pieces else fix.reel
                end = max(self._extent.get(tape, 0), self._lengths.get(tape, 0))
                pieces.append(Stretch(tape, end, end + missing))
                self._extent[tape] = end + missing
            kept = Layout(merged(pieces), tuple(beyond))
        self._put(fix.reel, fix.moment, kept)

    def _note_extent(self, pieces: Iterable[Stretch]) -> None:
        for piece in pieces:
            self._extent[piece.tape] = max(self._extent.get(piece.tape, 0), piece.hi)
