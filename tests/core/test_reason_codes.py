"""Every reason is seen to be given, and seen not to be given one unit away from its limit."""

from __future__ import annotations

import pytest

from stock.core.reasons import RECORDING_CODES, TAPE_CODES, Severity
from stock.store.store import Store

from .builder import Studio
from .cases import Case
from .recording_cases import RECORDING
from .tape_cases import TAPE

CASES = [*RECORDING, *TAPE]


def severities(empty: Store, case: Case, fires: bool) -> set[Severity]:
    """The severities at which R1 is given the case's reason; empty where it is not."""
    studio = Studio(empty)
    case.tell(studio, fires)
    return {r.severity for r in studio.answer().reasons if (r.code, r.about) == (case.code, case.about)}


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.name}")
def test_a_reason_is_given_just_past_its_limit_and_not_on_it(empty: Store, case: Case) -> None:
    assert severities(empty, case, True) == {case.severity}
    assert severities(empty, case, False) == set()


def test_a_new_code_needs_a_case(empty: Store) -> None:
    fired = {(case.about, case.code) for case in CASES if severities(empty, case, True)}
    assert fired == {("recording", code) for code in RECORDING_CODES} | {("tape", code) for code in TAPE_CODES}


def test_nothing_is_wrong_with_the_house_the_cases_start_from(empty: Store) -> None:
    studio = Studio(empty)
    assert [(reason.code, reason.severity) for reason in studio.answer().reasons] == [("nothing-recorded", "note")]
    assert studio.answer().verdict == "blank"
    studio.proved_take()
    assert studio.answer().reasons == []
    assert studio.answer().verdict == "clear"
