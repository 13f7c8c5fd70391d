"""A reel on the machine: the tape left on it, whether the next takes fit, and what must be said before recording."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

from stock.core.fitness import Joint
from stock.core.house import House
from stock.core.live import Atom
from stock.core.measure import Speed, length_of, time_of
from stock.core.picking.counter import Counter, counter_of
from stock.core.picking.request import Request, footprints, gap
from stock.core.record import Take
from stock.core.rules import Rules
from stock.core.spans import Span
from stock.core.timecode import TimecodeError
from stock.core.tracks import say
from stock.core.verdict import Advice
from stock.core.words import clock

IN_NO_TAKE = "a recording in no take"
UNSAFE = ("sticky", "shedding", "vinegar", "mould", "retired", "not-here")
"""Reasons that are no bar to logging what somebody does anyway, but are said and asked about first."""


class Kept(NamedTuple):
    """Something live on a reel: what it is called, its stretch and its tracks."""

    label: str
    lo: int
    hi: int
    mask: int


class Bound(NamedTuple):
    """Where the tape for a take ends: at the end of usable tape, a live recording, or a splice no take crosses."""

    at: int
    what: Literal["end", "recording", "splice"]
    label: str


class OnMachine(NamedTuple):
    """A reel as it stands on the machine, whatever runs on it now left out.

    Places in tenths of a millimetre from the head. mask: the tracks in use. live: in reel order. firm: splices that no
    take crosses. code_tracks: tracks that carry timecode. rules: the house's.
    """

    reel: str
    length: int
    usable: Span
    speed: Speed
    mask: int
    counter: Counter
    live: tuple[Kept, ...]
    firm: tuple[Joint, ...]
    code_tracks: int
    rules: Rules

    def clock_at(self, place: int) -> str:
        """The counter's reading at a place, in words."""
        return clock(self.counter.time_us(place, self.speed.nominal))

    def code_at(self, place: int) -> str | None:
        """The timecode at a place; None without a stripe, before it, or where its start code cannot be."""
        try:
            return self.counter.code(place, self.speed.nominal)
        except TimecodeError:
            return None


class Outlook(NamedTuple):
    """Whether a planned take still fits: left is the time before it (microseconds), lacks the tape it lacks."""

    take_us: int
    fits: bool
    left_us: int
    lacks: int


class Concern(NamedTuple):
    """Something to be said before a take. ask: whether recording needs a yes first."""

    code: str
    ask: bool
    says: str


class Running(NamedTuple):
    """A take that runs: its entry, and what it was started with. start: its reel place; tracks: as typed."""

    entry: int
    reel: str
    project: str | None
    title: str
    take: str
    speed: Speed
    mask: int
    tracks: str
    start: int
    started_us: int
    machine: str | None
    by: str | None

    @property
    def label(self) -> str:
        return f"{self.title}/{self.take}"


def on_machine(advice: Advice, speed: Speed, mask: int | None = None) -> OnMachine:
    """A reel on the machine, from its advice at that actual speed. mask: the tracks in use, None for all
    but those that carry timecode."""
    view, fitness = advice.view, advice.fitness
    code_tracks = _code_tracks(advice)
    return OnMachine(
        advice.reel,
        view.length,
        fitness.usable,
        speed,
        view.every_track & ~code_tracks if mask is None else mask,
        counter_of(view),
        _kept(advice.recording.live.atoms, view.length),
        tuple(joint for joint in fitness.joints if joint.firm),
        code_tracks,
        view.house.rules,
    )


def _kept(atoms: Iterable[Atom], length: int) -> tuple[Kept, ...]:
    """What is live, neighbouring stretches of one name and the same tracks as one."""
    found: list[Kept] = []
    open_: dict[tuple[str, int], Kept] = {}
    for atom in sorted(atoms, key=lambda atom: (atom.lo, atom.hi, atom.mask)):
        if atom.lo >= length:
            continue
        label = label_of(atom)
        held = open_.get((label, atom.mask))
        if held is not None and held.hi == atom.lo:
            found.remove(held)
            kept = held._replace(hi=min(atom.hi, length))
        else:
            kept = Kept(label, atom.lo, min(atom.hi, length), atom.mask)
        open_[label, atom.mask] = kept
        found.append(kept)
    return tuple(sorted(found, key=lambda kept: (kept.lo, kept.mask, kept.hi, kept.label)))


def label_of(atom: Atom) -> str:
    """What a live stretch is called: its takes, the names its passes give, or that it is in none."""
    names = [f"{take.title}/{take.take}" for take in atom.owners] + list(atom.named)
    return ", ".join(dict.fromkeys(names)) or IN_NO_TAKE


def _code_tracks(advice: Advice) -> int:
    """The tracks that carry timecode: by a stripe on the reel, or by a take live there that was said to be it."""
    mask = 0
    for _, row in advice.view.points("stripes"):
        if row.track:
            mask |= 1 << (row.track - 1)
    for atom in advice.recording.live.atoms:
        if any(_is_code(advice.view.house, take) for take in atom.owners):
            mask |= atom.mask
    return mask


def _is_code(house: House, take: Take) -> bool:
    return take.keep == "timecode" or any(row.keep == "timecode" for row in house.decisions_of(take.entry))


def bound(on: OnMachine, place: int) -> Bound:
    """What the tape from a place on ends at, on the tracks in use."""
    found = [Bound(max(on.usable[1], 0), "end", "the end of usable tape")]
    found += [
        Bound(max(kept.lo, place), "recording", f"{kept.label} on {say(kept.mask & on.mask)}")
        for kept in on.live
        if kept.hi > place and kept.mask & on.mask
    ]
    found += [
        Bound(joint.at, "splice", f"{'leader' if joint.kind == 'leader' else f'a {joint.state} splice'}")
        for joint in on.firm
        if joint.at > place
    ]
    return min(found, key=lambda each: (each.at, each.what, each.label))


def left(on: OnMachine, place: int) -> int:
    """The tape from a place to its bound; 0 where it is past it."""
    return max(bound(on, place).at - place, 0)


def left_us(on: OnMachine, place: int) -> int:
    """How long that tape plays at the actual speed."""
    return time_of(left(on, place), on.speed.actual)


def _room(on: OnMachine, place: int) -> int:
    """The tape planned takes may count on: before a recording or a splice, less what the counter may be off by."""
    end = bound(on, place)
    room = max(end.at - place, 0)
    if end.what != "end":
        room -= -(-abs(end.at - on.counter.zero) * on.rules.number("guard_share") // 1000)
    return max(room, 0)


def outlook(on: OnMachine, place: int, takes: Sequence[int], *, after_a_take: bool = False) -> list[Outlook]:
    """Whether planned takes (microseconds) still fit one after another from a place on, each with its footprint.

    after_a_take: whether a gap must be left first. One that does not fit takes no room from those after it.
    """
    if not takes:
        return []
    request = Request(tuple(takes), on.speed)
    between, actual = gap(request, on.rules), on.speed.actual
    room = _room(on, place)
    found: list[Outlook] = []
    for take_us, print_ in zip(takes, footprints(request, on.rules), strict=True):
        needs = print_.length + (between if after_a_take else 0)
        lacks = max(needs - room, 0)
        found.append(Outlook(take_us, not lacks, time_of(room, actual), lacks))
        if not lacks:
            room -= needs
            after_a_take = True
    return found


def outlook_words(found: Outlook) -> str:
    """`another 9:00 fits: 12:10 left`, `another 9:00 does not fit: 6:20 left`."""
    fits = "fits" if found.fits else "does not fit"
    return f"another {clock(found.take_us)} {fits}: {clock(found.left_us)} left"


def place_of(running: Running, on: OnMachine, now_us: int) -> int:
    """Where the tape is now under a running take, by the clock; at its end at the latest."""
    gone = length_of(max(now_us - running.started_us, 0), running.speed.actual)
    return min(running.start + gone, on.length)


def planned_end(running: Running, on: OnMachine, now_us: int, planned_us: int | None) -> int:
    """Where a running take will end: after its slate and planned time, or where the tape is if that is later."""
    here = place_of(running, on, now_us)
    if planned_us is None:
        return here
    (print_,) = footprints(Request((planned_us,), on.speed), on.rules)
    return max(running.start + print_.ends, here)


def recorded_over(on: OnMachine, lo: int, hi: int) -> list[Kept]:
    """What is live on the tracks in use in a stretch."""
    return [kept for kept in on.live if lo < hi and kept.lo < hi and lo < kept.hi and kept.mask & on.mask]


def first_place(on: OnMachine) -> int:
    """Where a session may begin on a reel: behind the last live recording and its guard; else after the unused head
    and the alignment tones, as picking places takes."""
    last = max((kept.hi for kept in on.live if kept.mask & on.mask), default=None)
    actual = on.speed.actual
    if last is None:
        return min(on.usable[0] + length_of(on.rules.number("tones_s"), actual), on.length)
    drift = -(-abs(last - on.counter.zero) * on.rules.number("guard_share") // 1000)
    return min(max(last + length_of(on.rules.number("guard_s"), actual) + drift, on.usable[0]), on.length)


def concerns(on: OnMachine, advice: Advice, place: int, planned_us: int | None, project: str | None) -> list[Concern]:
    """All there is to say before a take that starts at a place, what needs a yes first.

    planned_us: how long it is to be. Where nobody says, it may run to the end of the tape, and is held to.
    """
    found = [*_over(on, place, planned_us), *_short(on, place, planned_us)]
    on_code, beside = on.mask & on.code_tracks, beside_timecode(on)
    if on_code:
        found.append(Concern("over-timecode", True, f"{say(on_code)} carries timecode"))
    if beside:
        found.append(Concern("beside-timecode", False, f"{say(beside)} lies beside a timecode track, best left empty"))
    for reason in advice.reasons:
        if reason.code in UNSAFE and reason.severity != "note":
            found.append(Concern(reason.code, True, reason.says))
    kept_for = {
        row.project
        for row in advice.view.house.keyed("reservations", on.reel)
        if row.until is None or advice.view.house.as_of.day <= row.until
    }
    if kept_for - {project}:
        found.append(Concern("reserved", True, f"it is kept for {', '.join(sorted(kept_for - {project}))}"))
    if place < on.usable[0]:
        found.append(
            Concern("unused-head", False, f"it starts in the head left unused, before {on.clock_at(on.usable[0])}")
        )
    return sorted(dict.fromkeys(found), key=lambda concern: not concern.ask)


def _over(on: OnMachine, place: int, planned_us: int | None) -> list[Concern]:
    """Live recordings the take would lie on."""
    hi = on.length
    if planned_us is not None:
        (print_,) = footprints(Request((planned_us,), on.speed), on.rules)
        hi = place + print_.length
    by_label: dict[str, Kept] = {}
    for kept in recorded_over(on, place, hi):
        held = by_label.get(kept.label, kept)
        by_label[kept.label] = Kept(
            kept.label, min(held.lo, kept.lo), max(held.hi, kept.hi), (held.mask | kept.mask) & on.mask
        )
    return [
        Concern(
            "over-live",
            True,
            f"{kept.label} lies at {on.clock_at(kept.lo)} to {on.clock_at(kept.hi)} on {say(kept.mask)} "
            f"and would be recorded over",
        )
        for kept in by_label.values()
    ]


def _short(on: OnMachine, place: int, planned_us: int | None) -> list[Concern]:
    """Whether the tape would not do."""
    end = bound(on, place)
    if planned_us is not None:
        (found,) = outlook(on, place, [planned_us])
        if not found.fits and (end.what != "recording" or left(on, place)):
            says = f"a {clock(planned_us)} take does not fit: {clock(found.left_us)} left to {end.label}"
            return [Concern("does-not-fit", True, says)]
    elif not left(on, place) and end.what == "end":
        return [Concern("past-the-end", True, f"nothing is left to {end.label}")]
    return []


def beside_timecode(on: OnMachine) -> int:
    """The tracks in use that have a timecode track as their neighbour."""
    return (on.code_tracks << 1 | on.code_tracks >> 1) & on.mask & ~on.code_tracks
