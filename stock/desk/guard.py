"""What guards every act that destroys a recording: the reel's own label, a fresh answer, a second person, a reread.

The wipe and the throwing away of a cut piece ask for it alike, inside the transaction that enters them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from stock.core.label_code import number_read
from stock.core.moments import AsOf, Calendar
from stock.core.record import Transfer
from stock.core.spans import Span
from stock.core.verdict import Advice, advise
from stock.desk.certificates import transfers_relied_on
from stock.desk.errors import NoSuchReel
from stock.desk.reading import some_reels
from stock.desk.shelf import entered_since
from stock.desk.wipe_errors import AnswerStale, LabelDiffers, RereadNeeded, SecondPersonNeeded
from stock.store.reader import Reader


class Seen(NamedTuple):
    """The state of the record that an answer was shown from.

    line: its newest journal line. day: the answer's day. own: what the person who was shown it has entered since.
    """

    line: int
    day: int
    own: frozenset[int] = frozenset()


def folded(text: str) -> str:
    """A number, a name or a title as it is compared: case and spaces make no difference."""
    return " ".join(text.split()).casefold()


def answer_of(reader: Reader, calendar: Calendar, as_of: AsOf, reel: str) -> Advice:
    """The answer for a reel as the record stands inside a transaction. Raises NoSuchReel."""
    house = some_reels(reader, calendar, as_of, [reel])
    if reel not in house.reel_numbers:
        raise NoSuchReel(reel=reel, near="")
    (answer,) = advise(house, [reel])
    return answer


def seen_now(reader: Reader, as_of: AsOf) -> Seen:
    """The state of the record that is shown now."""
    head = reader.head()
    assert head is not None
    return Seen(head.line, as_of.day)


def is_label_of(label: str, reel: str) -> bool:
    """Whether what was typed or scanned off a label is the reel's number."""
    return folded(number_read(label)) == folded(reel)


def require_label(label: str, reel: str) -> None:
    """Raises LabelDiffers where what was read off the label is not the reel's number."""
    if not is_label_of(label, reel):
        raise LabelDiffers(label=label.strip() or "nothing", reel=reel)


def require_fresh(reader: Reader, as_of: AsOf, reel: str, seen: Seen) -> None:
    """Raises AnswerStale where anything that may bear on the reel came after an answer was shown, or another day."""
    if seen.day != as_of.day:
        raise AnswerStale(reel=reel, says="another day has begun")
    changes = entered_since(reader, seen.line, reel, seen.own)
    if changes:
        raise AnswerStale(reel=reel, says="; ".join(changes))


def second_needed(answer: Advice) -> bool:
    """Whether a second person must be named: for masters and safeties, and where the house asks at every wipe."""
    return answer.view.reel.role in ("master", "safety") or answer.view.house.rules.number("second_person_always") > 0


def require_second(answer: Advice, who: str, second: str | None) -> None:
    """Raises SecondPersonNeeded where one must be named and is not, or is the person who acts."""
    if second_needed(answer) and (not second or folded(second) in ("", folded(who))):
        raise SecondPersonNeeded(who=who, reel=answer.reel)


def unread_transfers(answer: Advice, spans: Sequence[Span] | None = None) -> Iterator[Transfer]:
    """The transfers an answer rests on of which no copy was read from end to end lately enough.

    spans: reel places; where given, only what the answer rests on there.
    """
    house = answer.view.house
    limit = house.rules.number("wipe_reread_days")
    for transfer, _ in transfers_relied_on(answer, spans):
        days = [
            local
            for check in house.keyed("copy_checks", transfer.transfer)
            if check.result == "pass" and check.method == "read" and check.manifest_sha256
            and (local := house.calendar.local_day(check.day, check.at_us)) is not None
        ]  # fmt: skip
        if not days or house.as_of.day - max(days) > limit:
            yield transfer


def require_reread(answer: Advice, spans: Sequence[Span] | None = None) -> None:
    """Raises RereadNeeded for the first of the transfers that `unread_transfers` gives."""
    for transfer in unread_transfers(answer, spans):
        days = answer.view.house.rules.number("wipe_reread_days")
        raise RereadNeeded(transfer=transfer.transfer, days=days)
