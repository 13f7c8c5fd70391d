"""Which reels may serve a request, with their free stretches; and of every other reel, why not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from stock.core.house import House
from stock.core.measure import length_of
from stock.core.picking.request import Request, footprints
from stock.core.picking.standing import Standing, standing
from stock.core.reasons import RECORDING_CODES
from stock.core.rules import Rules
from stock.core.spans import Span, intersect, subtract
from stock.core.verdict import Judge

OWN_PROOF = frozenset(RECORDING_CODES[: RECORDING_CODES.index("unlogged-recording")])
"""Reasons that are about a take's own proof: a reel with no others may take more of the same project."""

PICK_CODES = (
    "wrong-width",
    "wrong-formulation",
    "mixed-formulation",
    "reel-too-large",
    "size-unknown",
    "not-ours",
    "reserved",
    "not-clear",
    "other-project",
    "other-speed",
    "other-tracks",
    "unfit-grade",
    "no-room",
)
"""The codes picking adds to those of the reasons."""

Wipe = Literal["bulk", "any"]
"""How a reel is wiped first: in bulk, or in bulk or on a machine."""


class Free(NamedTuple):
    """A free stretch: wear is the most passes in it, in tenths; splice the place of the splice nearest to it."""

    lo: int
    hi: int
    wear: int
    splice: int | None

    @property
    def length(self) -> int:
        return self.hi - self.lo


class Candidate(NamedTuple):
    """A reel that may serve.

    batches: of its pieces of tape, None where not stated. wipe: how it is wiped first, None where nothing is to be
    wiped. tones: where alignment tones go on a reel opened for the project. splices: places of all splices; crossed:
    of the sound ones that takes may have to cross (scratch alone).
    """

    reel: str
    formulation: str | None
    batches: tuple[str | None, ...]
    acquired: int | None
    wipe: Wipe | None
    tones: Span | None
    stretches: tuple[Free, ...]
    wear: tuple[tuple[int, int, int], ...]
    splices: tuple[int, ...]
    crossed: tuple[int, ...]
    zero: int


class Rejected(NamedTuple):
    """A reel that may not serve, with every code that says why, and one sentence."""

    reel: str
    codes: tuple[str, ...]
    says: str


def standings(judge: Judge, request: Request, known: Mapping[str, Standing] | None = None) -> list[Standing]:
    """How every reel stands at the request's speed, in order of number.

    known: standings taken before, of the same house and moment; those of another speed are not used.
    """
    speed = request.speed.actual
    found: list[Standing] = []
    for reel in judge.house.reel_numbers:
        held = known.get(reel) if known is not None else None
        if held is None or held.speed != speed:
            held = standing(judge.advise(reel, speed), speed)
            judge.forget(reel)
        found.append(held)
    return found


def candidates(
    judge: Judge, request: Request, known: Mapping[str, Standing] | None = None
) -> tuple[list[Candidate], list[Rejected]]:
    """The reels that may serve, and those that may not, each in order of number. known: as in `standings`."""
    house = judge.house
    return sort_out(standings(judge, request, known), request, house.rules, formulations_of(house, request))


def formulations_of(house: House, request: Request) -> tuple[str, ...]:
    """The formulations allowed: those named, else those the project is on already; none named means any."""
    if request.formulations or not request.project:
        return request.formulations
    on: set[str] = set()
    for row in house.record.of("takes"):
        if row.project == request.project and row.entry not in house.record.voided:
            item = house.item_of(row.tape) if house.as_of.has(row.day, row.at_us) else None
            if item is not None:
                on.add(item.formulation)
    return tuple(sorted(on))


def sort_out(
    standings: Iterable[Standing], request: Request, rules: Rules, formulations: tuple[str, ...]
) -> tuple[list[Candidate], list[Rejected]]:
    """Candidates and rejected reels, from standings at the request's speed. formulations: allowed, none means any."""
    shortest = min(print_.length for print_ in footprints(request, rules))
    kept: list[Candidate] = []
    rejected: list[Rejected] = []
    for held in standings:
        codes = [*_unsuitable(held, request, formulations), *_spoken_for(held, request)]
        answer = held.fits[request.grade].answer
        if answer != "yes":
            codes += ["unfit-grade", *held.faults]
        free = [] if codes else free_stretches(held, request, rules)
        if not codes and max((stretch.length for stretch in free), default=0) < shortest:
            spent = _opened(held) and bool(_worn_by_wiping(held, request, rules))
            codes = ["too-many-reuses", "no-room"] if spent else ["no-room"]
        if codes:
            rejected.append(Rejected(held.reel, tuple(dict.fromkeys(codes)), _says(codes, held, request, free)))
        else:
            kept.append(_candidate(held, request, rules, free))
    return kept, rejected


def _opened(held: Standing) -> bool:
    """Whether a reel would be opened for the project: blank, or wiped first."""
    return held.verdict in ("blank", "clear")


def _unsuitable(held: Standing, request: Request, formulations: tuple[str, ...]) -> list[str]:
    """What about the tape and the reel itself does not suit."""
    codes = []
    if request.width_um is not None and held.widths != (request.width_um,):
        codes.append("wrong-width")
    if len(held.formulations) > 1:
        codes.append("mixed-formulation")
    if formulations and not set(held.formulations) <= set(formulations):
        codes.append("wrong-formulation")
    if request.largest_reel_um is not None:
        if held.reel_size is None:
            codes.append("size-unknown")
        elif held.reel_size > request.largest_reel_um:
            codes.append("reel-too-large")
    return codes


def _spoken_for(held: Standing, request: Request) -> list[str]:
    """Whose it is, whom it is kept for, and what is on it."""
    codes = []
    if held.owners != (request.owner.strip().casefold(),):
        codes.append("not-ours")
    if set(held.reserved) - {request.project}:
        codes.append("reserved")
    if held.against:
        codes += _part_used(held, request)
    return codes


def _part_used(held: Standing, request: Request) -> list[str]:
    """Why a reel that may not be wiped may not take more either; empty where it may."""
    if not request.part_used:
        return ["not-clear", *held.against]
    codes = [code for code in held.against if code not in OWN_PROOF]
    takes = [recorded for recorded in held.recorded if recorded.in_a_take]
    if not request.project or any(recorded.project != request.project for recorded in takes):
        codes.append("other-project")
    if any(recorded.speed not in (None, request.speed.nominal) for recorded in held.recorded):
        codes.append("other-speed")
    counts = {recorded.tracks for recorded in held.recorded} | {held.tracks}
    if request.tracks is not None and counts != {request.tracks}:
        codes.append("other-tracks")
    return ["not-clear", *held.against, *codes] if codes else []


def _worn_by_wiping(held: Standing, request: Request, rules: Rules) -> list[Span]:
    """Where the wipe that must come first would take the tape past the grade's limit of reuses."""
    limit = rules.number(f"wipes_{request.grade}")
    if held.verdict != "clear":
        return []
    if limit == 0:
        return [(0, held.length)]
    return list(held.wiped[limit - 1]) if len(held.wiped) >= limit else []


def tones_at(held: Standing, rules: Rules) -> Span | None:
    """Where alignment tones go: at the start of the usable tape of a reel opened for the project."""
    if not _opened(held):
        return None
    return held.usable[0], held.usable[0] + length_of(rules.number("tones_s"), held.speed)


def free_stretches(held: Standing, request: Request, rules: Rules) -> list[Free]:
    """The stretches of a reel that are free and fit for the request's grade, head to tail."""
    spans = list(held.fits[request.grade].stretches)
    if _opened(held):
        tones = tones_at(held, rules)
        spans = subtract(spans, [tones] if tones else [])
        spent = _worn_by_wiping(held, request, rules)
        if spent:
            shortest = rules.number("shortest_stretch")
            spans = [span for span in subtract(spans, spent) if span[1] - span[0] >= shortest]
    else:
        # counter places are good to a share of their distance from zero, rounded up
        drift = -(-abs(held.last - held.zero) * rules.number("guard_share") // 1000)
        start = held.last + length_of(rules.number("guard_s"), held.speed) + drift
        spans = intersect(spans, [(start, held.length)] if start < held.length else [])
    return [_free(held, lo, hi) for lo, hi in spans]


def _free(held: Standing, lo: int, hi: int) -> Free:
    worst = max((tenths for a, b, tenths in held.wear if a < hi and lo < b), default=0)
    away = [(max(lo - at, at - hi, 0), at) for at, _ in held.splices]
    return Free(lo, hi, worst, min(away)[1] if away else None)


def _candidate(held: Standing, request: Request, rules: Rules, free: list[Free]) -> Candidate:
    wipe: Wipe | None = None
    if held.verdict == "clear":
        last = {recorded.tracks for recorded in held.recorded}
        wipe = "bulk" if request.tracks is not None and last != {request.tracks} else "any"
    return Candidate(
        held.reel,
        held.formulations[0],
        held.batches,
        held.acquired,
        wipe,
        tones_at(held, rules),
        tuple(free),
        held.wear,
        tuple(at for at, _ in held.splices),
        tuple(at for at, firm in held.splices if not firm) if request.grade == "scratch" else (),
        held.zero,
    )


_SAYS = {
    "wrong-width": "it is not of the width asked for",
    "wrong-formulation": "it is not of a formulation that is allowed",
    "mixed-formulation": "it holds tape of several formulations",
    "reel-too-large": "it is larger than the machine takes",
    "size-unknown": "nobody entered how large its stock item's reel is",
    "not-ours": "it is not the tape of the owner named",
    "reserved": "it is kept for another project",
    "not-clear": "what is on it may not be wiped",
    "other-project": "what is on it is not all of the project named",
    "other-speed": "it is recorded at another speed",
    "other-tracks": "it is recorded with another number of tracks",
    "too-many-reuses": "wiping it once more takes it past the house's limit of reuses for this grade",
    "no-room": "no free stretch of it is long enough",
}


def _says(codes: list[str], held: Standing, request: Request, free: list[Free]) -> str:
    code = codes[0]
    if code == "unfit-grade":
        unknown = held.fits[request.grade].answer == "unknown"
        return f"nobody knows whether it is fit for {request.grade}" if unknown else f"not fit for {request.grade}"
    return _SAYS[code]
