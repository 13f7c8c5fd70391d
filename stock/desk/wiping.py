"""The guarded wipe: a permit, given to a person with the tape in hand, and the wipe it allows.

There is no way round: the answer is taken again inside the transaction that gives the permit and inside the one that
enters the wipe, and anything but yes refuses, for everyone. A permit is good for its day and for nothing that was
entered on the reel since.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from typing import Any, NamedTuple

from stock.core.kinds import BY_NAME
from stock.core.measure import Speed, time_of
from stock.core.moments import AsOf, Calendar, date_of, datetime_of
from stock.core.proof import cooling_days, prove
from stock.core.record import Transfer
from stock.core.tracks import spell
from stock.core.verdict import Advice, advise
from stock.core.words import clock, feet, speed_words
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import DeskError, NoSuchReel
from stock.desk.reading import some_reels
from stock.desk.shelf import reels_told_of
from stock.store.reader import Reader

_PERMIT = "wipe permit "
NO_TITLE = "no title"
"""What a person says of a place where the record knows no title."""


class WipeRefused(DeskError):
    code = "wipe-refused"
    answers_no = True
    wording = "reel {reel} may not be wiped: {says}"
    remedy = "See `reelward advise` for the reasons; a transfer, a discard, a release or an ended hold may change it."


class LabelDiffers(DeskError):
    code = "label-differs"
    wording = "the number typed, {label}, is not {reel}"
    remedy = (
        "Read the number on the reel's own label, not on the box: the wrong tape in the box is the classic accident."
    )


class HeardDiffers(DeskError):
    code = "heard-differs"
    answers_no = True
    wording = "at {place} the record says other than {heard}"
    remedy = "Play the tape there again and compare with the track sheet; if they differ, this may be another tape."


class SecondPersonNeeded(DeskError):
    code = "second-person-needed"
    answers_no = True
    wording = "a second person, other than {who}, must be named for reel {reel}"
    remedy = "Ask somebody to look at the label and the answer with you, and name them."


class RereadNeeded(DeskError):
    code = "reread-needed"
    answers_no = True
    wording = "no copy of transfer {transfer} was read through in the last {days} days"
    remedy = "Read one copy through again now (`reelward prove`), then ask for the permit again."


class NoPermit(DeskError):
    code = "no-permit"
    answers_no = True
    wording = "there is no permit for reel {reel} that is good now: {says}"
    remedy = "Ask for a permit: `reelward wipe permit`."


class BulkNeeded(DeskError):
    code = "bulk-needed"
    answers_no = True
    wording = (
        "reel {reel} was recorded with {tracks} tracks and machine {machine} has {heads}: its heads do not reach it all"
    )
    remedy = "Erase it in bulk."


class PlaceToPlay(NamedTuple):
    """A place to play before a wipe.

    at: tenths of a millimetre from the head. words: the same for people. titles: what may be heard there.
    """

    at: int
    words: str
    titles: frozenset[str]


class Permit(NamedTuple):
    """A permit given. certificate: SHA-256 of its text; text: canonical JSON of what was on the reel and its proof."""

    line: int
    certificate: str
    text: str


def places_to_play(answer: Advice) -> list[PlaceToPlay]:
    """Three places, near the head, the middle and the tail of what is live on the reel."""
    atoms = answer.recording.live.atoms
    length = answer.view.length
    lo = min((atom.lo for atom in atoms), default=0)
    hi = min(max((atom.hi for atom in atoms), default=length), length)
    places = [lo + (hi - lo) * part // 8 for part in (1, 4, 7)]
    usual = answer.view.house.rules.number("usual_speed")
    return [
        PlaceToPlay(
            at,
            f"{clock(time_of(at, usual))} from the head at {speed_words(Speed(usual))} ({feet(at)})",
            frozenset(take.title for atom in atoms if atom.lo <= at < atom.hi for take in atom.owners)
            or frozenset({NO_TITLE}),
        )
        for at in places
    ]


def places_of(desk: Desk, reel: str) -> list[PlaceToPlay]:
    """The places to play on a reel before its wipe. Raises NoSuchReel."""
    (answer,) = desk.advise([reel])
    return places_to_play(answer)


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def permit(desk: Desk, reel: str, *, label: str, heard: Sequence[str], second: str | None = None) -> Permit:
    """Give a permit to wipe a reel, and write its certificate into the journal.

    label: the number read off the reel itself. heard: the title at each of `places_of`, in their order. second: the
    second person's name. Raises LabelDiffers, WipeRefused, HeardDiffers, SecondPersonNeeded, RereadNeeded.
    """
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        answer = _answer(writer, calendar, as_of, reel)
        if _folded(label) != _folded(reel):
            raise LabelDiffers(label=label, reel=reel)
        _require_yes(answer)
        _require_heard(answer, heard)
        rules = answer.view.house.rules
        needs_second = answer.view.reel.role in ("master", "safety") or rules.number("second_person_always") > 0
        if needs_second and (not second or _folded(second) == _folded(desk.who)):
            raise SecondPersonNeeded(who=desk.who, reel=reel)
        _require_reread(answer)
        text = _certificate(writer, answer, desk.who, second, now_us)
        line = writer.add([], who=desk.who, what=_PERMIT + text, at_us=now_us)
        writer.commit()
        return Permit(line.line, _hash(text), text)


def done(
    desk: Desk,
    reel: str,
    *,
    method: str,
    start: str = "",
    end: str = "",
    speed: str = "",
    machine: str = "",
    note: str = "",
) -> Receipt:
    """Enter the wipe that a permit allows. Raises NoPermit, WipeRefused, BulkNeeded, CannotEnter."""
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        answer = _answer(writer, calendar, as_of, reel)
        given = _permit_in_force(writer, calendar, as_of, reel)
        _require_yes(answer)
        if method == "machine" and machine:
            _require_heads(writer, answer, machine)
        content = json.loads(given)
        cells = {
            "reel": reel,
            "method": method,
            "start": start,
            "end": end,
            "speed": speed,
            "machine": machine,
            "second": content["second"] or "",
            "certificate": _hash(given),
            "note": note,
        }
        receipt = desk.enter_in(writer, BY_NAME["wipe"], cells, f"wipe done {reel}", now_us, calendar)
        writer.commit()
        return receipt


def certificate(desk: Desk, wipe_entry: int) -> dict[str, Any] | None:
    """The certificate of a wipe as it stands in the journal, or None where this journal does not hold it."""
    with desk.store.reading() as reader:
        rows = reader.raw("SELECT certificate FROM wipes WHERE entry = ?", (wipe_entry,))
        if not rows or rows[0][0] is None:
            return None
        for line in reader.lines():
            if line.what.startswith(_PERMIT) and _hash(line.what.removeprefix(_PERMIT)) == rows[0][0]:
                content: dict[str, Any] = json.loads(line.what.removeprefix(_PERMIT))
                return {**content, "certificate": rows[0][0], "journal_line": line.line, "journal_sha256": line.sha256}
    return None


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _answer(reader: Reader, calendar: Calendar, as_of: AsOf, reel: str) -> Advice:
    house = some_reels(reader, calendar, as_of, [reel])
    if reel not in house.reel_numbers:
        raise NoSuchReel(reel=reel, near="")
    (answer,) = advise(house, [reel])
    return answer


def _require_yes(answer: Advice) -> None:
    if answer.erasable != "yes":
        against = [r.says for r in answer.reasons if r.about == "recording" and r.severity != "note"]
        raise WipeRefused(reel=answer.reel, says="; ".join(against))


def _require_heard(answer: Advice, heard: Sequence[str]) -> None:
    for number, place in enumerate(places_to_play(answer)):
        said = heard[number] if number < len(heard) else ""
        if _folded(said) not in {_folded(title) for title in place.titles}:
            raise HeardDiffers(place=place.words, heard=said or "nothing said")


def _transfers(answer: Advice) -> list[tuple[Transfer, int]]:
    """The proved transfers the answer rests on, with the cooling days each was proved for."""
    house = answer.view.house
    found: dict[int, tuple[Transfer, int]] = {}
    for claim in answer.recording.claims:
        days = cooling_days(house, claim.take.project if claim.take is not None else None)
        for transfer in claim.helped.values():
            if prove(house, transfer, days).proved:
                found[transfer.entry] = (transfer, days)
    return [found[entry] for entry in sorted(found)]


def _require_reread(answer: Advice) -> None:
    house = answer.view.house
    limit = house.rules.number("wipe_reread_days")
    for transfer, _ in _transfers(answer):
        days = [
            local
            for check in house.keyed("copy_checks", transfer.transfer)
            if check.result == "pass" and check.method == "read" and check.manifest_sha256
            and (local := house.calendar.local_day(check.day, check.at_us)) is not None
        ]  # fmt: skip
        if not days or house.as_of.day - max(days) > limit:
            raise RereadNeeded(transfer=transfer.transfer, days=limit)


def _require_heads(reader: Reader, answer: Advice, machine: str) -> None:
    rows = reader.raw('SELECT tracks FROM machines WHERE "machine" = ? ORDER BY entry DESC', (machine,))
    heads = rows[0][0] if rows else None
    masks = 0
    for atom in answer.recording.live.atoms:
        masks |= atom.mask
    tracks = max(answer.view.reel.tracks, masks.bit_length())
    if heads is not None and heads != tracks:
        raise BulkNeeded(reel=answer.reel, tracks=tracks, machine=machine, heads=heads)


def _permit_in_force(reader: Reader, calendar: Calendar, as_of: AsOf, reel: str) -> str:
    """The text of the newest permit for a reel, if it is of today and nothing was entered on the reel since."""
    newest: tuple[int, int, str] | None = None
    for line, at_us, what in reader.iterate(
        "SELECT line, at_us, what FROM journal WHERE what LIKE ? ", (_PERMIT + "%",)
    ):
        text = what.removeprefix(_PERMIT)
        if json.loads(text)["reel"] == reel:
            newest = line, at_us, text
    if newest is None:
        raise NoPermit(reel=reel, says="none was given")
    line, at_us, text = newest
    if calendar.local_day(None, at_us) != as_of.day:
        raise NoPermit(reel=reel, says="the last one was of another day")
    touched = reels_told_of(reader, line)
    if touched is None or reel in touched:
        raise NoPermit(reel=reel, says="something was entered about it since the last one was given")
    return text


def _certificate(reader: Reader, answer: Advice, who: str, second: str | None, now_us: int) -> str:
    """What was on the reel, its proof, its hashes, the rules in force and who last changed them: canonical JSON."""
    house = answer.view.house
    head = reader.head()
    assert head is not None
    rules = {rule: house.rules.value(rule) for rule in sorted(house.rules.names)}
    changed = [
        {"entry": entry, "rule": rule, "value": value, "by": by}
        for entry, rule, value, by in reader.iterate('SELECT entry, rule, value, "by" FROM rules ORDER BY entry')
        if house.rules.set_by.get(rule) == entry
    ]
    takes = [
        {
            "entry": claim.take.entry if claim.take is not None else None,
            "take": claim.label,
            "project": claim.take.project if claim.take is not None else None,
            "stretches": [[lo, hi, spell(mask)] for lo, hi, mask in claim.live],
        }
        for claim in answer.recording.claims
    ]
    content = {
        "what": "certificate of a wipe permit",
        "house": reader.house_id,
        "reel": answer.reel,
        "by": who,
        "second": second,
        "at": datetime_of(now_us).isoformat(),
        "day": date_of(house.as_of.day).isoformat(),
        "journal": {"line": head.line, "sha256": head.sha256},
        "length": answer.view.length,
        "takes": takes,
        "transfers": [_transfer_proof(reader, answer, transfer) for transfer, _ in _transfers(answer)],
        "notes": [reason.says for reason in answer.reasons if reason.about == "recording"],
        "rules": rules,
        "rules_set": changed,
    }
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def _transfer_proof(reader: Reader, answer: Advice, transfer: Transfer) -> dict[str, Any]:
    house = answer.view.house
    checks = [
        {"copy": check.copy, "date": _when(check.day, check.at_us), "manifest_sha256": check.manifest_sha256}
        for check in sorted(house.keyed("copy_checks", transfer.transfer))
        if check.result == "pass" and check.method == "read"
    ]
    files = reader.raw(
        'SELECT "copy", path, bytes, sha256, track FROM copy_files WHERE transfer = ? ORDER BY entry',
        (transfer.transfer,),
    )
    return {
        "entry": transfer.entry,
        "transfer": transfer.transfer,
        "sample_rate_hz": transfer.sample_rate_hz,
        "bit_depth": transfer.bit_depth,
        "tracks": spell(transfer.tracks),
        "copies": [
            {"copy": copy.copy, "medium": copy.medium, "place": copy.place}
            for copy in sorted(house.keyed("copies", transfer.transfer))
        ],
        "checks": checks,
        "files": [list(row) for row in files],
    }


def _when(day: int | None, at_us: int | None) -> str | None:
    if at_us is not None:
        return datetime_of(at_us).isoformat()
    return date_of(day).isoformat() if day is not None else None


def certificate_lines(content: dict[str, Any]) -> list[str]:
    """A certificate as lines of text, for a page or a screen."""
    lines = [
        f"Certificate of a wipe: reel {content['reel']}",
        f"given to {content['by']} on {content['day']}"
        + (f", with {content['second']} as the second person" if content["second"] else ""),
        "",
        "What was on it:",
    ]
    for take in content["takes"] or [{"take": "nothing", "project": None, "stretches": []}]:
        project = f" ({take['project']})" if take["project"] else ""
        stretches = "; ".join(f"{feet(lo)} to {feet(hi)}, tracks {tracks}" for lo, hi, tracks in take["stretches"])
        lines.append(f"  {take['take']}{project}{': ' if stretches else ''}{stretches}")
    lines += ["", "Its proof:"]
    for transfer in content["transfers"] or []:
        lines.append(
            f"  transfer {transfer['transfer']}: {transfer['sample_rate_hz']} Hz, {transfer['bit_depth']} bit, "
            f"tracks {transfer['tracks']}"
        )
        lines += [f"    copy {copy['copy']} on {copy['medium']}, {copy['place']}" for copy in transfer["copies"]]
        lines += [
            f"    read {check['date']}: {check['manifest_sha256']} (copy {check['copy']})"
            for check in transfer["checks"]
        ]
        lines += [f"    file {path}: {sha256}" for _, path, _, sha256, _ in transfer["files"]]
    if not content["transfers"]:
        lines.append("  no transfer: nothing on it needed one, or it was given up by decision")
    lines += [f"  note: {note}" for note in content["notes"]]
    lines += ["", "House rules in force:"]
    lines += [f"  {name}: {value}" for name, value in content["rules"].items()]
    lines += [f"  {rule['rule']} was last set by {rule['by']} (entry {rule['entry']})" for rule in content["rules_set"]]
    lines += [
        "",
        f"Journal before it: line {content['journal']['line']}, {content['journal']['sha256']}",
        f"Certificate: {content['certificate']}, journal line {content['journal_line']}, {content['journal_sha256']}",
    ]
    return lines
