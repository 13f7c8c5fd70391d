"""What binds never makes a reel clear by being added, nor what loosens by being taken away."""

from __future__ import annotations

import os
from collections import Counter
from random import Random

import pytest

from stock.core.verdict import advise
from stock.store.store import Store

from .changes import CHANGES, Before, Rows
from .entry import facts_of, house_of
from .test_agreement import DAY, rows_of

SEEDS = 2000 if os.environ.get("REELWARD_NIGHTLY") else 300
CHUNK = 25


def asked_for(name: str, before: Before, reel: str) -> bool:
    """Whether all that kept a reel was a doubt that asks for just such an entry.

    A take puts its own demand for proof in the place of `unlogged-recording`. A record pass does so where the doubt is
    a transfer of tape on which nothing was entered: what is entered now must still be covered by a proved transfer.
    """
    if name not in ("add a take", "add a recording"):
        return False
    transfers = {row.entry for row in before.house.record.of("transfers")}
    return all(
        reason.code == "unlogged-recording" and (name == "add a take" or transfers.issuperset(reason.facts))
        for reason in before.answers[reel].reasons
        if reason.about == "recording" and reason.severity != "note"
    )


def clear_by(empty: Store, rows: Rows) -> dict[str, bool]:
    return {answer.reel: answer.verdict == "clear" for answer in advise(house_of(facts_of(empty, rows), DAY))}


@pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
def test_no_change_that_may_not_help_makes_a_reel_clear(empty: Store, first: int) -> None:
    made: Counter[str] = Counter()
    for seed in range(first, first + CHUNK):
        rng, rows = Random(seed), rows_of(seed)
        house = house_of(facts_of(empty, rows), DAY)
        before = Before(house, {answer.reel: answer for answer in advise(house)})
        for name, change in CHANGES.items():
            changed = change(rng, rows, before)
            if changed is None:
                continue
            made[name] += 1
            for reel, clear in clear_by(empty, changed).items():
                if clear and before.answers[reel].verdict != "clear":
                    assert asked_for(name, before, reel), (seed, name, reel)
    assert made.keys() == CHANGES.keys()
