"""What is to be done, as lines for the screen: groups under their heads, long ones folded, and one task in full."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from stock.core.moments import date_of
from stock.core.now import HEADS, Code, Cure, Group, Task
from stock.edge.visible import safe
from tui.present.copies import cell
from tui.present.line import Line, Piece
from tui.present.listing import NO_REELS

FEW = 4
"""Of a longer group so many lines are shown, and how many more there are."""

MORE = 50
"""So many more are shown each time somebody asks."""

_SUBJECT, _SINCE = 11, 9

_AT_ONCE: tuple[Code, ...] = ("running", "unfinished", "wiped-not-heard", "permit-open", "copy-failed", "hold-ending")
_IN_TIME: tuple[Code, ...] = ("to-inspect", "to-retire", "cooling-off")

_CURES: dict[Cure, str] = {
    "session": "opens the session log with it",
    "form": "opens the form where it was left",
    "wipe": "opens its wipe, where it stands",
    "prove": "opens the proving of that copy",
    "listen": "opens the listen of that transfer",
    "proof": "shows what proves each take on it, and what is missing",
    "reel": "opens its page",
    "return": "enters its return",
    "retire": "opens its page, and enters its retirement",
    "copies": "opens the list of copies",
    "orders": "opens the orders",
    "needs": "opens its forecast",
    "shelf": "lists the reels to inspect",
}


class Row(NamedTuple):
    """One line of the list. task: None for the head of a group, and for what unfolds it, which has some left."""

    code: Code
    line: Line
    task: Task | None = None
    left: int = 0

    @property
    def is_head(self) -> bool:
        return self.task is None and not self.left

    @property
    def key(self) -> tuple[str, ...]:
        """By which the same line is found again when others come and go."""
        return self.task.about if self.task is not None else (self.code, "more" if self.left else "head")


def rows_of(groups: Sequence[Group], unfolded: Mapping[Code, int], today: int) -> list[Row]:
    """The lines of the list. unfolded: how many lines of a group are shown, where not just a few."""
    return [row for group in groups for row in _rows(group, unfolded.get(group.code, FEW), today)]


def _rows(group: Group, most: int, today: int) -> Iterator[Row]:
    sign, ink = _sign(group.code)
    head = Piece(f" {sign} ", ink), Piece(group.head, "strong"), Piece(f"  {group.count}", "quiet")
    yield Row(group.code, head)
    # one line that says how many more there are is no shorter than the one it stands for
    shown = group.tasks if len(group.tasks) <= most + 1 else group.tasks[:most]
    for task in shown:
        yield Row(group.code, _task_line(task, today), task)
    left = len(group.tasks) - len(shown)
    if left:
        yield Row(group.code, (Piece(f"   … and {left} more", "mark"),), None, left)


def _sign(code: Code) -> tuple[str, str]:
    if code in _AT_ONCE:
        return "!", "no"
    return ("·", "quiet") if code in _IN_TIME else ("•", "doubt")


def _task_line(task: Task, today: int) -> Line:
    words = task.line[:1].upper() + task.line[1:] if not task.subject else task.line
    if not task.subject:
        return Piece("   "), Piece(safe(words))
    # a need is told of a week to come, which its words name
    when = age_words(task.since, today) if task.cure != "needs" else ""
    return Piece(f"   {cell(task.subject, _SUBJECT)} "), Piece(f"{when:>{_SINCE}}  ", "quiet"), Piece(safe(words))


def age_words(since: int | None, today: int) -> str:
    """How long ago a day was, or how far off it is, in one or two words; empty where it is not known."""
    if since is None:
        return ""
    days = today - since
    if not days:
        return "today"
    size = abs(days)
    count, unit = (size, "day") if size < 60 else (size // 30, "month") if size < 730 else (size // 365, "year")
    words = f"{count} {unit}{'' if count == 1 else 's'}"
    return words if days > 0 else f"in {words}"


def detail_lines(row: Row | None, groups: Sequence[Group], *, roomy: bool = False) -> list[Line]:
    """What is under the cursor in full: how it stands, what to do, what Enter does.

    roomy: in the order one reads, with room between; else what is longest comes last, where it may be cut.
    """
    if row is None:
        return []
    if row.task is None:
        count = next((group.count for group in groups if group.code == row.code), 0)
        return [
            (Piece(HEADS[row.code], "strong"),),
            (Piece(f"{count} of them, {row.left} not shown.", "quiet"),),
            (Piece("Enter ", "mark"), Piece(f"shows {min(row.left, MORE)} more")),
        ]
    task = row.task
    copy = f"copy {task.copy}" if task.copy else ""
    parts = (task.reel, task.transfer, copy, task.hold, task.order, task.stock_item)
    name = ", ".join(safe(part) for part in parts if part)
    since = f"since {date_of(task.since).isoformat()}" if task.since is not None and task.cure != "needs" else ""
    about = [Piece(name, "strong"), Piece(f"   {since}" if name and since else since, "quiet")]
    does = (Piece("Enter ", "mark"), Piece(_CURES[task.cure]))
    says = (Piece(safe(f"{task.says[:1].upper()}{task.says[1:]}.")),)
    head = tuple(piece for piece in about if piece.text)
    remedy = Piece("\u2192 ", "mark"), Piece(safe(task.remedy))
    return [head, (), says, (), remedy, (), does] if roomy else [head, remedy, does, says]


def state_line(groups: Sequence[Group], looked: str, needs: str) -> Line:
    """What the list amounts to, and when it was looked at. needs: what is to be said of the forecast."""
    count = sum(group.count for group in groups)
    at_once = sum(group.count for group in groups if group.code in _AT_ONCE)
    things = f"{count} thing{'' if count == 1 else 's'} to do" if count else "Nothing to do"
    pieces = [Piece(things, "strong")]
    if at_once:
        pieces += [Piece(", "), Piece(f"{at_once} at once", "no")]
    pieces.append(Piece(f"   looked at {looked}", "quiet"))
    if needs:
        pieces.append(Piece(f"   {needs}", "quiet"))
    return tuple(pieces)


def nothing_lines(looked: str, needs: str, has_reels: bool) -> list[Line]:
    """That there is nothing to do, and when that was seen; in a house without reels, how to begin."""
    if not has_reels:
        return [(Piece(line),) for line in NO_REELS.splitlines()]
    lines: list[Line] = [
        (Piece("Nothing to do.", "strong"),),
        (),
        (Piece("No take runs, no wipe waits for a listen, nothing waits for proof,"),),
        (Piece("no copy is due, nothing is out too long, no order is late."),),
        (),
        (Piece(f"Looked at {looked}.", "quiet"),),
    ]
    return [*lines, (Piece(safe(needs), "quiet"),)] if needs else lines
