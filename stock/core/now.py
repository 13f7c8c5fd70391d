"""What the house has to do: single tasks, what each is about, what cures it, and their order.

Most of them follow from one reel's answer and are worked out here. Those that are about copies, orders or permits are
made elsewhere, of the same shape.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Literal, NamedTuple

from stock.core.custody import away
from stock.core.moments import datetime_of
from stock.core.rules import GRADES
from stock.core.take_proof import TakeProof, take_proofs
from stock.core.to_do import few
from stock.core.verdict import Advice, Judge

Code = Literal[
    "running",
    "unfinished",
    "wiped-not-heard",
    "permit-open",
    "copy-failed",
    "hold-ending",
    "to-transfer",
    "to-prove",
    "copy-due",
    "overdue",
    "order-late",
    "short",
    "to-inspect",
    "to-retire",
    "cooling-off",
]
Cure = Literal["session", "wipe", "prove", "listen", "proof", "reel", "return", "retire", "copies", "orders", "needs",
               "shelf", "form"]  # fmt: skip
"""Where a task is done: at the machine, in the guarded wipe, by proving a copy, by a listen, by what proves a reel's
takes, on the reel's page, by entering a return or a retirement, in the lists of copies, orders or needs, on the shelf,
in the form that was left.
"""

HEADS: dict[Code, str] = {
    "running": "Takes still running",
    "unfinished": "Forms left unfinished",
    "wiped-not-heard": "Wiped, waiting for a listen",
    "permit-open": "Permits to wipe, open today",
    "copy-failed": "Copies that failed their check",
    "hold-ending": "Holds past their day, or near it",
    "to-transfer": "Reels to transfer",
    "to-prove": "Transfers waiting for proof",
    "copy-due": "Copies due to be read again",
    "overdue": "Reels out too long",
    "order-late": "Orders late",
    "short": "Stock below need",
    "to-inspect": "Reels to look at",
    "to-retire": "Reels worn out, to retire",
    "cooling-off": "Transfers that only have to wait",
}
"""Every code with what its tasks are together, most urgent first: what goes on at this moment or was left half
entered, what a wrong wipe could rest on, what exists only once, what was promised to or by others, last what can
wait."""

_URGENCY = {code: at for at, code in enumerate(HEADS)}
_AS_ONE: tuple[Code, ...] = ("to-inspect", "cooling-off")
"""Told together, as a count."""


class Task(NamedTuple):
    """One thing to do, about those of reel, transfer, copy and so on that are not empty.

    says: how it stands. remedy: what to do. since: the local day since which, or from which, it stands; None where not
    known. count: for how many it stands.
    """

    code: Code
    cure: Cure
    says: str
    remedy: str
    reel: str = ""
    transfer: str = ""
    copy: str = ""
    hold: str = ""
    order: str = ""
    stock_item: str = ""
    since: int | None = None
    count: int = 1  # type: ignore[assignment]
    form: str = ""

    @property
    def subject(self) -> str:
        """The one thing it is told by: a reel where there is one."""
        return self.reel or self.transfer or self.order or self.stock_item or self.hold or self.form

    @property
    def line(self) -> str:
        """What to read first: of a transfer that waits what is to be done, of all others how it stands."""
        return self.remedy if self.code == "to-prove" else self.says

    @property
    def about(self) -> tuple[str, ...]:
        """What it is about, its code first: the same for a task that goes on standing while its words change."""
        return self.code, self.reel, self.transfer, self.copy, self.hold, self.order, self.stock_item, self.form


class Group(NamedTuple):
    """The tasks of one code, the longest standing first. count: of how many single things."""

    code: Code
    tasks: tuple[Task, ...]

    @property
    def head(self) -> str:
        return HEADS[self.code]

    @property
    def count(self) -> int:  # type: ignore[override]
        return sum(task.count for task in self.tasks)


def grouped(tasks: Iterable[Task]) -> list[Group]:
    """Tasks by what they are, the most urgent first; what is told as one is one task of several."""
    held: dict[Code, list[Task]] = {}
    for task in sorted(tasks, key=_order):
        held.setdefault(task.code, []).append(task)
    return [
        Group(code, (_as_one(code, held[code]),) if code in _AS_ONE else tuple(held[code]))
        for code in HEADS
        if code in held
    ]


def _order(task: Task) -> tuple[Any, ...]:
    return _URGENCY[task.code], task.since is None, task.since or 0, *task.about, *task


def _as_one(code: Code, tasks: Sequence[Task]) -> Task:
    count = sum(task.count for task in tasks)
    some = f"{count} reel{'' if count == 1 else 's'}"
    if code == "to-inspect":
        says = f"{some} would be clear or blank, had somebody inspected {'it' if count == 1 else 'them'}"
        return Task(code, "shelf", says, f"inspect {few([task.reel for task in tasks], 6)}", count=count)
    some = f"{count} transfer{'' if count == 1 else 's'}"
    says = f"{some} {'has' if count == 1 else 'have'} only to grow old enough: {few([task.transfer for task in tasks])}"
    return Task(code, "copies", says, tasks[0].remedy, since=tasks[0].since, count=count)


def reel_tasks(answer: Advice) -> list[Task]:
    """What is to be done with one reel, by its answer."""
    return [
        *_running(answer),
        *_to_hear(answer),
        *_holds(answer),
        *_proofs(answer),
        *_out(answer),
        *_to_inspect(answer),
        *_to_retire(answer),
    ]


def _running(answer: Advice) -> Iterator[Task]:
    calendar = answer.view.house.calendar
    for claim in answer.recording.claims:
        take = claim.take
        if take is None or take.state != "running":
            continue
        since = ""
        if take.at_us is not None:
            since = f", since {datetime_of(take.at_us).astimezone(calendar.zone):%H:%M}"
        by = f" ({take.by})" if take.by else ""
        yield Task(
            "running", "session", f"{claim.label} still runs{since}{by}", "end it at the machine",
            reel=answer.reel, since=calendar.local_day(take.day, take.at_us),
        )  # fmt: skip


def _to_hear(answer: Advice) -> Iterator[Task]:
    reason = next((reason for reason in answer.reasons if reason.code == "wiped-not-heard"), None)
    # what is retired, or fit for nothing, is not played for this
    if reason is None or answer.verdict == "retire":
        return
    calendar = answer.view.house.calendar
    days = [
        calendar.local_day(row.day, row.at_us) for _, _, row in answer.view.spans("wipes") if row.entry in reason.facts
    ]
    known = [day for day in days if day is not None]
    yield Task("wiped-not-heard", "wipe", reason.says, reason.remedy, reel=answer.reel, since=max(known, default=None))


def _holds(answer: Advice) -> Iterator[Task]:
    """Holds that end within the house's notice; and those past their day that nobody ended, while they are the last
    that held something live."""
    house, view = answer.view.house, answer.view
    today, calendar = house.as_of.day, house.calendar
    is_held = any(reason.code == "on-hold" for reason in answer.reasons)
    for row in {row.entry: row for _, _, row in view.spans("holds")}.values():
        if row.until is None or row.until - today > house.rules.number("hold_notice_days"):
            continue
        begun = calendar.binds(row.day, row.at_us)
        if any(calendar.loosens(end.day, end.at_us) > begun for end in house.keyed("hold_ends", row.hold)):
            continue
        whose = f"hold {row.hold} of {row.by or 'somebody not named'}"
        if row.until < today:
            if is_held or not answer.recording.live.atoms:
                continue
            says = (
                f"{whose} held till {_days_ago(today - row.until)}, and nothing holds what is on it now: {row.reason}"
            )
            remedy = "hold it anew, or enter that the hold has ended"
        else:
            left = row.until - today
            when = "today" if left == 0 else "tomorrow" if left == 1 else f"in {left} days"
            says = f"{whose} ends {when}: {row.reason}"
            remedy = "ask whoever made it, and hold it anew if it is to last"
        yield Task("hold-ending", "reel", says, remedy, reel=answer.reel, hold=row.hold, since=row.until)


def _days_ago(days: int) -> str:
    return "yesterday" if days == 1 else f"{days} days ago"


def _proofs(answer: Advice) -> Iterator[Task]:
    """One task for all that is to be transferred of a reel, and one for each transfer that waits."""
    if not answer.recording.kept:
        return
    takes = [
        take
        for take in take_proofs(answer)
        if take.action is not None and not (take.take is not None and take.take.state == "running")
    ]
    bare = [take for take in takes if take.action is not None and take.action.code == "transfer"]
    if bare:
        yield _to_transfer(answer, bare)
    waiting: dict[str, list[TakeProof]] = {}
    for take in takes:
        if take.action is not None and take.action.code != "transfer" and take.action.transfer is not None:
            waiting.setdefault(take.action.transfer, []).append(take)
    for name, those in waiting.items():
        yield _waiting(answer, name, those)


def _to_transfer(answer: Advice, takes: Sequence[TakeProof]) -> Task:
    calendar = answer.view.house.calendar
    sorts: dict[str, list[str]] = {}
    for take in takes:
        code = take.missing[0][0] if take.missing else ""
        words = {"not-transferred": "never transferred", "format-too-low": "in too low a format"}
        sorts.setdefault(words.get(code, "transferred in part"), []).append(take.label.removeprefix("take "))
    made = [calendar.local_day(take.take.day, take.take.at_us) for take in takes if take.take is not None]
    return Task(
        "to-transfer",
        "proof",
        "; ".join(f"{few(labels)} {words}" for words, labels in sorts.items()),
        "transfer what is missing, then prove the transfer",
        reel=answer.reel,
        since=min((day for day in made if day is not None), default=None),
    )


def _waiting(answer: Advice, name: str, takes: Sequence[TakeProof]) -> Task:
    calendar = answer.view.house.calendar
    action = takes[0].action
    assert action is not None
    transfer = next(each for each in takes[0].transfers if each.transfer.transfer == name)
    made = calendar.local_day(transfer.transfer.day, transfer.transfer.at_us)
    labels = few([take.label.removeprefix("take ") for take in takes])
    faults = "; ".join(fault.says for fault in (*transfer.proof.faults, *transfer.proof.copies))
    says = f"{labels} {'rests' if len(takes) == 1 else 'rest'} on it: {faults}"
    if action.code == "wait":
        return Task("cooling-off", "copies", says, action.says, reel=answer.reel, transfer=name, since=made)
    return Task(
        "to-prove", "listen" if action.code == "listen" else "prove", says, action.says, reel=answer.reel,
        transfer=name, copy=action.copy or "", since=made,
    )  # fmt: skip


def _out(answer: Advice) -> Iterator[Task]:
    house = answer.view.house
    row = away(answer.view)
    if row is None or row.kind != "out":
        return
    left = house.calendar.local_day(row.day, row.at_us)
    most = house.rules.number("out_days")
    if left is not None and house.as_of.day - left <= most:
        return
    where = f" ({row.to})" if row.to else ""
    days = "nobody said since when" if left is None else f"{house.as_of.day - left} days"
    yield Task(
        "overdue",
        "return",
        f"out{where}, {days}; more than {most} is asked after",
        "ask for it, and enter its return when it is back",
        reel=answer.reel,
        since=left,
    )


def _to_inspect(answer: Advice) -> Iterator[Task]:
    if answer.verdict != "inspect":
        return
    seen = Judge(answer.view.house.inspected(answer.reel)).advise(answer.reel)
    if seen.verdict in ("clear", "blank"):
        yield Task("to-inspect", "shelf", f"it would be {seen.verdict}", "inspect it", reel=answer.reel)


def _to_retire(answer: Advice) -> Iterator[Task]:
    if answer.verdict != "retire" or any(reason.code == "retired" for reason in answer.reasons):
        return
    against = [reason.says for reason in answer.reasons if reason.about == "tape" and reason.severity == "no"]
    # what bars most grades first; a fault that names no grade bars all
    why = sorted(against, key=lambda says: -(sum(grade in says for grade in GRADES) or len(GRADES)))
    remedy = "it is fit for no grade any more: enter its retirement, and keep it apart"
    yield Task("to-retire", "retire", "; ".join(why), remedy, reel=answer.reel)
