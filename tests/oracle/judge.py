"""A second judge of a house's reels: plain, slow and independent, to compare the program's answers with.

The recording question is in `recording` (with `ground`, `lives`, `proof` and `standing`), the fitness question in
`fitness`; here they meet.
"""

from __future__ import annotations

from datetime import date
from typing import TypedDict

from .book import Book
from .fitness import GRADES, fitness, survey_wear
from .ground import Live, survey, take_key
from .lives import given_up
from .recording import add_sets, own_answer
from .texts import House


class Judgement(TypedDict):
    """One reel's answer; `live_kept` says that a take nobody gave up is live on it."""

    verdict: str
    erasable: str
    fit: dict[str, str]
    recording_codes: set[tuple[str, str]]
    tape_codes: set[str]
    live_kept: bool


def verdict_of(erasable: str, fit: dict[str, str], retired: bool, anything_live: bool) -> str:
    """The first verdict that matches."""
    if erasable != "yes":
        return "keep"
    if retired or all(fit[grade] == "no" for grade in GRADES):
        return "retire"
    if any(fit[grade] == "yes" for grade in GRADES):
        return "clear" if anything_live else "blank"
    return "inspect"


def judge(house: House, as_of: date) -> dict[str, Judgement]:
    """Judge every reel of a house as it stood at the end of a day."""
    book = Book(house, as_of)
    ground = survey(book)
    wear = survey_wear(book)
    answers = {reel: own_answer(ground, reel) for reel in book.reels}
    add_sets(ground, answers)

    def kept(live: Live) -> bool:
        takes = {take_key(item.row): item for item in ground.recordings if item.is_take}
        return any(key not in takes or not given_up(ground, takes[key], live) for key in live.owners)

    judged: dict[str, Judgement] = {}
    for reel, answer in answers.items():
        fit, tape_codes = fitness(wear, reel)
        if answer.erasable == "yes" and not answer.lives:
            answer.codes.add(("nothing-recorded", "note"))
        judged[reel] = Judgement(
            verdict=verdict_of(answer.erasable, fit, "retired" in tape_codes, bool(answer.lives)),
            erasable=answer.erasable,
            fit=fit,
            recording_codes=answer.codes,
            tape_codes=tape_codes,
            live_kept=any(kept(live) for live in answer.lives),
        )
    return judged
