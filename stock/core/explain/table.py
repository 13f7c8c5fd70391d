"""Every code the program gives, explained: found by the code."""

from __future__ import annotations

from collections.abc import Sequence

from stock.core.explain.explanation import Explanation, Of
from stock.core.explain.files import FILES
from stock.core.explain.recording import RECORDING
from stock.core.explain.refusals import PICK, WIPE
from stock.core.explain.tape import TAPE
from stock.core.explain.verdicts import GRADE, TRUST, VERDICTS

EXPLANATIONS: tuple[Explanation, ...] = (*RECORDING, *TAPE, *VERDICTS, *GRADE, *TRUST, *WIPE, *PICK, *FILES)

_BY_KEY = {(each.of, each.code): each for each in EXPLANATIONS}


def explain(of: Of, code: str) -> Explanation:
    """The explanation of one code (KeyError where there is none)."""
    return _BY_KEY[of, code]


def explained(code: str) -> list[Explanation]:
    """All a code may stand for; several where it is a reason and an answer as well, none for an unknown one."""
    return [each for each in EXPLANATIONS if each.code == code]


def near(code: str) -> Sequence[str]:
    """Codes that are spelled like one that is none, the nearest first."""
    from difflib import get_close_matches

    return get_close_matches(code, sorted({each.code for each in EXPLANATIONS}), 3)
