"""An explanation names the house rules that its reason rests on: those that take it away or bring it, and no other."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from stock.core.explain import EXPLAINED
from stock.core.house import House
from stock.core.reasons import RECORDING_CODES, TAPE_CODES
from stock.core.rule_groups import stem_of
from stock.core.rules import BY_NAME
from stock.core.trial import JUDGED
from stock.core.verdict import advise
from stock.store.store import Store

from .builder import Studio
from .cases import Case
from .test_reason_codes import CASES

FOLLOWS = {"copy-check-failed", "void-loosened", "worn-out"}
"""Codes that follow from the whole of an answer: whatever that rests on, in the end, they do."""
RULES = sorted(JUDGED - {"time_zone", "usual_speed"})
EXTREMES = (0, 1, 100_000_000)
"""From nothing to more days, passes, feet or seconds than any house has."""


def gives(house: House, case: Case) -> bool:
    (answer,) = advise(house, ["R1"])
    return any((reason.code, reason.about) == (case.code, case.about) for reason in answer.reasons)


def bearing(empty: Store, case: Case) -> Iterator[str]:
    """The rules of which some value brings the reason of a case, or takes it away."""
    for fires in (True, False):
        studio = Studio(empty)
        case.tell(studio, fires)
        house = studio.house()
        given = gives(house, case)
        for name in RULES:
            values = [value for value in EXTREMES if value != BY_NAME[name].default]
            if any(gives(house.with_rules({name: value}), case) != given for value in values):
                yield name


@pytest.mark.parametrize("code", sorted({*RECORDING_CODES, *TAPE_CODES} - FOLLOWS))
def test_the_rules_named_are_those_it_rests_on(empty: Store, code: str) -> None:
    found = {name for case in CASES if case.code == code for name in bearing(empty, case)}
    named = set(EXPLAINED[code].rules)
    assert found <= named, "a rule that changes it is not named"
    # a case is about one grade, the explanation about all
    assert {stem_of(name) for name in named} == {stem_of(name) for name in found}, "a rule named changes nothing"


@pytest.mark.parametrize("code", sorted(FOLLOWS))
def test_what_follows_from_a_whole_answer_names_none(code: str) -> None:
    assert EXPLAINED[code].rules == ()
