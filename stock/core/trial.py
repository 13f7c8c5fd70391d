"""What other house rules would make of the shelf: the verdict of every reel before and after, nothing written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from stock.core.house import House
from stock.core.rules import GRADES, Grade, RuleDefinition
from stock.core.verdict import VERDICTS, Judge, Verdict

FREE: frozenset[Verdict] = frozenset({"clear", "blank"})
"""The verdicts under which a reel may be recorded on: what turns into one of them is said loudly."""

_GRADED = ("passes", "wipes", "response_fall", "severity")
JUDGED = frozenset(
    {
        *(f"{stem}_{grade}" for stem in _GRADED for grade in GRADES),
        "inspection_days_critical",
        "inspection_days_standard",
        "binder_watch_days",
        "time_zone",
        "usual_speed",
        "shortest_stretch",
        "splice_guard_s",
        "unused_head_s",
        "unused_head_length",
        "unused_tail_s",
        "stray_s",
        "minimum_rate_hz",
        "minimum_bits",
        "cooling_days",
        "copies_needed",
        "media_needed",
        "elsewhere_needed",
        "copy_check_days",
    }
)
"""The house rules that a verdict rests on. The others bear on what is asked, planned or bought, and on no verdict."""


class Standing(NamedTuple):
    """What a reel is good for. grade: the best the tape is surely fit for, None where it is for none."""

    verdict: Verdict
    grade: Grade | None


class Change(NamedTuple):
    """A reel that stands otherwise under the rules tried."""

    reel: str
    before: Standing
    after: Standing

    @property
    def freed(self) -> bool:
        """Whether it becomes clear or blank and was neither."""
        return self.after.verdict in FREE and self.before.verdict not in FREE


class Move(NamedTuple):
    """The reels that go from one verdict to another, by number."""

    before: Verdict
    after: Verdict
    reels: tuple[str, ...]


@dataclass(frozen=True)
class Effect:
    """What rules would change. reels: how many were judged. changes: those that stand otherwise, by number."""

    reels: int
    changes: tuple[Change, ...]

    @property
    def moved(self) -> tuple[Change, ...]:
        """The reels whose verdict changes."""
        return tuple(each for each in self.changes if each.before.verdict != each.after.verdict)

    @property
    def freed(self) -> tuple[str, ...]:
        """The reels that become clear or blank and were neither."""
        return tuple(each.reel for each in self.changes if each.freed)

    @property
    def moves(self) -> tuple[Move, ...]:
        """The changes of verdict gathered: what becomes free first, then in the order of the verdicts."""
        found: dict[tuple[Verdict, Verdict], list[str]] = {}
        for each in self.moved:
            found.setdefault((each.before.verdict, each.after.verdict), []).append(each.reel)
        gathered = [Move(before, after, tuple(reels)) for (before, after), reels in found.items()]
        return tuple(sorted(gathered, key=_weight))

    @property
    def regraded(self) -> tuple[Change, ...]:
        """The reels free before and after, by the same verdict, whose best grade changes."""
        return tuple(
            each for each in self.changes if each.before.verdict == each.after.verdict and each.before.verdict in FREE
        )


def _weight(move: Move) -> tuple[bool, int, int]:
    freed = move.after in FREE and move.before not in FREE
    return not freed, VERDICTS.index(move.after), VERDICTS.index(move.before)


def standings(house: House, reels: Iterable[str]) -> Iterator[tuple[str, Standing]]:
    """How some reels of a house stand, in the order given (KeyError for an unknown one)."""
    judge = Judge(house)
    for number in reels:
        answer = judge.advise(number)
        yield number, Standing(answer.verdict, answer.best_grade)
        judge.forget(number)


def is_looser(rule: RuleDefinition, before: int | str, after: int | str) -> bool:
    """Whether a value asks for less than another; of rules that are neither stricter nor looser none does."""
    if isinstance(before, str) or isinstance(after, str):
        return False
    return rule.stricter * after < rule.stricter * before
