"""Two questions, one verdict: may the recording go, and is the tape fit to record on?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from stock.core.fitness import Fitness, GradeFit, judge_tape
from stock.core.house import House
from stock.core.layout import LayoutError
from stock.core.reasons import ABOUT, Answer, Reason, answer_of, in_order
from stock.core.record import SetMember, Take
from stock.core.recording import RecordingAnswer, judge_recording
from stock.core.rules import GRADES, Grade
from stock.core.view import View

Verdict = Literal["keep", "retire", "blank", "clear", "inspect"]
VERDICTS: tuple[Verdict, ...] = ("clear", "blank", "inspect", "keep", "retire")


@dataclass
class Advice:
    """The answer about one reel. reasons: weightiest first, recording before tape."""

    reel: str
    verdict: Verdict
    erasable: Answer
    view: View
    recording: RecordingAnswer
    fitness: Fitness
    reasons: list[Reason]

    def fit(self, grade: Grade) -> GradeFit:
        return self.fitness.grades[grade]

    @property
    def best_grade(self) -> Grade | None:
        """The best grade the tape is surely fit for."""
        return self.fitness.best_grade


def verdict_of_tape(fitness: Fitness, *, recorded: bool) -> Verdict:
    """The verdict of a reel on which nothing is to lose. recorded: whether anything is on it that may go."""
    if _is_worn_out(fitness):
        return "retire"
    if fitness.best_grade is None:
        return "inspect"
    return "clear" if recorded else "blank"


def _is_worn_out(fitness: Fitness) -> bool:
    """Whether the tape is retired or fit for no grade."""
    return any(reason.code == "retired" for reason in fitness.reasons) or all(
        fit.answer == "no" for fit in fitness.grades.values()
    )


class Judge:
    """Answers about the reels of a house, each worked out once."""

    def __init__(self, house: House) -> None:
        self.house = house
        self._views: dict[str, View] = {}
        self._recordings: dict[str, RecordingAnswer] = {}

    def view(self, reel: str) -> View:
        """A reel with its facts (KeyError if there is no such reel)."""
        if reel not in self._views:
            self._views[reel] = View(self.house, reel)
        return self._views[reel]

    def recording(self, reel: str) -> RecordingAnswer:
        """May the recording go, the reels of its set apart."""
        if reel not in self._recordings:
            self._recordings[reel] = judge_recording(self.view(reel))
        return self._recordings[reel]

    def forget(self, reel: str) -> None:
        """Let go of what was worked out for a reel that is in no set, so that a whole house needs little memory."""
        if not self.house.sets_of(reel):
            self._views.pop(reel, None)
            self._recordings.pop(reel, None)

    def erasable(self, reel: str) -> Answer:
        """May the recording go, with the reels of its set."""
        return answer_of([*self.recording(reel).reasons, *self._set_reasons(reel)])

    def advise(self, reel: str, speed: int | None = None) -> Advice:
        """The verdict of one reel with all its reasons (KeyError if there is no such reel)."""
        view, recording = self.view(reel), self.recording(reel)
        about_recording = [*recording.reasons, *self._set_reasons(reel)]
        erasable = answer_of(about_recording)
        fitness = judge_tape(view, speed)
        verdict: Verdict = "keep"
        if erasable == "yes":
            verdict = verdict_of_tape(fitness, recorded=bool(recording.live.atoms))
        about_recording += self._notes(reel, erasable, recording, _is_worn_out(fitness))
        reasons = [*in_order(about_recording), *in_order(fitness.reasons)]
        return Advice(reel, verdict, erasable, view, recording, fitness, reasons)

    @staticmethod
    def _notes(reel: str, erasable: Answer, recording: RecordingAnswer, worn_out: bool) -> list[Reason]:
        if erasable == "yes" and not recording.live.atoms:
            return [Reason("nothing-recorded", "recording", "note", "nothing is recorded on it since its last wipe")]
        if erasable != "yes" and worn_out and recording.kept:
            return [
                Reason(
                    "worn-out",
                    "recording",
                    "note",
                    "the tape is fit for no grade any more, but what is on it is not safe yet",
                    "transfer it and prove the transfer, then retire it",
                )
            ]
        return []

    def _in_set_until(self, reel: str, moment: int) -> bool:
        """Whether a reel still belongs to a set: until all its tape was wiped after the set's moment."""
        wiped = self.recording(reel).live.wiped
        return not wiped or any(last <= moment for _, _, last in wiped)

    def _set_reasons(self, reel: str) -> list[Reason]:
        house = self.house
        reasons: list[Reason] = []
        for row in house.sets_of(reel):
            members = house.keyed("sets", row.set)
            if not self._in_set_until(reel, self._set_moment(row)):
                continue
            for other in sorted({member.reel for member in members} - {reel}):
                if other not in self.house_reels:
                    continue
                rows = [member for member in members if member.reel == other]
                if not any(self._in_set_until(other, self._set_moment(member)) for member in rows):
                    continue
                answer = self.recording(other)
                if answer.has_live_take and answer_of(answer.reasons) != "yes":
                    reasons.append(
                        Reason(
                            "set-not-clear",
                            "recording",
                            "no",
                            f"reel {other}, recorded locked to this one, holds takes that may not go",
                            f"see to reel {other} first",
                            facts=tuple(sorted({row.entry, *(member.entry for member in rows)})),
                        )
                    )
        return reasons

    @property
    def house_reels(self) -> frozenset[str]:
        found: frozenset[str] | None = self.house.memo.get("reels")
        if found is None:
            found = self.house.memo["reels"] = frozenset(self.house.reel_numbers)
        return found

    def _set_moment(self, row: SetMember) -> int:
        return self.house.calendar.binds(row.day, row.at_us)


_WEIGHT: dict[Answer, int] = {"no": 0, "unknown": 1, "yes": 2}


def _looser(now: Advice, before: Advice) -> str | None:
    """Which answer is looser now than before: `recording`, `tape`, or None."""
    if _WEIGHT[now.erasable] > _WEIGHT[before.erasable]:
        return "recording"
    if any(_WEIGHT[now.fit(grade).answer] > _WEIGHT[before.fit(grade).answer] for grade in GRADES):
        return "tape"
    return None


def reels_touched(house: House, entry: int) -> Iterator[str]:
    """The reels whose answers a voided entry may bear on."""
    gone = house.gone(entry)
    if gone is None:
        return
    file, row = gone
    if file in ("rules", "formulations", "stock_items", "projects"):
        yield from house.reel_numbers
        return
    tapes = {piece.tape for piece in house.record.more.get(entry, ())}
    reels = set[str]()
    for name, names in (("tape", tapes), ("reel", reels), ("to_reel", reels)):
        value = getattr(row, name, None)
        if value is not None:
            names.add(value)
    if file in ("listens", "copies", "copy_checks"):
        for transfer in house.record.of("transfers"):
            if transfer.transfer == row.transfer:
                tapes.add(transfer.tape)
                tapes.update(piece.tape for piece in house.record.more.get(transfer.entry, ()))
    elif file == "decisions":
        for take in house.record.of("takes"):
            if take.entry == row.take_entry:
                tapes.add(take.tape)
                tapes.update(piece.tape for piece in house.record.more.get(take.entry, ()))
    elif file == "hold_ends":
        for hold in house.record.of("holds"):
            if hold.hold == row.hold and hold.tape is not None:
                tapes.add(hold.tape)
    for tape in tapes:
        reels.add(tape)
        reels.update(house.layouts.homes.get(tape, ()))
    known = set(house.reel_numbers)
    if file == "findings" and row.severity >= 1 and row.tape in known and house.speaks_for_reel(row.kind, row.tape):
        own, batch = house.formulation_of(row.tape), house.reel(row.tape).batch
        if own is not None and batch:
            reels.update(
                number
                for number in house.reel_numbers
                if house.reel(number).batch == batch and house.formulation_of(number) == own
            )
    for reel in sorted(reels & known):
        yield reel
        for member in house.sets_of(reel):
            yield from (other.reel for other in house.keyed("sets", member.set) if other.reel in known)


def advise(house: House, reels: Iterable[str] | None = None, speed: int | None = None) -> Iterator[Advice]:
    """The verdicts of the reels named (KeyError for an unknown one), or of all, in order of number.

    A void that loosened an answer is named among its reasons.
    """
    judge = Judge(house)
    numbers = sorted(set(reels)) if reels is not None else house.reel_numbers
    voided: dict[str, set[int]] = {}
    for entry in house.record.voided:
        if _ended(house, entry):
            continue
        for reel in reels_touched(house, entry):
            voided.setdefault(reel, set()).add(entry)
    for number in numbers:
        advice = judge.advise(number, speed)
        loosened = [_void_reason(house, advice, entry, speed) for entry in sorted(voided.get(number, ()))]
        if any(loosened):
            reasons = [*advice.reasons, *(reason for reason in loosened if reason is not None)]
            advice.reasons = [
                reason for about in ABOUT for reason in in_order([r for r in reasons if r.about == about])
            ]
        yield advice
        judge.forget(number)


def _ended(house: House, entry: int) -> bool:
    """Whether a voided entry is a running take that was entered again from the same place on: when it ended, or got
    another name. That tells more of it, and takes nothing back."""
    gone = house.gone(entry)
    if gone is None or gone[0] != "takes" or gone[1].state != "running":
        return False
    row: Take = gone[1]
    began = house.calendar.binds(row.day, row.at_us)
    return any(
        (take.project, take.speed, take.vary, take.tracks, take.tape, take.lo)
        == (row.project, row.speed, row.vary, row.tracks, row.tape, row.lo)
        and house.calendar.binds(take.day, take.at_us) >= began
        for take in house.takes_of(row.reel)
    )


def _void_reason(house: House, now: Advice, entry: int, speed: int | None) -> Reason | None:
    try:
        other = house.with_back(entry)
        if now.reel not in other.reel_numbers:
            return None
        before = Judge(other).advise(now.reel, speed)
    except LayoutError:
        return None
    about = _looser(now, before)
    if about is None:
        return None
    return Reason(
        "void-loosened",
        "recording" if about == "recording" else "tape",
        "note",
        f"entry {entry} was voided, and this answer is looser without it",
        "make sure that it was void by right",
        facts=(entry, house.record.voided[entry]),
    )
