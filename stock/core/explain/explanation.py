"""What an explanation of a code says, and how the tables of them are written."""

from __future__ import annotations

from typing import Literal, NamedTuple

from stock.core.rules import BY_NAME, GRADES

Of = Literal["recording", "tape", "verdict", "grade", "trust", "wipe", "pick", "files"]
OF_WORDS: dict[Of, str] = {
    "recording": "a reason about the recording",
    "tape": "a reason about the tape",
    "verdict": "a verdict",
    "grade": "a grade of use",
    "trust": "an answer about one place before a take",
    "wipe": "a refusal on the way to a wipe, or to throwing tape away",
    "pick": "why a reel was not picked",
    "files": "a remark on the files of a copy",
}
"""What kinds of codes there are, in words."""


class Explanation(NamedTuple):
    """One code in plain words.

    means: what is the case. stands: why it stands in the way, or what it does not. changes: what would change it, as
    far as the rules promise it. rules: the house rules it rests on. enter: the kinds of fact that bear on it.
    """

    of: Of
    code: str
    means: str
    stands: str
    changes: str
    rules: tuple[str, ...] = ()
    enter: tuple[str, ...] = ()


def explanation(
    of: Of, code: str, means: str, stands: str, changes: str, *, rules: str = "", enter: str = ""
) -> Explanation:
    """An explanation from a table's row. rules, enter: names with spaces between; `passes_*` is each grade's rule."""
    named: list[str] = []
    for name in rules.split():
        stem = name.removesuffix("*")
        named += [name] if stem == name else [stem + grade for grade in GRADES if stem + grade in BY_NAME]
    return Explanation(of, code, means, stands, changes, tuple(named), tuple(enter.split()))
