"""Lines of a sheet to read, from what the record says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from stock.core.acts import way_to_clear, way_words
from stock.core.critical import Trust
from stock.core.explain import EXPLAINED, VERDICTS_EXPLAINED
from stock.core.reasons import Reason
from stock.core.to_do import ToDo
from stock.core.trust_words import Weight, place_words, trust_lines
from stock.core.verdict import Advice
from stock.core.words import speed_words


class SheetLine(NamedTuple):
    """One line: what it is about (empty where it goes on from the line before), its words, how weighty they are."""

    label: str
    says: str
    weight: Weight = "plain"


def to_do_lines(found: Sequence[ToDo]) -> list[SheetLine]:
    """What is to be done, each reel named once."""
    lines: list[SheetLine] = []
    before = ""
    for each in found:
        lines.append(SheetLine("" if each.reel == before else each.reel, each.says))
        before = each.reel
    return lines or [SheetLine("", "Nothing is left to do with the reels used today.", "quiet")]


def trust_title(trust: Trust) -> str:
    """What place the check is of."""
    return f"Reel {trust.on.reel} at {place_words(trust)}, {speed_words(trust.on.speed)}: can it be trusted here?"


def trust_sheet(trust: Trust) -> list[SheetLine]:
    """All that is known of the place."""
    return [SheetLine(*line) for line in trust_lines(trust)]


_WEIGHTS: dict[str, Weight] = {"no": "no", "doubt": "doubt", "note": "quiet"}


def why_title(advice: Advice) -> str:
    """What is explained."""
    asked = "may it be wiped?" if advice.verdict in ("clear", "blank") else "why is it not clear?"
    return f"Reel {advice.reel}, {advice.verdict}: {asked}"


def why_sheet(
    advice: Advice, rules: Mapping[str, str], first: Reason | None = None, speed: int | None = None
) -> list[SheetLine]:
    """The verdict in words, what to do in order, then every reason, each code explained once.

    rules: values of house rules as they are typed, by name. first: a reason that is told before all else. speed: the
    one the advice was given at.
    """
    lines: list[SheetLine] = []
    if first is not None:
        lines += [SheetLine(first.about, first.says, _WEIGHTS[first.severity]), *explained_lines(first.code, rules)]
        lines.append(SheetLine("", ""))
    lines.append(SheetLine(advice.verdict, VERDICTS_EXPLAINED[advice.verdict]))
    way = way_to_clear(advice, speed)
    if words := way_words(way):
        lines.append(SheetLine("what to do", words, "quiet" if way.enough else "doubt"))
        lines += [SheetLine("", f"{number}. {act.says}") for number, act in enumerate(way.acts, 1)]
    told = {first.code} if first is not None else set()
    for reason in advice.reasons:
        if reason == first:
            continue
        lines.append(SheetLine("", ""))
        lines.append(SheetLine(reason.about, reason.says, _WEIGHTS[reason.severity]))
        if reason.code not in told:
            told.add(reason.code)
            lines += explained_lines(reason.code, rules)
    return lines


def explained_lines(code: str, rules: Mapping[str, str]) -> list[SheetLine]:
    """What a reason means and why it matters, what changes it, the rules it rests on and what is entered."""
    found = EXPLAINED[code]
    lines = [SheetLine("means", f"{found.means} {found.why}", "quiet")]
    if found.changes:
        lines.append(SheetLine("changes it", f"{found.changes}."))
    if found.rules:
        lines.append(SheetLine("house rules", "; ".join(f"{name} {rules[name]}" for name in found.rules), "quiet"))
    if found.enter:
        kinds = ", ".join(kind.replace("-", " ") for kind in found.enter)
        lines.append(SheetLine("enter", kinds, "quiet"))
    return lines
