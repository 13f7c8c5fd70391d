"""Every reason is seen to be given, and seen not to be given one unit away from its limit."""

from __future__ import annotations

import pytest

from stock.core.reasons import RECORDING_CODES, TAPE_CODES
from stock.store.store import Store

from .builder import Studio
from .cases import Case
from .recording_cases import RECORDING
from .tape_cases import TAPE

CASES = [*RECORDING, *TAPE]


def given(empty: Store, case: Case, fires: bool) -> bool:
    """Whether R1 is given the case's reason, at its severity."""
    studio = Studio(empty)
    case.tell(studio, fires)
    reasons = {(reason.code, reason.about, reason.severity) for reason in studio.answer().reasons}
    return (case.code, case.about, case.severity) in reasons


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.name}")
def test_a_reason_is_given_just_past_its_limit_and_not_on_it(empty: Store, case: Case) -> None:
    assert given(empty, case, True)
    assert not given(empty, case, False)


def test_a_new_code_needs_a_case(empty: Store) -> None:
    fired = {(case.about, case.code) for case in CASES if given(empty, case, True)}
    assert fired == {("recording", code) for code in RECORDING_CODES} | {("tape", code) for code in TAPE_CODES}


def test_nothing_is_wrong_with_the_house_the_cases_start_from(empty: Store) -> None:
    studio = Studio(empty)
    assert [(reason.code, reason.severity) for reason in studio.answer().reasons] == [("nothing-recorded", "note")]
    assert studio.answer().verdict == "blank"
    studio.proved_take()
    assert studio.answer().reasons == []
    assert studio.answer().verdict == "clear"
