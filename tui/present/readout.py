"""What is at one place of a reel, in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from stock.core.live import Atom
from stock.core.measure import FOOT, METRE, SECOND, Speed, time_of
from stock.core.moments import date_of
from stock.core.proof import cooling_days, prove
from stock.core.record import Take
from stock.core.rules import GRADES
from stock.core.timecode import RATES, TimecodeError, code_of, frame_of
from stock.core.verdict import Advice
from stock.core.words import clock, speed_words
from stock.edge.visible import safe
from tui.present.line import Piece
from tui.present.tape import Bar, Tape, state_of, track_list, tracks_words


class Said(NamedTuple):
    """One line of the readout: what it is about, and its words."""

    label: str
    pieces: tuple[Piece, ...]


def place_words(place: int) -> str:
    """A place as one types it and it is read back exactly: `475.5 ft`, or metres where feet are not exact."""
    thousandths, rest = divmod(place * 1000, FOOT)
    if rest:
        return f"{place // METRE}.{place % METRE:04d} m"
    whole, part = divmod(thousandths, 1000)
    return f"{whole}.{part:03d}".rstrip("0").rstrip(".") + " ft"


def time_words(time_us: int) -> str:
    """A time to the tenth of a second where it is not whole: `12:40`, `-0:30.5`."""
    tenths = (abs(time_us) + SECOND // 20) // (SECOND // 10)
    sign = "-" if time_us < 0 and tenths else ""
    whole = f"{sign}{clock(tenths // 10 * SECOND)}"
    return f"{whole}.{tenths % 10}" if tenths % 10 else whole


def readout(advice: Advice, tape: Tape, place: int, speed: int) -> list[Said]:
    """All that is known at a place, weightiest first. speed: micrometres per second, for times."""
    inside = min(place, tape.length - 1) if tape.length else 0
    bars = [bar for bar in tape.bars if any(lo <= inside < hi for lo, hi in bar.spans)]
    atoms = [atom for atom in advice.recording.live.atoms if atom.lo <= inside < atom.hi]
    return [
        Said("place", _place(tape, place, speed)),
        Said("take", _takes(advice, bars)),
        Said("proof", tuple(_proof(advice, atoms, inside))),
        Said(
            "tape", (*_passes(tape, inside), Piece(" · ", "quiet"), *_splices(tape, place, speed), *_worn(tape, speed))
        ),
        Said("also", _faults(advice, tape, inside)),
    ]


def _place(tape: Tape, place: int, speed: int) -> tuple[Piece, ...]:
    head = f"{time_words(time_of(place, speed))} from the head at {speed_words(Speed(speed))}"
    parts = [f"{place / FOOT:.1f} ft", f"{place / METRE:.2f} m"]
    if tape.zero_set:
        first = f"{time_words(time_of(place - tape.zero, speed))} from zero"
        parts = [head, *parts]
    else:
        first = head
    code = timecode_at(tape, place, speed)
    if code:
        parts.append(f"timecode {code}")
    if place >= tape.length:
        parts.append("end of the tape")
    elif place < tape.usable[0]:
        parts.append("unused head")
    elif place >= tape.usable[1]:
        parts.append("unused tail")
    return Piece(first, "strong"), Piece("".join(f" · {part}" for part in parts))


def timecode_at(tape: Tape, place: int, speed: int) -> str | None:
    """The timecode at a place, by the reel's stripe; None before it or where its start code does not exist."""
    stripe = tape.stripe
    if stripe is None or place < stripe.at:
        return None
    try:
        start = frame_of(stripe.start_code, stripe.rate)
    except TimecodeError:
        return None
    frames = int(time_of(place - stripe.at, speed) * RATES[stripe.rate].run / SECOND)
    return code_of(start + frames, stripe.rate)


def _takes(advice: Advice, bars: list[Bar]) -> tuple[Piece, ...]:
    if not bars:
        return (Piece("nothing recorded here", "quiet"),)
    pieces: list[Piece] = []
    for bar in bars:
        if pieces:
            pieces.append(Piece("; ", "quiet"))
        pieces.append(Piece(bar.label, "take" if bar.take else "unlogged"))
        if bar.take is not None:
            pieces.append(Piece(_about(advice, bar.take)))
        pieces.append(Piece(f", {tracks_words(bar)}"))
    return tuple(pieces)


def _about(advice: Advice, take: Take) -> str:
    day = advice.view.house.calendar.local_day(take.day, take.at_us)
    dated = f" of {date_of(day).isoformat()}" if day is not None else ""
    return f"{f' for {safe(take.project)}' if take.project else ''}{dated}"


def _proof(advice: Advice, atoms: list[Atom], place: int) -> Iterable[Piece]:
    if not atoms:
        yield Piece("none needed", "quiet")
        return
    kept = 0
    for lo, hi, mask in advice.recording.kept:
        kept |= mask if lo <= place < hi else 0
    first = True
    for words, ink, mask in _proofs(advice, atoms, kept):
        yield Piece("" if first else "; ")
        yield Piece(f"{words} ({track_list(mask)})", ink)
        first = False
    if kept:
        # what is about takes and their transfers; holds and the like are told apart
        for reason in advice.recording.reasons:
            here = reason.lo is not None and reason.hi is not None and reason.lo <= place < reason.hi
            if here and reason.tracks is not None and reason.severity != "note" and reason.tracks & kept:
                yield Piece("" if first else "; ")
                yield Piece(f"{'✗' if reason.severity == 'no' else '?'} {safe(reason.says)}", reason.severity)
                first = False
    if first:
        yield Piece("not proved", "unproved")


def _proofs(advice: Advice, atoms: list[Atom], kept: int) -> list[tuple[str, str, int]]:
    """What lets live cells go: words, ink, tracks; cells alike are told once."""
    house = advice.view.house
    transfers = advice.view.spans("transfers")
    held: dict[tuple[str, str], int] = {}
    for atom in atoms:
        state = state_of(advice, atom, kept)
        if state == "let-go":
            words = "decided: it may go" if atom.in_a_take else "a stray beside a take: needs no proof"
            held[words, state] = held.get((words, state), 0) | atom.mask
            continue
        free = atom.mask & ~kept
        for lo, hi, transfer in sorted(transfers, key=lambda found: found[2].entry):
            covers = lo <= atom.lo and atom.hi <= hi and transfer.tracks & free
            after = house.calendar.loosens(transfer.day, transfer.at_us) > atom.moment
            projects = [take.project for take in atom.owners] or [None]
            if covers and after and all(prove(house, transfer, cooling_days(house, p)).proved for p in projects):
                words = f"proved by transfer {safe(transfer.transfer)}"
                held[words, "proved"] = held.get((words, "proved"), 0) | (transfer.tracks & free)
    return [(words, ink, mask) for (words, ink), mask in held.items()]


def _passes(tape: Tape, place: int) -> tuple[Piece, ...]:
    tenths = next((tenths for lo, hi, tenths in tape.wear if lo <= place < hi), 0)
    passes = f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"
    for grade, limit in zip(GRADES, tape.limits, strict=True):
        if tenths <= 10 * limit:
            return Piece(f"{passes} pass{'' if passes == '1' else 'es'}", "strong"), Piece(f", {grade} bears {limit}")
    return Piece(f"{passes} passes", "no"), Piece(f", past {GRADES[-1]}'s {tape.limits[-1]}")


def _worn(tape: Tape, speed: int) -> tuple[Piece, ...]:
    """Where the reel is worn most, and where the next take would be least worn, by the counter."""
    if tape.worst is None:
        return ()
    most, where = tape.worst.tenths / 10, clock(time_of(tape.worst.lo - tape.zero, speed))
    least = f", least from {clock(time_of(tape.least.lo - tape.zero, speed))}" if tape.least is not None else ""
    return (Piece(f" · most {most:g} at {where}{least}", "quiet"),)


def _splices(tape: Tape, place: int, speed: int) -> tuple[Piece, ...]:
    if not tape.joints:
        return (Piece("no splices", "quiet"),)
    pieces = [Piece("splice ")]
    before = max((joint for joint in tape.joints if joint.at <= place), default=None)
    after = min((joint for joint in tape.joints if joint.at > place), default=None)
    for joint, side in ((before, "before"), (after, "after")):
        if joint is not None:
            away = time_words(abs(time_of(joint.at - place, speed)))
            pieces.append(Piece(f"{joint.state} ", "no" if joint.firm else "plain"))
            pieces += [Piece(f"{joint.kind} {away} {side}"), Piece(", ")]
    return tuple(pieces[:-1])


def _faults(advice: Advice, tape: Tape, place: int) -> tuple[Piece, ...]:
    """Findings that stand here, and what binds this tape whatever is proved: holds, owners, absence."""
    pieces: list[Piece] = []
    for damage in tape.damage:
        if damage.lo <= place < damage.hi:
            tracks = f" on {track_list(damage.tracks)}" if damage.tracks is not None else ""
            pieces += [Piece(f"{damage.kind}, severity {damage.severity}{tracks}", "doubt"), Piece("; ")]
    for reason in advice.reasons:
        whole = reason.lo is None or reason.hi is None
        here = whole or (reason.lo or 0) <= place < (reason.hi or 0)
        if here and reason.code in ("on-hold", "no-release", "not-here", "reference-tape", "stray-field"):
            pieces += [Piece(safe(reason.says), reason.severity), Piece("; ")]
    return tuple(pieces[:-1]) or (Piece("no findings here, no hold", "quiet"),)
