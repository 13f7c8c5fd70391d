"""The program's answers against those of a second, plain judge, on random houses; and its two ways to read a store."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from stock.core.house import House
from stock.core.moments import Calendar, day_number, end_of_day
from stock.core.rules import GRADES
from stock.core.verdict import Advice, advise
from stock.desk.reading import some_reels, whole_house
from stock.store.store import Store
from tests.oracle.houses import AS_OF, random_house
from tests.oracle.judge import judge

from .entry import NOW_US, facts_of, house_of

NIGHTLY = bool(os.environ.get("REELWARD_NIGHTLY"))
SEEDS = 2000 if NIGHTLY else 200
CHUNK = 25
STORED = range(0, 300 if NIGHTLY else 60, 2)
CALENDAR = Calendar("UTC")
DAY = end_of_day(CALENDAR, day_number(AS_OF))
OWN_CODES = ("void-loosened", "worn-out")
"""Notes the second judge does not know."""


def rows_of(seed: int) -> dict[str, list[dict[str, str]]]:
    """A random house by file stem."""
    return {file.removesuffix(".csv"): rows for file, rows in random_house(seed).items()}


def house(empty: Store, seed: int) -> House:
    return house_of(facts_of(empty, rows_of(seed)), DAY)


def summary(answer: Advice) -> dict[str, Any]:
    """An answer as the second judge words it."""
    return {
        "verdict": answer.verdict,
        "erasable": answer.erasable,
        "fit": {grade: answer.fit(grade).answer for grade in GRADES},
        "recording_codes": {
            (reason.code, reason.severity)
            for reason in answer.reasons
            if reason.about == "recording" and reason.code not in OWN_CODES
        },
    }


@pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
def test_two_judges_agree(empty: Store, first: int) -> None:
    for seed in range(first, first + CHUNK):
        wanted = judge(random_house(seed), AS_OF)
        found = {answer.reel: summary(answer) for answer in advise(house(empty, seed))}
        assert found.keys() == wanted.keys()
        for reel, judged in wanted.items():
            assert found[reel] == {name: word for name, word in judged.items() if name in found[reel]}, (seed, reel)


def test_much_of_what_may_go_is_what_somebody_meant_to_keep(empty: Store) -> None:
    # an agreement on empty reels alone would prove little
    may_go = kept = 0
    for seed in range(200):
        wanted = judge(random_house(seed), AS_OF)
        for answer in advise(house(empty, seed)):
            if answer.erasable == "yes":
                may_go += 1
                kept += wanted[answer.reel]["live_kept"]
    assert may_go >= 150
    assert 3 * kept >= may_go


@pytest.fixture(params=STORED)
def stored(request: pytest.FixtureRequest, empty: Store, tmp_path: Path) -> Iterator[tuple[Store, House]]:
    """A random house in a store, and the same house straight from its facts."""
    facts = facts_of(empty, rows_of(request.param))
    store = Store.open(tmp_path / "house.db", now_us=lambda: NOW_US)
    with store.writing() as writer:
        writer.add(facts, who="Ada Quill", what="load", at_us=NOW_US)
        writer.commit()
    yield store, house_of(facts, DAY, made_us=NOW_US)
    store.close()


def test_reading_one_reel_answers_as_reading_the_whole_house(stored: tuple[Store, House]) -> None:
    store, straight = stored
    with store.reading() as reader:
        whole = {answer.reel: answer for answer in advise(whole_house(reader, CALENDAR, DAY))}
        assert [(a.reel, a.reasons, summary(a)) for a in whole.values()] == [
            (a.reel, a.reasons, summary(a)) for a in advise(straight)
        ]
        for reel, answer in whole.items():
            (alone,) = advise(some_reels(reader, CALENDAR, DAY, [reel]), [reel])
            assert alone.reasons == answer.reasons, reel
            assert summary(alone) == summary(answer), reel
            assert alone.fitness.wear == answer.fitness.wear, reel
            assert alone.fitness.joints == answer.fitness.joints, reel
            assert alone.fitness.grades == answer.fitness.grades, reel
