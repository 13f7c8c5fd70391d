"""The guarded wipe: a permit, given to a person with the tape in hand, and the wipe it allows.

There is no way round: the answer is taken again inside the transaction that gives the permit and inside the one that
enters the wipe, and anything but yes refuses, for everyone. A permit is good for its day and for nothing that was
entered on the reel since.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Literal, NamedTuple

from stock.core.kinds import BY_NAME
from stock.core.measure import Speed, time_of
from stock.core.moments import AsOf, Calendar
from stock.core.verdict import Advice
from stock.core.words import clock, feet, speed_words
from stock.desk.certificates import PERMIT, certificate_text, digest
from stock.desk.desk import Desk, Receipt
from stock.desk.guard import (
    Seen,
    answer_of,
    folded,
    require_fresh,
    require_label,
    require_reread,
    require_second,
    second_needed,
    seen_now,
    unread_transfers,
)
from stock.desk.shelf import entered_since
from stock.desk.wipe_errors import (
    BulkNeeded,
    HeadsUnknown,
    HeardDiffers,
    NoPermit,
    WipeRefused,
)
from stock.store.reader import Reader

NO_TITLE = "no title"
"""What a person says of a place where the record knows no title."""

Step = Literal["permit", "erase", "listen"]


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


class Standing(NamedTuple):
    """Where the guarded wipe of a reel stands.

    step: what the hand does next. second_needed: whether another person must be named. unread: the transfers no copy
    of which was read through lately enough. certificate: of the permit in force, None without one.
    """

    answer: Advice
    step: Step
    places: list[PlaceToPlay]
    second_needed: bool
    unread: tuple[str, ...]
    certificate: str | None
    seen: Seen


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


def standing(desk: Desk, reel: str) -> Standing:
    """Where the wipe of a reel stands now, whatever day answers are asked for. Raises NoSuchReel."""
    with desk.store.reading() as reader:
        _, calendar, as_of = desk.moment(reader)
        answer = answer_of(reader, calendar, as_of, reel)
        try:
            certificate = digest(_permit_in_force(reader, calendar, as_of, reel))
        except NoPermit:
            certificate = None
        seen = seen_now(reader, as_of)
    unheard = any(reason.code == "wiped-not-heard" for reason in answer.reasons)
    step: Step = "erase" if certificate is not None else "listen" if unheard else "permit"
    unread = tuple(transfer.transfer for transfer in unread_transfers(answer))
    return Standing(answer, step, places_to_play(answer), second_needed(answer), unread, certificate, seen)


def permit(
    desk: Desk, reel: str, *, label: str, heard: Sequence[str], second: str | None = None, seen: Seen | None = None
) -> Permit:
    """Give a permit to wipe a reel, and write its certificate into the journal.

    label: the number read off the reel itself. heard: the title at each of `places_of`, in their order. second: the
    second person's name. seen: what the person who asks was shown; an answer that was shown before something was
    entered is refused. Raises LabelDiffers, AnswerStale, WipeRefused, HeardDiffers, SecondPersonNeeded, RereadNeeded.
    """
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        answer = answer_of(writer, calendar, as_of, reel)
        require_label(label, reel)
        if seen is not None:
            require_fresh(writer, as_of, reel, seen)
        _require_yes(answer)
        _require_heard(answer, heard)
        require_second(answer, desk.who, second)
        require_reread(answer)
        text = certificate_text(writer, answer, desk.who, second, now_us)
        line = writer.add([], who=desk.who, what=PERMIT + text, at_us=now_us)
        writer.commit()
        return Permit(line.line, digest(text), text)


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
    """Enter the wipe that a permit allows. Raises NoPermit, WipeRefused, BulkNeeded, HeadsUnknown, CannotEnter."""
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        answer = answer_of(writer, calendar, as_of, reel)
        given = _permit_in_force(writer, calendar, as_of, reel)
        _require_yes(answer)
        if method == "machine":
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
            "certificate": digest(given),
            "note": note,
        }
        receipt = desk.enter_in(writer, BY_NAME["wipe"], cells, f"wipe done {reel}", now_us, calendar)
        writer.commit()
        return receipt


def _require_yes(answer: Advice) -> None:
    if answer.erasable != "yes":
        against = [r.says for r in answer.reasons if r.about == "recording" and r.severity != "note"]
        raise WipeRefused(reel=answer.reel, says="; ".join(against))


def _require_heard(answer: Advice, heard: Sequence[str]) -> None:
    for number, place in enumerate(places_to_play(answer)):
        said = heard[number] if number < len(heard) else ""
        if folded(said) not in {folded(title) for title in place.titles}:
            raise HeardDiffers(place=place.words, heard=said or "nothing said")


def _require_heads(reader: Reader, answer: Advice, machine: str) -> None:
    rows = reader.raw('SELECT tracks FROM machines WHERE "machine" = ? ORDER BY entry DESC', (machine,))
    heads = rows[0][0] if rows else None
    masks = 0
    for atom in answer.recording.live.atoms:
        masks |= atom.mask
    tracks = max(answer.view.reel.tracks, masks.bit_length())
    if heads is None:
        raise HeadsUnknown(machine=machine or "a machine that is not named", reel=answer.reel)
    if heads != tracks:
        raise BulkNeeded(reel=answer.reel, tracks=tracks, machine=machine, heads=heads)


class OpenPermit(NamedTuple):
    """A permit that is in force. at_us: when it was given. who: by whose hand."""

    reel: str
    at_us: int
    who: str


def permits_open(reader: Reader, calendar: Calendar, as_of: AsOf) -> list[OpenPermit]:
    """The permits in force, by reel: given on the as-of day, and nothing entered on the reel since."""
    found: dict[str, OpenPermit | None] = {}
    for line, at_us, who, what in reader.iterate("SELECT line, at_us, who, what FROM journal ORDER BY line DESC"):
        if calendar.local_day(None, at_us) != as_of.day:
            # lines are written in the order of time
            if at_us < as_of.at_us:
                break
            continue
        if at_us > as_of.at_us or not what.startswith(PERMIT):
            continue
        reel = json.loads(what.removeprefix(PERMIT))["reel"]
        if reel not in found:
            found[reel] = None if entered_since(reader, line, reel) else OpenPermit(reel, at_us, who)
    return sorted(each for each in found.values() if each is not None)


def _permit_in_force(reader: Reader, calendar: Calendar, as_of: AsOf, reel: str) -> str:
    """The text of the newest permit for a reel, if it is of today and nothing was entered on the reel since."""
    sql = "SELECT line, at_us, what FROM journal WHERE what LIKE ? ORDER BY line DESC"
    for line, at_us, what in reader.iterate(sql, (PERMIT + "%",)):
        text: str = what.removeprefix(PERMIT)
        if json.loads(text)["reel"] != reel:
            continue
        if calendar.local_day(None, at_us) != as_of.day:
            raise NoPermit(reel=reel, says="the last one was of another day")
        changes = entered_since(reader, line, reel)
        if changes:
            raise NoPermit(reel=reel, says=f"since the last one was given there was entered {'; '.join(changes)}")
        return text
    raise NoPermit(reel=reel, says="none was given")
