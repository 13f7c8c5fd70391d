"""What the tape map shows of a reel: takes where they are live, proof, wear, splices, findings, marks."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any, NamedTuple

from stock.core.fitness import Joint, severities
from stock.core.least_worn import WornSpan, least_worn, worst_place
from stock.core.live import Atom
from stock.core.map_signs import Proof
from stock.core.record import Take
from stock.core.rules import GRADES
from stock.core.spans import Span, union
from stock.core.tracks import spell
from stock.core.verdict import Advice
from stock.core.weighing import decided_free
from stock.edge.visible import safe

_WORSE: dict[Proof, int] = {"none": 0, "let-go": 1, "proved": 2, "unproved": 3}


class Bar(NamedTuple):
    """A take, or what is recorded in none, where it is live. take: None where none was entered. mask: its tracks."""

    label: str
    spans: tuple[Span, ...]
    mask: int
    take: Take | None

    @property
    def lo(self) -> int:
        return self.spans[0][0]

    @property
    def hi(self) -> int:
        return self.spans[-1][1]


class Damage(NamedTuple):
    """A finding that stands. tracks: a mask, None for all."""

    lo: int
    hi: int
    severity: int
    kind: str
    tracks: int | None
    entry: int


class Stripe(NamedTuple):
    """Timecode on the reel: the place where its start code lies."""

    at: int
    start_code: str
    rate: str


class Tape(NamedTuple):
    """One reel's tape as the map draws it; places are tenths of a millimetre from the head.

    usable: without the unused head and tail. zero: where the counter reads 0:00, 0 (the head) where no mark was set.
    wear: (lo, hi, tenths of a pass). limits: passes each grade bears, best grade first. events: places worth stopping
    at, in order. worst: where it is worn most. least: where the next take would be least worn.
    """

    length: int
    usable: Span
    zero: int
    zero_set: bool
    stripe: Stripe | None
    bars: tuple[Bar, ...]
    proof: tuple[tuple[int, int, Proof], ...]
    wear: tuple[tuple[int, int, int], ...]
    limits: tuple[int, ...]
    joints: tuple[Joint, ...]
    damage: tuple[Damage, ...]
    events: tuple[int, ...]
    worst: WornSpan | None = None
    least: WornSpan | None = None


def tape_of(advice: Advice) -> Tape:
    """The map of an answered reel."""
    view, fitness = advice.view, advice.fitness
    rules = view.house.rules
    damage = tuple(sorted(Damage(*found) for found in severities(view)))
    mark = _newest(advice, "zero_marks")
    zero = (view.layout.project_point(mark.tape, mark.lo) or 0) if mark else 0
    stripe = _stripe(advice)
    bars = _bars(advice.recording.live.atoms, view.length)
    places = {*fitness.usable, *((zero,) if mark else ()), *((stripe.at,) if stripe else ())}
    places |= {place for bar in bars for span in bar.spans for place in span}
    places |= {joint.at for joint in fitness.joints} | {found.lo for found in damage}
    proof = tuple(_proof(advice))
    places |= {lo for lo, _, _ in proof}
    return Tape(
        view.length,
        fitness.usable,
        zero,
        mark is not None,
        stripe,
        bars,
        proof,
        tuple(fitness.wear),
        tuple(rules.number(f"passes_{grade}") for grade in GRADES),
        tuple(fitness.joints),
        damage,
        tuple(sorted(place for place in places if 0 <= place <= view.length)),
        worst_place(advice),
        least_worn(advice, rules.number("shortest_stretch")),
    )


def _newest(advice: Advice, file: str) -> Any:
    """The newest mark of a kind set on this reel; None where none is."""
    view = advice.view
    found: dict[int, Any] = {}
    for tape in view.tapes:
        for _, _, row in view.house.on_tape(file, tape):
            if row.reel == advice.reel and (file != "stripes" or (row.start_code and row.rate)):
                found[row.entry] = row
    loosens = view.house.calendar.loosens
    return max(found.values(), key=lambda row: (loosens(row.day, row.at_us), row.entry), default=None)


def _stripe(advice: Advice) -> Stripe | None:
    row = _newest(advice, "stripes")
    at = advice.view.layout.project_point(row.tape, row.lo) if row else None
    return None if at is None else Stripe(at, row.start_code, row.rate)


def _bars(atoms: Iterable[Atom], length: int) -> tuple[Bar, ...]:
    held: dict[tuple[int, str], tuple[str, Take | None, list[Span], int]] = {}

    def hold(key: tuple[int, str], label: str, take: Take | None, atom: Atom) -> None:
        _, _, spans, mask = held.get(key, (label, take, [], 0))
        if atom.lo < length:
            held[key] = label, take, [*spans, (atom.lo, min(atom.hi, length))], mask | atom.mask

    for atom in atoms:
        for take in atom.owners:
            hold((take.entry, ""), f"{take.title}/{take.take}", take, atom)
        for name in atom.named:
            hold((0, name), f"{name} (take not entered)", None, atom)
        if not atom.in_a_take:
            hold((0, ""), "in no take", None, atom)
    bars = [Bar(safe(label), tuple(union(spans)), mask, take) for label, take, spans, mask in held.values()]
    return tuple(sorted(bars, key=lambda bar: (bar.lo, bar.mask & -bar.mask, -bar.hi, bar.label)))


def state_of(advice: Advice, atom: Atom, kept_mask: int) -> Proof:
    """How it stands with one live cell. kept_mask: the tracks there that may not go."""
    if not atom.mask & kept_mask:
        decided = atom.takes and all(decided_free(advice.view.house, take, atom) for take in atom.takes)
        return "let-go" if decided else "proved"
    if atom.in_a_take:
        return "unproved"
    # a stray beside a take is not asked about
    asked = any(
        reason.code == "unlogged-recording" and (reason.lo or 0) < atom.hi and atom.lo < (reason.hi or 0)
        for reason in advice.recording.reasons
    )
    return "unproved" if asked else "let-go"


def _proof(advice: Advice) -> list[tuple[int, int, Proof]]:
    """How it stands along the reel; where cells differ, the worst of them."""
    kept: dict[Span, int] = {}
    for lo, hi, mask in advice.recording.kept:
        kept[lo, hi] = kept.get((lo, hi), 0) | mask
    atoms = [(atom.lo, atom.hi, state_of(advice, atom, kept.get((atom.lo, atom.hi), 0))) for atom in _live(advice)]
    cuts = sorted({0, advice.view.length, *(place for atom in atoms for place in atom[:2])})
    worst: dict[Span, Proof] = {}
    for lo, hi, state in atoms:
        held = worst.get((lo, hi), "none")
        worst[lo, hi] = max(held, state, key=_WORSE.__getitem__)
    out: list[tuple[int, int, Proof]] = []
    for lo, hi in pairwise(cuts):
        if hi > advice.view.length:
            break
        states = [state for (a, b), state in worst.items() if a <= lo and hi <= b]
        here: Proof = max(states, key=_WORSE.__getitem__, default="none")
        if out and out[-1][2] == here:
            out[-1] = (out[-1][0], hi, here)
        else:
            out.append((lo, hi, here))
    return out


def _live(advice: Advice) -> list[Atom]:
    return advice.recording.live.atoms


def lanes_of(bars: Iterable[Bar], most: int) -> tuple[list[list[Bar]], int]:
    """Bars in as few lanes as their overlaps need, at most so many; and how many bars found no lane."""
    lanes: list[list[Bar]] = []
    left = 0
    for bar in bars:
        free = next((lane for lane in lanes if lane[-1].hi <= bar.lo), None)
        if free is not None:
            free.append(bar)
        elif len(lanes) < most:
            lanes.append([bar])
        else:
            left += 1
    return lanes, left


def tracks_words(bar: Bar) -> str:
    """The tracks of a bar with the names the take gives them: `tracks 1 kick, 2 snare, 5-8`."""
    names: dict[int, str] = {}
    for item in ((bar.take.track_names if bar.take else None) or "").split("; "):
        number, _, words = item.partition(" ")
        if number.isdigit() and words:
            names[int(number)] = words
    mask, parts = bar.mask, []
    for track, words in sorted(names.items()):
        bit = 1 << (track - 1)
        if mask & bit:
            parts.append((track, f"{track} {words}"))
            mask ^= bit
    for run in spell(mask).split(",") if mask else ():
        parts.append((int(run.split("-")[0]), run))
    many = bar.mask & (bar.mask - 1)
    return f"track{'s' if many else ''} " + safe(", ".join(words for _, words in sorted(parts)))


def track_list(mask: int) -> str:
    """Tracks in words: `track 3`, `tracks 1-8,13`."""
    return f"track{'s' if mask & (mask - 1) else ''} {spell(mask)}"
