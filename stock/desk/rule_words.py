"""What house rules that are tried would change, in sentences: for commands and screens alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from stock.core.rule_groups import group_of

if TYPE_CHECKING:
    from stock.desk.house_rules import Trial

Sign = Literal["!", "~", "-"]
"""Before a sentence: something becomes free to wipe or record on; something changes; nothing does."""


def reels_words(count: int) -> str:
    """So many reels."""
    return "1 reel" if count == 1 else f"{count} reels"


def named(reels: Sequence[str], most: int) -> str:
    """The first reels by number, and how many more there are."""
    more = f" and {len(reels) - most} more" if len(reels) > most else ""
    return ", ".join(reels[:most]) + more


def effect_said(trial: Trial, most: int) -> Iterator[tuple[str, str]]:
    """Each thing that would change as its sign and a sentence, what becomes free first. most: reels named in each."""
    for sign, words in _said(trial, most):
        yield f"{sign} ", words


def _said(trial: Trial, most: int) -> Iterator[tuple[Sign, str]]:
    effect = trial.effect
    if not any(each.judged for each in trial.tried):
        about = "; ".join(dict.fromkeys(group_of(each.rule.name).about for each in trial.tried))
        yield "-", f"No verdict rests on it. It bears on {about}."
        return
    if effect.freed:
        yield "!", f"{loud_words(len(effect.freed))}: {named(effect.freed, most)}."
    if effect.moved:
        yield "~", f"{len(effect.moved)} of {reels_words(effect.reels)} would have another verdict:"
    for move in effect.moves:
        yield "~", f"{len(move.reels)} from {move.before} to {move.after}: {named(move.reels, most)}."
    if not effect.moved:
        yield "-", f"None of {reels_words(effect.reels)} would have another verdict."
    grades: dict[tuple[str, str], list[str]] = {}
    for each in effect.regraded:
        grades.setdefault((each.before.grade or "none", each.after.grade or "none"), []).append(each.reel)
    for (before, after), reels in sorted(grades.items()):
        yield "~", f"{len(reels)} stay, at best for {after} instead of {before}: {named(reels, most)}."


def loud_words(count: int) -> str:
    """So many reels would become free to record over, said so that nobody overlooks it."""
    return f"{reels_words(count).upper()} WOULD BECOME CLEAR OR BLANK"
