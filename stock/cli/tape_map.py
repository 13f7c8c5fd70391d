"""A reel drawn along its tape in the screens' signs: rulers, takes, proof, wear, splices, findings, marks, a legend."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from stock.cli.printing import can_show, wrapped
from stock.core import map_signs
from stock.core.fitness import Joint, severities
from stock.core.map_signs import (
    ALONG,
    HELD,
    LEADER,
    LEFT_END,
    PROOF,
    PROOF_WORDS,
    RIGHT_END,
    SHADES,
    SPLICES,
    TIMECODE,
    UNUSED,
    ZERO,
    splice,
)
from stock.core.measure import FOOT, MINUTE, SECOND, length_of
from stock.core.rules import GRADES, Grade
from stock.core.spans import Span, union
from stock.core.tracks import spell
from stock.core.verdict import Advice
from stock.core.weighing import Claim, decided_free
from stock.core.words import clock, feet, stretch

_LABEL = 8
_TIME_STEPS = tuple(SECOND * s for s in (1, 5, 10, 15, 30)) + tuple(MINUTE * m for m in (1, 2, 5, 10, 15, 30, 60, 120))
_FEET_STEPS = tuple(FOOT * n for n in (1, 5, 10, 20, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10_000))
_WORSE = f"{SPLICES['sound']}{LEADER}{SPLICES['doubtful']}{SPLICES['failed']}"
_GRADE_SIGNS: dict[Grade, str] = {"critical": "C", "standard": "S", "scratch": "r"}

_LEGEND: dict[str, dict[str, str]] = {
    "fit": {
        UNUSED: "left unused at head and tail",
        "C": "fit for critical",
        "S": "fit for standard and less",
        "r": "fit for scratch only",
        "-": "fit for no grade, or not known to be",
        "~": "past the end by a later measurement",
    },
    "proof": {PROOF[state]: words for state, words in PROOF_WORDS.items()},
    "splice": {**{sign: f"{state} splice" for state, sign in SPLICES.items()}, LEADER: "leader"},
    "mark": {ZERO: "zero mark", TIMECODE: "timecode begins"},
    "hold": {HELD: "held"},
}


class _Scale(NamedTuple):
    """Reel places to columns."""

    extent: int
    columns: int

    def column(self, place: int) -> int:
        return max(0, min(self.columns - 1, place * self.columns // self.extent))

    def span(self, lo: int, hi: int) -> range:
        """The columns a stretch touches, one at least."""
        first = self.column(lo)
        return range(first, max(first + 1, min(self.columns, -(-hi * self.columns // self.extent))))


def tape_map(advice: Advice, width: int) -> list[str]:
    """The map of a reel in lines of at most `width` columns (40 and more), legend and key of takes at its end."""
    view = advice.view
    if not view.extent:
        return ["There is no tape on it."]
    scale = _Scale(view.extent, width - _LABEL)
    speed = view.house.rules.number("usual_speed")
    lanes: list[tuple[str, str]] = [
        ("time", _ruler(scale, _TIME_STEPS, lambda at: length_of(at, speed), clock)),
        ("feet", _ruler(scale, _FEET_STEPS, lambda at: at, lambda at: feet(at).removesuffix(" ft"))),
        ("fit", _fit(advice, scale)),
    ]
    claims = sorted(advice.recording.claims, key=lambda claim: (hull(claim), claim.label))
    lanes += [("takes" if at == 0 else "", lane) for at, lane in enumerate(_takes(claims, scale))]
    lanes.append(("proof", _proof(advice, scale)))
    lanes += [("wear", lane) for lane in _wear(advice, scale)]
    lanes.append(("splice", _splices(advice.fitness.joints, scale)))
    lanes.append(("finding", _findings(advice, scale)))
    lanes.append(("mark", _marks(advice, scale)))
    lanes.append(("hold", _holds(advice, scale)))
    lines = [f"{label:{_LABEL}}{lane}".rstrip() for label, lane in lanes if lane.strip()]
    lines += ["", *_legend(lanes, width), *_key(advice, claims, speed, width)]
    return lines if can_show(map_signs.ALL) else [map_signs.plain(line) for line in lines]


def _painted(scale: _Scale, parts: Iterator[tuple[range, str]]) -> str:
    """A lane of signs, later parts over earlier ones."""
    lane = [" "] * scale.columns
    for columns, sign in parts:
        for at in columns:
            lane[at] = sign
    return "".join(lane)


def _ruler(scale: _Scale, steps: tuple[int, ...], place_of: Callable[[int], int], words: Callable[[int], str]) -> str:
    """Labels that begin at their places, as close together as they can be read."""
    for step in steps:
        marks = range(0, scale.extent * step // max(place_of(step), 1) + 1, step)
        room = place_of(step) * scale.columns // scale.extent
        if room >= len(words(marks[-1])) + 2:
            break
    lane = [" "] * scale.columns
    for mark in marks:
        at, label = scale.column(place_of(mark)), words(mark)
        if place_of(mark) <= scale.extent and at + len(label) <= scale.columns:
            lane[at : at + len(label)] = label
    return "".join(lane)


def _fit(advice: Advice, scale: _Scale) -> str:
    lo, hi = advice.fitness.usable

    def parts() -> Iterator[tuple[range, str]]:
        yield scale.span(0, advice.view.length), "-"
        for grade in reversed(GRADES):
            for a, b in advice.fit(grade).stretches:
                yield scale.span(a, b), _GRADE_SIGNS[grade]
        yield scale.span(0, min(lo, advice.view.length)), UNUSED
        yield scale.span(hi, max(hi, advice.view.length)), UNUSED
        if advice.view.length < advice.view.extent:
            yield scale.span(advice.view.length, advice.view.extent), "~"

    return _painted(scale, parts())


def hull(claim: Claim) -> Span:
    """From where to where something live reaches."""
    return min(cell[0] for cell in claim.live), max(cell[1] for cell in claim.live)


def _takes(claims: list[Claim], scale: _Scale) -> list[str]:
    """Boxes numbered as in the key, in as many lanes as those that overlap need."""
    lanes: list[list[str]] = []
    for number, claim in enumerate(claims, 1):
        boxes = [scale.span(lo, hi) for lo, hi in union((lo, hi) for lo, hi, _ in claim.live)]
        for lane in lanes:
            if all(lane[at] == " " for box in boxes for at in box):
                break
        else:
            lane = [" "] * scale.columns
            lanes.append(lane)
        for box in boxes:
            lane[box.start : box.stop] = _box(f"{number} {claim.label.removeprefix('take ')}", str(number), len(box))
    return ["".join(lane) for lane in lanes]


def _box(words: str, number: str, columns: int) -> str:
    """A box of exactly so many columns: with words, with its number, or too narrow for either."""
    if columns >= len(number) + 2:
        return f"{LEFT_END}{words[: columns - 2].ljust(columns - 2, ALONG)}{RIGHT_END}"
    return number if columns == len(number) else "*" * columns


def _proof(advice: Advice, scale: _Scale) -> str:
    house = advice.view.house

    def parts() -> Iterator[tuple[range, str]]:
        ordered: list[tuple[int, range, str]] = []
        for atom in advice.recording.live.atoms:
            decided = bool(atom.takes) and all(decided_free(house, take, atom) for take in atom.takes)
            ordered.append(
                (0 if decided else 1, scale.span(atom.lo, atom.hi), PROOF["let-go" if decided else "proved"])
            )
        ordered += [(2, scale.span(lo, hi), PROOF["unproved"]) for lo, hi, _ in advice.recording.kept]
        if ordered:
            yield range(scale.columns), PROOF["none"]
        for _, columns, sign in sorted(ordered, key=lambda part: part[0]):
            yield columns, sign

    return _painted(scale, parts())


def _wear(advice: Advice, scale: _Scale) -> list[str]:
    """Shades of wear, and the passes as numbers where they change, the most worn first where there is no room."""
    wear, most = advice.fitness.wear, advice.fitness.wear_most
    if not most:
        return []
    shades = [0] * scale.columns
    for lo, hi, tenths in wear:
        for at in scale.span(lo, hi):
            shades[at] = max(shades[at], tenths)
    shaded = "".join(SHADES[level * (len(SHADES) - 1) // most] if level else " " for level in shades)
    numbers = [" "] * scale.columns
    for lo, _, tenths in sorted(wear, key=lambda part: (-part[2], part[0])):
        at, label = scale.column(lo), passes_words(tenths)
        at = min(at, scale.columns - len(label))
        if all(sign == " " for sign in numbers[max(at - 1, 0) : at + len(label) + 1]):
            numbers[at : at + len(label)] = label
    return [shaded, "".join(numbers)]


def passes_words(tenths: int) -> str:
    """A number of passes, to a tenth where it is not whole."""
    return str(tenths // 10) if tenths % 10 == 0 else f"{tenths // 10}.{tenths % 10}"


def _splices(joints: list[Joint], scale: _Scale) -> str:
    ranked = sorted(joints, key=lambda joint: _WORSE.index(splice(joint.state, joint.kind)))
    return _painted(scale, ((scale.span(joint.at, joint.at), splice(joint.state, joint.kind)) for joint in ranked))


def _findings(advice: Advice, scale: _Scale) -> str:
    standing = sorted(severities(advice.view), key=lambda finding: finding[2])
    return _painted(scale, ((scale.span(lo, hi), str(severity)) for lo, hi, severity, _, _, _ in standing))


def _marks(advice: Advice, scale: _Scale) -> str:
    calendar = advice.view.house.calendar

    def parts() -> Iterator[tuple[range, str]]:
        for at, _ in advice.view.points("stripes"):
            yield scale.span(at, at), TIMECODE
        zeros = [(calendar.loosens(row.day, row.at_us), row.entry, at) for at, row in advice.view.points("zero_marks")]
        if zeros:
            at = max(zeros)[2]
            yield scale.span(at, at), ZERO

    return _painted(scale, parts())


def _holds(advice: Advice, scale: _Scale) -> str:
    held = (reason for reason in advice.reasons if reason.code == "on-hold")
    return _painted(
        scale,
        (
            (scale.span(reason.lo, reason.hi), HELD)
            for reason in held
            if reason.lo is not None and reason.hi is not None
        ),
    )


def _legend(lanes: list[tuple[str, str]], width: int) -> Iterator[str]:
    for name, signs in _LEGEND.items():
        used = "".join(lane for label, lane in lanes if label == name)
        said = ", ".join(f"{sign} {words}" for sign, words in signs.items() if sign in used)
        if said:
            yield from wrapped(said, width, f"{name:{_LABEL}}")
    if any(label == "wear" for label, _ in lanes):
        says = f"the higher the more passes ({SHADES[0]} to {SHADES[-1]}), the numbers where they change"
        yield from wrapped(says, width, f"{'wear':{_LABEL}}")
    if any(label == "finding" and lane.strip() for label, lane in lanes):
        yield from wrapped("the worst severity found there, 1 to 3", width, f"{'finding':{_LABEL}}")


def _key(advice: Advice, claims: list[Claim], speed: int, width: int) -> Iterator[str]:
    """The takes by their numbers, and every splice and finding with its place."""
    for number, claim in enumerate(claims, 1):
        lo, hi = hull(claim)
        mask = 0
        for cell in claim.live:
            mask |= cell[2]
        where = f"{stretch(lo, hi, speed)} ({feet(lo)} to {feet(hi)}), tracks {spell(mask)}"
        yield from wrapped(f"{claim.label}: {where}, {claim_state(advice, claim)}", width, f"{number:5}  ")
    for joint in advice.fitness.joints:
        where = f"{stretch(joint.at, joint.at, speed).split(' ')[0]} ({feet(joint.at)})"
        yield from wrapped(
            f"{joint.state} {joint.kind} splice at {where}", width, f"{splice(joint.state, joint.kind):>5}  "
        )
    for lo, hi, severity, kind, tracks, _ in sorted(severities(advice.view), key=lambda finding: finding[:4]):
        where = "all along" if (lo, hi) == (0, advice.view.length) else f"{stretch(lo, hi, speed)}"
        on = f", tracks {spell(tracks)}" if tracks is not None else ""
        yield from wrapped(f"{kind}, severity {severity}: {where}{on}", width, f"{severity:5}  ")


def claim_state(advice: Advice, claim: Claim) -> str:
    """What may become of a take: the least that is sure of any part of it."""
    if claim.bare or claim.waiting:
        return "not safe yet"
    house, take = advice.view.house, claim.take
    mine = [atom for atom in advice.recording.live.atoms if take is not None and take in atom.takes]
    if take is not None and mine and all(decided_free(house, take, atom) for atom in mine):
        return "may go by decision"
    return "proved"
