"""Is the tape fit to record on, for each grade of use, and where?

It is long because every rule that bars tape stands here beside the others, a function each.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NamedTuple

from stock.core.house import WHOLE_REEL_FAULTS
from stock.core.measure import INCH, length_of
from stock.core.reasons import Answer, Reason
from stock.core.rules import GRADES, Grade
from stock.core.spans import Span, subtract, union
from stock.core.view import View, take_names
from stock.core.words import feet, stretch

ENDLESS = ("edge", "stretch")
STATES = (None, "sound", "doubtful", "failed")


class Joint(NamedTuple):
    """A splice at a reel place. firm: no grade crosses a doubtful or failed one, or leader."""

    at: int
    kind: str
    state: str
    firm: bool
    facts: tuple[int, ...]


class GradeFit(NamedTuple):
    """One grade's answer, and the stretches that are surely fit for it."""

    answer: Answer
    stretches: tuple[Span, ...]

    @property
    def longest(self) -> int:
        """The longest fit stretch, tenths of a millimetre."""
        return max((hi - lo for lo, hi in self.stretches), default=0)


@dataclass
class Fitness:
    """The fitness answer. wear: tenths of a pass along the reel (lo, hi, tenths). usable: without head and tail."""

    grades: dict[Grade, GradeFit]
    reasons: list[Reason]
    wear: list[tuple[int, int, int]]
    joints: list[Joint]
    usable: Span

    @property
    def wear_most(self) -> int:
        """The most passes anywhere, in tenths."""
        return max((tenths for _, _, tenths in self.wear), default=0)

    @property
    def best_grade(self) -> Grade | None:
        """The best grade the tape is surely fit for."""
        return next((grade for grade in GRADES if self.grades[grade].answer == "yes"), None)


@dataclass
class _Bars:
    """What keeps grades from using tape: by grade the stretches that are out, and those in doubt."""

    view: View
    speed: int
    out: dict[Grade, list[Span]] = field(default_factory=lambda: {grade: [] for grade in GRADES})
    doubt: dict[Grade, list[Span]] = field(default_factory=lambda: {grade: [] for grade in GRADES})
    reasons: list[Reason] = field(default_factory=list)

    def add(
        self,
        code: str,
        severity: str,
        spans: dict[Grade, list[Span]],
        says: Callable[[str, str], str],
        remedy: str,
        facts: Iterable[int] = (),
        tracks: int | None = None,
    ) -> None:
        """Bar stretches and give the reason. says(where, grades) words it."""
        hit = {grade: union(found) for grade, found in spans.items() if found}
        hit = {grade: found for grade, found in hit.items() if found}
        if not hit:
            return
        for grade, found in hit.items():
            (self.out if severity == "no" else self.doubt)[grade].extend(found)
        everywhere = union(span for found in hit.values() for span in found)
        lo, hi = everywhere[0][0], everywhere[-1][1]
        whole = everywhere == [(0, self.view.length)]
        where = "all along" if whole else stretch(lo, hi, self.speed)
        self.reasons.append(
            Reason(
                code,
                "tape",
                "no" if severity == "no" else "doubt",
                says(where, _list(list(hit))),
                remedy,
                lo,
                hi,
                tracks,
                tuple(sorted(set(facts))),
            )
        )


def _list(words: list[Grade]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def judge_tape(view: View, speed: int | None = None) -> Fitness:
    """The fitness of one reel's tape at a speed of use (micrometres per second; None is the house's usual speed)."""
    rules = view.house.rules
    speed = rules.number("usual_speed") if speed is None else speed
    bars = _Bars(view, speed)
    wear = wear_along(view)
    joints = joints_of(view)
    wipes = _counts_along(view.length, [(lo, hi, 1) for lo, hi, _ in view.spans("wipes", beyond=False)])
    _bar_wear(bars, wear)
    _bar_reuses(bars, wipes)
    _bar_response(bars)
    _bar_joints(bars, joints)
    _bar_findings(bars)
    _bar_inspections(bars, wear, wipes)
    _bar_unheard(bars)
    _bar_batches(bars)
    _bar_retired(bars)
    head = max(length_of(rules.number("unused_head_s"), speed), rules.number("unused_head_length"))
    tail = view.length - length_of(rules.number("unused_tail_s"), speed)
    usable = (head, max(head, tail))
    grades = _grades(bars, joints, usable)
    return Fitness(grades, bars.reasons, wear, joints, usable)


def _grades(bars: _Bars, joints: list[Joint], usable: Span) -> dict[Grade, GradeFit]:
    shortest = bars.view.house.rules.number("shortest_stretch")
    guard = length_of(bars.view.house.rules.number("splice_guard_s"), bars.speed)
    breaks = sorted({joint.at for joint in joints if joint.firm})
    whole = [usable] if usable[0] < usable[1] else []
    grades: dict[Grade, GradeFit] = {}
    spliced: dict[Grade, list[Span]] = {}
    short: list[Grade] = []
    for grade in GRADES:
        near = [] if grade == "scratch" else union(_near(joint.at, guard) for joint in joints)
        firm = [] if grade == "scratch" else union(_near(joint.at, guard) for joint in joints if joint.firm)
        unbarred = subtract(whole, union(bars.out[grade]))
        possible = _long(_split(subtract(unbarred, near), breaks), shortest)
        sure = _long(_split(subtract(subtract(unbarred, union(bars.doubt[grade])), near), breaks), shortest)
        answer: Answer = "yes" if sure else "unknown" if possible else "no"
        grades[grade] = GradeFit(answer, tuple(sure))
        if not possible and _long(_split(subtract(unbarred, firm), breaks), shortest):
            spliced[grade] = [span for span in near if span[0] < usable[1] and usable[0] < span[1]]
        elif not possible and unbarred:
            short.append(grade)
    if spliced:
        spans = union(span for found in spliced.values() for span in found)
        facts = sorted({entry for joint in joints for entry in joint.facts})
        bars.reasons.append(
            Reason(
                "too-many-splices",
                "tape",
                "no",
                f"its splices leave no stretch of {feet(shortest)} free of them for {_list(list(spliced))}",
                "use it for scratch, or cut it where the splices are",
                spans[0][0],
                spans[-1][1],
                facts=tuple(facts),
            )
        )
    if short or not whole:
        most = max((hi - lo for lo, hi in whole), default=0)
        bars.reasons.append(
            Reason(
                "too-short",
                "tape",
                "no",
                f"no usable stretch of {feet(shortest)} is left of {feet(most)} for {_list(short or list(GRADES))}",
                "join it to other tape, or retire it",
                facts=(bars.view.reel.entry,),
            )
        )
    return grades


def _near(at: int, guard: int) -> Span:
    """The places less than the guard away from a splice, as a half-open stretch that leaves both borders usable."""
    return at - guard, at + guard


def _long(spans: list[Span], shortest: int) -> list[Span]:
    return [span for span in spans if span[1] - span[0] >= shortest]


def _split(spans: list[Span], breaks: list[int]) -> list[Span]:
    """Stretches ended and begun anew at each break."""
    out: list[Span] = []
    for lo, hi in spans:
        for at in breaks[bisect_left(breaks, lo + 1) :]:
            if at >= hi:
                break
            out.append((lo, at))
            lo = at
        out.append((lo, hi))
    return out


def wear_along(view: View) -> list[tuple[int, int, int]]:
    """Tenths of a pass along the reel, head to tail."""
    house = view.house
    weights: list[tuple[int, int, int]] = []
    for start, piece in view.on_reel:
        shift = start - piece.lo
        for place, change in house.wear_steps(piece.tape).items():
            weights.append((min(max(place, piece.lo), piece.hi) + shift, start + piece.hi - piece.lo, change))
        before = house.reel(piece.tape).passes_before
        if before:
            weights.append((start, start + piece.hi - piece.lo, 10 * before))
    naming: dict[tuple[str, str], list[Span]] = {}
    for lo, hi, row in view.spans("passes", beyond=False):
        if row.kind == "record" and row.take:
            naming.setdefault((row.reel, row.take), []).append((lo, hi))
    for lo, hi, take in view.spans("takes", beyond=False):
        # where a record pass names the take, that pass is its wear
        logged = union(span for name in take_names(take) for span in naming.get((take.reel, name), ()))
        weights += [(a, b, 10) for a, b in subtract([(lo, hi)], logged)]
    weights += [(lo, hi, 10) for lo, hi, wipe in view.spans("wipes", beyond=False) if wipe.method == "machine"]
    return _counts_along(view.length, weights)


def _counts_along(length: int, weights: list[tuple[int, int, int]]) -> list[tuple[int, int, int]]:
    """Sums of weighted stretches along [0, length): (lo, hi, sum), neighbours that differ."""
    steps: dict[int, int] = {}
    for lo, hi, weight in weights:
        steps[lo] = steps.get(lo, 0) + weight
        steps[hi] = steps.get(hi, 0) - weight
    out: list[tuple[int, int, int]] = []
    at = level = 0
    for place in sorted(steps):
        if steps[place] and place > at:
            out.append((at, place, level))
            at = place
        level += steps[place]
    if at < length:
        out.append((at, length, level))
    return out


def _bar_wear(bars: _Bars, wear: list[tuple[int, int, int]]) -> None:
    view, rules = bars.view, bars.view.house.rules
    limits = {grade: rules.number(f"passes_{grade}") for grade in GRADES}
    spans = {grade: [(lo, hi) for lo, hi, tenths in wear if tenths > 10 * limit] for grade, limit in limits.items()}
    most = max((tenths for _, _, tenths in wear), default=0)
    bars.add(
        "too-many-passes",
        "no",
        spans,
        lambda where, which: f"up to {most // 10} passes ({where}), past the house's limit for {which}",
        "use it for a lesser grade, or retire it",
        (view.reel.entry,),
    )
    unknown = [
        (start, start + piece.hi - piece.lo)
        for start, piece in view.on_reel
        if (came := view.house.reel(piece.tape)).arrived_as != "sealed" and came.passes_before is None
    ]
    bars.add(
        "passes-unknown",
        "doubt",
        {"critical": unknown, "standard": unknown},
        lambda where, which: f"it did not come sealed and its passes before then are not known ({where})",
        "enter its passes before it came, if anybody knows",
        (view.reel.entry,),
    )


def _bar_reuses(bars: _Bars, wipes: list[tuple[int, int, int]]) -> None:
    rules = bars.view.house.rules
    spans = {grade: [(lo, hi) for lo, hi, count in wipes if count > rules.number(f"wipes_{grade}")] for grade in GRADES}
    most = max((count for _, _, count in wipes), default=0)
    bars.add(
        "too-many-reuses",
        "no",
        spans,
        lambda where, which: f"wiped for reuse {most} times ({where}), past the house's limit for {which}",
        "use it for a lesser grade",
        (row.entry for _, _, row in bars.view.spans("wipes", beyond=False)),
    )


def response_fall(view: View) -> tuple[int, tuple[int, ...]] | None:
    """The worst fall at 10 kHz since the first check, in thousandths of a dB, and the checks it rests on."""
    calendar = view.house.calendar
    checks: dict[tuple[Any, ...], list[tuple[int, int, int]]] = {}
    for _, piece in view.on_reel:
        for lo, _, row in view.house.on_tape("response", piece.tape):
            if row.frequency_hz == 10_000 and piece.lo <= lo <= piece.hi:
                key = row.speed, row.vary or 0, piece.tape, lo, row.machine, row.track
                checks.setdefault(key, []).append((calendar.loosens(row.day, row.at_us), row.level_db, row.entry))
    worst: tuple[int, tuple[int, ...]] | None = None
    for found in checks.values():
        first = max((c for c in found if c[0] == min(found)[0]), key=lambda c: (c[1], c[2]))
        last = min((c for c in found if c[0] == max(found)[0]), key=lambda c: (c[1], c[2]))
        if first[2] != last[2] and (worst is None or first[1] - last[1] > worst[0]):
            worst = first[1] - last[1], (first[2], last[2])
    return worst


def _bar_response(bars: _Bars) -> None:
    worst = response_fall(bars.view)
    if worst is None:
        return
    rules = bars.view.house.rules
    everywhere = [(0, bars.view.length)]
    bars.add(
        "high-frequency-loss",
        "no",
        {grade: everywhere for grade in GRADES if worst[0] > rules.number(f"response_fall_{grade}")},
        lambda where, which: (
            f"10 kHz has fallen {worst[0] / 1000:.1f} dB since its first check, past the house's limit for {which}"
        ),
        "rule out dirty heads, azimuth and level before blaming the tape",
        worst[1],
    )


def joints_of(view: View) -> list[Joint]:
    """Every splice on the reel: those entered, and the joins between pieces, head to tail."""
    calendar = view.house.calendar
    places: dict[int, list[int]] = {}
    by_tape: dict[str, dict[int, tuple[int, int, int, int, Any]]] = {}
    for at, row in view.points("splices"):
        # one entered just where its tape was cut later lies at both ends of the cut
        places.setdefault(row.entry, []).append(at)
        rank = max(STATES.index(row.state), 1) + (3 if row.kind == "leader" else 0)
        moment = calendar.loosens(row.day, row.at_us)
        by_tape.setdefault(row.tape, {})[row.entry] = moment, rank, row.lo, row.entry, row
    entered: list[tuple[int, Any]] = []
    for found in by_tape.values():
        kept: list[Any] = []
        for _, _, place, _, row in sorted(found.values(), key=lambda splice: splice[:4]):
            kept = [held for held in kept if abs(held.lo - place) > INCH]
            kept.append(row)
        entered += [(at, row) for row in kept for at in places[row.entry]]
    own = {_joint(at, row) for at, row in entered}
    joins = view.layout.joins()
    joints = {joint for joint in own if all(abs(joint.at - place) > INCH for place in joins)}
    for place in joins:
        near = [joint for joint in own if abs(joint.at - place) <= INCH]
        worst = max(near, key=lambda joint: (joint.firm, STATES.index(joint.state), joint.at), default=None)
        joints.add(Joint(place, "edit", "sound", False, ()) if worst is None else worst._replace(at=place))
    return sorted(joints)


def _joint(at: int, row: Any) -> Joint:
    state = row.state or "sound"
    kind = row.kind or "edit"
    return Joint(at, kind, state, kind == "leader" or state != "sound", (row.entry,))


def _bar_joints(bars: _Bars, joints: list[Joint]) -> None:
    guard = length_of(bars.view.house.rules.number("splice_guard_s"), bars.speed)
    for joint in joints:
        if joint.state != "sound":
            lo, hi = _near(joint.at, guard)
            bars.reasons.append(
                Reason(
                    "splice-doubtful",
                    "tape",
                    "no",
                    f"the {joint.kind} splice at {stretch(joint.at, joint.at, bars.speed).split(' ')[0]} is "
                    f"{joint.state}: no take crosses it",
                    "remake the splice and enter it as sound",
                    max(lo, 0),
                    min(hi, bars.view.length),
                    facts=joint.facts,
                )
            )


def severities(view: View) -> list[tuple[int, int, int, str, int | None, int]]:
    """Findings that stand: (lo, hi, severity, kind, tracks, entry).

    A later finding of the same kind replaces an earlier one at a place only by saying that there is none (severity 0):
    a lighter finding never hides a heavier. An inspection replaces the inspection before it; edges and stretched tape
    do not mend.
    """
    calendar = view.house.calendar
    by_kind: dict[str, list[tuple[int, int, int, Any]]] = {}
    for lo, hi, row in view.spans("findings", beyond=False):
        loose = row.severity == 0 or row.kind in ("inspection", "listened")
        moment = (calendar.loosens if loose else calendar.binds)(row.day, row.at_us)
        by_kind.setdefault(row.kind, []).append((lo, hi, moment, row))
    standing = []
    for kind, found in sorted(by_kind.items()):
        for lo, hi, moment, row in found:
            if not row.severity:
                continue
            spans = [(lo, hi)]
            if kind not in ENDLESS:
                clears = union(
                    (a, b)
                    for a, b, when, other in found
                    if when > moment and (other.severity == 0 or kind == "inspection") and _over(other, row)
                )
                spans = subtract(spans, clears)
            standing += [(a, b, row.severity, kind, row.tracks, row.entry) for a, b in spans]
    return standing


def _over(later: Any, earlier: Any) -> bool:
    """Whether a later finding speaks for all tracks an earlier one named."""
    if later.tracks is None:
        return True
    return earlier.tracks is not None and earlier.tracks & ~later.tracks == 0


def _bar_findings(bars: _Bars) -> None:
    view, rules = bars.view, bars.view.house.rules
    everywhere = [(0, view.length)]
    whole: dict[str, list[int]] = {}
    for _, _, row in view.spans("findings"):
        if row.severity >= 1 and row.kind in WHOLE_REEL_FAULTS and view.house.speaks_for_reel(row.kind, row.tape):
            whole.setdefault(row.kind, []).append(row.entry)
    for kind, facts in sorted(whole.items()):
        bars.add(
            kind,
            "no",
            dict.fromkeys(GRADES, everywhere),
            lambda where, which, kind=kind: _FAULT_WORDS[kind],  # type: ignore[misc]
            _FAULT_REMEDY,
            facts,
        )
    for lo, hi, severity, kind, tracks, entry in severities(view):
        if kind in whole:
            continue
        spans = {grade: [(lo, hi)] for grade in GRADES if severity > rules.number(f"severity_{grade}")}
        bars.add(
            "damaged",
            "no",
            spans,
            lambda where, which, kind=kind, severity=severity: (  # type: ignore[misc]
                f"{_FINDING_WORDS.get(kind, kind)} of severity {severity} ({where}), past the house's limit for {which}"
            ),
            "record clear of it, or cut it out",
            (entry,),
            tracks,
        )


_FAULT_WORDS = {
    "sticky": "its binder is sticky: do not play it",
    "shedding": "it sheds oxide: do not play it",
    "vinegar": "it smells of vinegar: the base is breaking down; keep it apart and ventilate",
    "mould": "there is mould on it: keep it apart and closed, do not open it in the studio",
}
_FAULT_REMEDY = "treatment is a specialist's work; follow local rules and qualified practice"
_FINDING_WORDS = {
    "edge": "edge damage",
    "pack": "a bad pack",
    "stretch": "stretched tape",
    "dropout": "dropouts",
    "stray-field": "a stray field",
    "inspection": "a fault seen at inspection",
    "listened": "a fault heard",
    "other": "a fault",
}


def _bar_inspections(bars: _Bars, wear: list[tuple[int, int, int]], wipes: list[tuple[int, int, int]]) -> None:
    """The newest inspection over each place must be young enough."""
    view, house = bars.view, bars.view.house
    rules, calendar = house.rules, house.calendar
    ages: list[tuple[int, int, int, int]] = []
    for lo, hi, row in view.spans("findings", beyond=False):
        if row.kind == "inspection":
            local_day = calendar.local_day(row.day, row.at_us)
            if local_day is not None:
                ages.append((lo, hi, house.mask_of(row.reel, row.tracks), house.as_of.day - local_day))
    used = union(
        [
            *((lo, hi) for lo, hi, tenths in wear if tenths),
            *((lo, hi) for lo, hi, count in wipes if count),
            *((lo, hi) for lo, hi, _ in view.spans("takes", beyond=False)),
        ]
    )

    @cache
    def seen_within(days: int) -> list[Span]:
        return view.on_all_tracks((lo, hi, mask) for lo, hi, mask, age in ages if age <= days)

    asked: dict[Grade, list[Span]] = {grade: [] for grade in GRADES}
    for start, piece in view.on_reel:
        place = [(start, start + piece.hi - piece.lo)]
        formulation = house.formulation_of(piece.tape)
        watched = formulation is not None and formulation.binder_watch == "yes"
        sealed = house.reel(piece.tape).arrived_as == "sealed"
        fresh = subtract(place, used) if sealed else []
        for grade in GRADES:
            limit = rules.graded("inspection_days", grade)
            if limit is not None:
                asked[grade] += subtract(subtract(place, seen_within(limit)), fresh)
            if watched:
                asked[grade] += subtract(place, seen_within(rules.number("binder_watch_days")))
    newest = min((age for _, _, _, age in ages), default=None)
    bars.add(
        "not-inspected",
        "doubt",
        asked,
        lambda where, which: (
            f"never inspected ({where}), as {which} asks"
            if newest is None
            else f"not inspected lately enough ({where}) for {which}; the newest inspection is {newest} days old"
        ),
        "inspect it and enter what you find",
        (view.reel.entry,),
    )


def _bar_unheard(bars: _Bars) -> None:
    """After a wipe nothing is known of the tape until somebody has listened to it."""
    view, calendar = bars.view, bars.view.house.calendar
    listened = view.listened()
    unheard: list[Span] = []
    facts: list[int] = []
    for lo, hi, row in view.spans("wipes", beyond=False):
        wiped = calendar.loosens(row.day, row.at_us)
        heard = view.on_all_tracks((a, b, mask) for a, b, mask, moment in listened if moment > wiped)
        left = subtract([(lo, hi)], heard)
        if left:
            unheard += left
            facts.append(row.entry)
    bars.add(
        "wiped-not-heard",
        "doubt",
        dict.fromkeys(GRADES, unheard),
        lambda where, which: f"wiped and not listened to since ({where}): an erased trace can come back",
        "listen to it and enter a listened finding",
        facts,
    )


def _bar_batches(bars: _Bars) -> None:
    view, house = bars.view, bars.view.house
    suspect: list[Span] = []
    facts: list[int] = []
    for start, piece in view.on_reel:
        came = house.reel(piece.tape)
        formulation = house.formulation_of(piece.tape)
        if formulation is None or not came.batch:
            continue
        faults = [f for f in house.faulty_of_batch(formulation.formulation, came.batch) if f[0] != piece.tape]
        if not faults:
            continue
        newest = max(moment for _, moment, _ in faults)
        inspected = view.on_all_tracks(
            (lo, hi, house.mask_of(row.reel, row.tracks))
            for lo, hi, row in view.spans("findings", beyond=False)
            if row.kind == "inspection" and house.calendar.loosens(row.day, row.at_us) > newest
        )
        left = subtract([(start, start + piece.hi - piece.lo)], inspected)
        if left:
            suspect += left
            facts += [entry for _, _, entry in faults]
    bars.add(
        "batch-suspect",
        "doubt",
        dict.fromkeys(GRADES, suspect),
        lambda where, which: "another reel of its batch has a fault of the binder or base, or mould",
        "inspect this one and enter what you find",
        facts,
    )


def _bar_retired(bars: _Bars) -> None:
    rows = {row.entry: row for _, _, row in bars.view.spans("retirements")}
    if rows:
        reason = next((row.reason for _, row in sorted(rows.items()) if row.reason), None)
        bars.add(
            "retired",
            "no",
            {grade: [(0, bars.view.length)] for grade in GRADES},
            lambda where, which: f"retired: {reason}" if reason else "retired",
            "",
            rows,
        )
