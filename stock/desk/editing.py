"""Cuts and joins at the bench: what they would make of the reels, seen before anything is entered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stock.core.fitness import severities
from stock.core.kinds import BY_NAME
from stock.core.moments import as_of_instant
from stock.core.spans import Span
from stock.core.verdict import Advice, advise
from stock.core.words import feet
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import CannotEnter, NoSuchReel
from stock.desk.guard import (
    Seen,
    answer_of,
    require_fresh,
    require_label,
    require_reread,
    require_second,
    second_needed,
    seen_now,
    unread_transfers,
)
from stock.desk.reading import some_reels
from stock.edge.problems import Problem
from stock.store.reader import Reader

_EDIT = BY_NAME["edit"]


@dataclass(frozen=True)
class EditSeen:
    """An edit tried and undone. before, after: the reels it touches, the one cut first. lo, hi: the reel places cut.

    along: what goes along with the tape, in plain words. seen: the state of the record it was tried on. second_needed,
    unread: what throwing the piece away asks for besides the number on the label, as for a wipe.
    """

    before: list[Advice]
    after: list[Advice]
    lo: int
    hi: int
    along: list[str]
    seen: Seen
    second_needed: bool
    unread: tuple[str, ...]

    @property
    def thrown_away(self) -> bool:
        """Whether the tape leaves all reels."""
        return sum(a.view.length for a in self.after) < sum(b.view.length for b in self.before)


def see_edit(desk: Desk, cells: Mapping[str, str]) -> EditSeen:
    """What an edit would make of the reels; nothing is entered. Raises CannotEnter, NoSuchReel, Unproved, DoesNotFit.

    cells: of the edit, by column, as somebody typed them.
    """
    reels = list(
        dict.fromkeys(number.strip() for number in (cells["reel"], cells.get("to_reel", "")) if number.strip())
    )
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        house = some_reels(writer, calendar, as_of, reels)
        for reel in reels:
            if reel not in house.reel_numbers:
                raise NoSuchReel(reel=reel, near="")
        before = {advice.reel: advice for advice in advise(house, reels)}
        seen = seen_now(writer, as_of)
        receipt = desk.enter_in(writer, _EDIT, cells, "try an edit", now_us, calendar)
        spans = _spans_cut(writer, before[reels[0]], receipt)
        changed = some_reels(writer, calendar, as_of_instant(calendar, now_us), reels)
        after = {advice.reel: advice for advice in advise(changed, reels)}
        # left without a commit: it was a try
    lo, hi = min(a for a, _ in spans), max(b for _, b in spans)
    cut = before[reels[0]]
    return EditSeen(
        [before[r] for r in reels],
        [after[r] for r in reels],
        lo,
        hi,
        _along(cut, (lo, hi)),
        seen,
        second_needed(cut),
        tuple(transfer.transfer for transfer in unread_transfers(cut, spans)),
    )


def throw_away(
    desk: Desk, cells: Mapping[str, str], *, label: str, second: str | None = None, seen: Seen | None = None
) -> Receipt:
    """Enter an edit that throws tape away, guarded as a wipe is.

    label: the number read off the reel itself. second: the second person's name. seen: what the person who asks was
    shown. Raises CannotEnter, NoSuchReel, LabelDiffers, AnswerStale, SecondPersonNeeded, Unproved, RereadNeeded.
    """
    reel = cells.get("reel", "").strip()
    if not reel:
        raise CannotEnter([Problem("reel", "", "the number of a reel", "which reel is cut is not said")])
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        answer = answer_of(writer, calendar, as_of, reel)
        require_label(label, answer.reel)
        if seen is not None:
            require_fresh(writer, as_of, answer.reel, seen)
        require_second(answer, desk.who, second)
        what = f"throw away tape of {answer.reel}" + (f", second person {second}" if second else "")
        receipt = desk.enter_in(writer, _EDIT, cells, what, now_us, calendar)
        require_reread(answer, _spans_cut(writer, answer, receipt))
        writer.commit()
        return receipt


def _spans_cut(reader: Reader, before: Advice, receipt: Receipt) -> Sequence[Span]:
    """The places, on the reel as it was before, of the tape that an edit just entered cuts."""
    (fact,) = reader.facts(_EDIT, entries=receipt.entries)
    layout = before.view.house.layout(before.reel)
    return [span for piece in fact.places for span in layout.project(*piece)]


def _along(advice: Advice, span: Span) -> list[str]:
    """What lies on a stretch of a reel and goes where its tape goes."""
    lo, hi = span
    view = advice.view

    def there(a: int, b: int) -> bool:
        return a < hi and lo < b

    takes = sorted({claim.label for claim in advice.recording.claims if any(there(a, b) for a, b, _ in claim.live)})
    splices = sum(lo <= joint.at <= hi for joint in advice.fitness.joints)
    faults = sorted({f"{kind} of severity {level}" for a, b, level, kind, _, _ in severities(view) if there(a, b)})
    holds = sorted({row.hold for a, b, row in view.spans("holds") if there(a, b)})
    most = max((tenths for a, b, tenths in advice.fitness.wear if there(a, b)), default=0)
    said = [f"{feet(hi - lo)} of tape, at most {most / 10:g} pass{'es' if most != 10 else ''}"]
    said += takes
    said += [f"{splices} splice{'s' if splices != 1 else ''}"] if splices else []
    said += faults
    said += [f"hold {hold}" for hold in holds]
    return said
