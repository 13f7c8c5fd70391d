"""Every live place weighed: free to go, or not, and then at the door of which take."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from stock.core.house import House
from stock.core.live import Atom
from stock.core.moments import EVER
from stock.core.proof import cooling_days, prove
from stock.core.record import Take, Transfer
from stock.core.view import View, take_names

Cell = tuple[int, int, int]
"""Places [lo, hi) and a track mask."""

GIVEN_UP = ("discard", "tones", "timecode")


@dataclass
class Claim:
    """What a take, or a name a record pass gives, still has live on the reel.

    live: all its live cells, free ones too. bare: cells no transfer made after the recording covers. waiting: cells
    covered by transfers not proved, with those. helped: the transfers made after that touch it, by entry; reached:
    their tracks. newest: the moment of its newest recording.
    """

    label: str
    take: Take | None
    live: list[Cell] = field(default_factory=list)
    bare: list[Cell] = field(default_factory=list)
    waiting: list[tuple[Cell, tuple[Transfer, ...]]] = field(default_factory=list)
    helped: dict[int, Transfer] = field(default_factory=dict)
    reached: int = 0
    newest: int = EVER

    @property
    def facts(self) -> tuple[int, ...]:
        return (self.take.entry,) if self.take is not None else ()


class Copied(NamedTuple):
    """A transfer at reel places, and the moment it counts from."""

    lo: int
    hi: int
    moment: int
    transfer: Transfer


class _Strand(NamedTuple):
    """What atoms of the same takes have in common: the claims, and the takes whose transfers must be proved."""

    claims: tuple[Claim, ...]
    needed: tuple[Take | None, ...]


class Weighing:
    """The live atoms of one reel, weighed one by one with `weigh`."""

    def __init__(self, view: View, transfers: list[Copied]) -> None:
        self._house = view.house
        self._transfers = transfers
        self._claims: dict[tuple[int, str], Claim] = {}
        self._strands: dict[tuple[object, ...], _Strand] = {}
        self._afters: dict[tuple[int, int, int], tuple[Transfer, ...]] = {}
        self._proved: dict[tuple[str | None, tuple[Transfer, ...]], int] = {}
        self.loose: list[Atom] = []
        self.free: list[Cell] = []
        self.kept: list[Cell] = []

    @property
    def claims(self) -> list[Claim]:
        return list(self._claims.values())

    def weigh(self, atom: Atom) -> None:
        """Sort an atom into free and not free, and lay the latter at the door of its takes."""
        lo, hi, mask = atom.lo, atom.hi, atom.mask
        strand = self._strand(atom)
        after = self._after(atom)
        covered = 0
        for transfer in after:
            covered |= transfer.tracks & mask
        for claim in strand.claims:
            claim.live.append((lo, hi, mask))
            if claim.newest < atom.moment:
                claim.newest = atom.moment
            if covered:
                claim.reached |= covered
                claim.helped.update((t.entry, t) for t in after if t.tracks & mask)
        proved = mask
        for take in strand.needed:
            if take is None or not _gives_itself_up(self._house, take, atom):
                proved &= self._proved_tracks(after, take)
        if proved:
            self.free.append((lo, hi, proved))
        rest = mask & ~proved
        if rest:
            self._keep(atom, strand, after, rest, covered)

    def _keep(self, atom: Atom, strand: _Strand, after: tuple[Transfer, ...], rest: int, covered: int) -> None:
        lo, hi = atom.lo, atom.hi
        self.kept.append((lo, hi, rest))
        if not strand.claims:
            self.loose.append(atom._replace(mask=rest))
        for claim in strand.claims:
            if rest & ~covered:
                claim.bare.append((lo, hi, rest & ~covered))
            waiting = rest & covered & ~self._proved_tracks(after, claim.take)
            if waiting:
                those = tuple(transfer for transfer in after if transfer.tracks & waiting)
                claim.waiting.append(((lo, hi, waiting), those))

    def _strand(self, atom: Atom) -> _Strand:
        key = (*(take.entry for take in atom.takes), None, *(take.entry for take in atom.lent), atom.named, atom.moment)
        found = self._strands.get(key)
        if found is None:
            claims = [
                self._claims.setdefault((take.entry, ""), Claim(f"take {take.title}/{take.take}", take))
                for take in atom.owners
            ]
            claims += [
                self._claims.setdefault((0, name), Claim(f"take {name} (never entered)", None)) for name in atom.named
            ]
            needed: list[Take | None] = [
                take for take in atom.owners if not (atom.takes and _decided(self._house, take, atom.moment))
            ]
            if not atom.owners or atom.named:
                needed.append(None)
            found = self._strands[key] = _Strand(tuple(claims), tuple(needed))
        return found

    def _after(self, atom: Atom) -> tuple[Transfer, ...]:
        """The transfers made after an atom's recording that cover its places."""
        key = atom.lo, atom.hi, atom.moment
        found = self._afters.get(key)
        if found is None:
            found = self._afters[key] = tuple(
                transfer
                for lo, hi, moment, transfer in self._transfers
                if lo <= atom.lo and atom.hi <= hi and moment > atom.moment
            )
        return found

    def _proved_tracks(self, transfers: tuple[Transfer, ...], take: Take | None) -> int:
        """The tracks of the transfers that are proved as the take's project asks."""
        if not transfers:
            return 0
        project = take.project if take is not None else None
        key = project, transfers
        mask = self._proved.get(key)
        if mask is None:
            days = cooling_days(self._house, project)
            mask = 0
            for transfer in transfers:
                if prove(self._house, transfer, days).proved:
                    mask |= transfer.tracks
            self._proved[key] = mask
        return mask


def decided_free(house: House, take: Take, atom: Atom) -> bool:
    """Whether the newest word on a take lets what is live there go: a decision given after, or the take's own entry."""
    return _decided(house, take, atom.moment) or _gives_itself_up(house, take, atom)


def _decided(house: House, take: Take, recorded: int) -> bool:
    """Whether the newest decision on a take gives it up, and was given after a recording of that moment."""
    newest: tuple[int, bool] | None = None
    for decision in house.decisions_of(take.entry):
        loosens = decision.keep in GIVEN_UP and bool(decision.by)
        when = (house.calendar.loosens if loosens else house.calendar.binds)(decision.day, decision.at_us)
        word = (when, not loosens)
        newest = word if newest is None else max(newest, word)
    return newest is not None and not newest[1] and newest[0] > recorded


def _gives_itself_up(house: House, take: Take, atom: Atom) -> bool:
    """Whether a take was entered as discard, tones or timecode, no decision stands instead, and the atom is its own
    recording, not one made over it later."""
    if take.keep not in GIVEN_UP or take not in atom.takes or (take.keep == "discard" and not take.by):
        return False
    if house.decisions_of(take.entry) or atom.moment != house.calendar.binds(take.day, take.at_us):
        return False
    names = take_names(take)
    return all(
        recording.take is not None or (recording.pass_ is not None and recording.pass_.take in names)
        for recording in atom.newest
    )
