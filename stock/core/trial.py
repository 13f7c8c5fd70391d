"""What other house rules would make of the shelf: the verdict of every reel before and after."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from stock.core.fitness import judge_tape
from stock.core.house import House
from stock.core.rules import GRADES, Grade, RuleDefinition
from stock.core.verdict import VERDICTS, Judge, Verdict, verdict_of_tape

FREE: frozenset[Verdict] = frozenset({"clear", "blank"})
"""The verdicts under which a reel may be recorded on: what turns into one of them is said loudly."""

_GRADED = ("passes", "wipes", "response_fall", "severity")
OF_TAPE = frozenset(
    {
        *(f"{stem}_{grade}" for stem in _GRADED for grade in GRADES),
        "inspection_days_critical",
        "inspection_days_standard",
        "binder_watch_days",
        "usual_speed",
        "shortest_stretch",
        "splice_guard_s",
        "unused_head_s",
        "unused_head_length",
        "unused_tail_s",
    }
)
"""The house rules that only the answer about the tape rests on."""
OF_RECORDING = frozenset(
    {
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
"""Those that only the answer about the recording rests on; what is live on a reel rests on none."""
JUDGED = OF_TAPE | OF_RECORDING | {"time_zone"}
"""All that verdicts rest on. The other rules bear on what is asked, planned or bought, and on no verdict."""


class Standing(NamedTuple):
    """What a reel is good for. grade: of a clear or blank reel the best its tape is surely fit for, else None."""

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


def standing(verdict: Verdict, grade: Grade | None) -> Standing:
    """How a reel of that verdict stands. grade: the best its tape is fit for, whatever the verdict."""
    return Standing(verdict, grade if verdict in FREE else None)


def standings(house: House, reels: Iterable[str]) -> Iterator[tuple[str, Standing]]:
    """How some reels of a house stand, in the order given (KeyError for an unknown one)."""
    judge = Judge(house)
    for number in reels:
        yield number, _judged(judge, number)
        judge.forget(number)


def under(
    house: House, changed: Collection[str], stood: Iterable[tuple[str, Standing]]
) -> Iterator[tuple[str, Standing, Standing]]:
    """How reels stand in a house with other rules: number, before, after.

    changed: the names of the rules that are other than where the reels stood as `stood` says. Of the two questions
    only that is judged anew which rests on one of them.
    """
    judge = Judge(house)
    judged = JUDGED & set(changed)
    after = _judged_tape if judged <= OF_TAPE else _judged_recording if judged <= OF_RECORDING else _judged_anew
    for number, before in stood:
        yield number, before, after(judge, number, before)
        judge.forget(number)


def _judged(judge: Judge, reel: str) -> Standing:
    answer = judge.advise(reel)
    return standing(answer.verdict, answer.best_grade)


def _judged_anew(judge: Judge, reel: str, _before: Standing) -> Standing:
    return _judged(judge, reel)


def _judged_tape(judge: Judge, reel: str, before: Standing) -> Standing:
    """Whether the recording may go stays as it was."""
    if before.verdict == "keep":
        return before
    if before.verdict not in FREE:
        return _judged(judge, reel)
    fitness = judge_tape(judge.view(reel))
    return standing(verdict_of_tape(fitness, recorded=before.verdict == "clear"), fitness.best_grade)


def _judged_recording(judge: Judge, reel: str, before: Standing) -> Standing:
    """What the tape is fit for stays as it was."""
    if before.verdict == "blank" and not judge.house.sets_of(reel):
        return before
    if judge.erasable(reel) != "yes":
        return Standing("keep", None)
    return _judged(judge, reel) if before.verdict == "keep" else before


def is_looser(rule: RuleDefinition, before: int | str, after: int | str) -> bool:
    """Whether a value asks for less than another; of rules that are neither stricter nor looser none does."""
    if isinstance(before, str) or isinstance(after, str):
        return False
    return rule.stricter * after < rule.stricter * before
