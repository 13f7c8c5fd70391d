"""All that a code may stand for: a reason, a verdict, a grade, an answer, a refusal, a remark."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from stock.core.explain import EXPLAINED, Explained
from stock.core.explain_answers import GRADES_EXPLAINED, PLACES_EXPLAINED, REFUSALS_EXPLAINED, VERDICTS_IN_FULL
from stock.core.explain_files import REMARKS_EXPLAINED
from stock.core.picking.candidates import PICK_CODES
from stock.core.reasons import RECORDING_CODES, TAPE_CODES


class Sense(NamedTuple):
    """One thing a code stands for. of: what kind of thing, as in `SENSES`."""

    of: str
    found: Explained


SENSES: Mapping[str, Mapping[str, Explained]] = {
    "recording": {code: EXPLAINED[code] for code in RECORDING_CODES},
    "tape": {code: EXPLAINED[code] for code in TAPE_CODES if code not in RECORDING_CODES},
    "pick": {code: EXPLAINED[code] for code in PICK_CODES},
    "verdict": VERDICTS_IN_FULL,
    "grade": GRADES_EXPLAINED,
    "trust": PLACES_EXPLAINED,
    "wipe": REFUSALS_EXPLAINED,
    "files": REMARKS_EXPLAINED,
}
OF_WORDS = {
    "recording": "a reason about the recording",
    "tape": "a reason about the tape",
    "pick": "why a reel is not picked",
    "verdict": "a verdict",
    "grade": "a grade of use",
    "trust": "an answer about a place before a take",
    "wipe": "a refusal of a wipe, or of throwing tape away",
    "files": "a remark on the files of a copy",
}


def senses_of(code: str) -> list[Sense]:
    """What a code stands for, reasons first; several for some, none for an unknown one."""
    return [Sense(of, table[code]) for of, table in SENSES.items() if code in table]


def near(code: str) -> Sequence[str]:
    """Codes spelled like one that there is not, the nearest first."""
    from difflib import get_close_matches

    return get_close_matches(code, sorted({known for table in SENSES.values() for known in table}), 3)
