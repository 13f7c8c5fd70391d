"""Lines of a sheet to read, from what the record says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from stock.core.acts import way_to_clear, way_words
from stock.core.critical import Trust
from stock.core.explain import EXPLAINED, VERDICTS_EXPLAINED, Explained
from stock.core.explain_answers import PLACES_EXPLAINED
from stock.core.explain_files import REMARKS_EXPLAINED
from stock.core.reasons import Reason
from stock.core.to_do import ToDo
from stock.core.trust_words import Weight, place_words, trust_lines
from stock.core.verdict import Advice
from stock.core.words import speed_words
from stock.proof.facts import Remark


class SheetLine(NamedTuple):
    """One line: what it is about (empty where it goes on from the line before), its words, how weighty they are."""

    label: str
    says: str
    weight: Weight = "plain"


Told = tuple[str, Sequence[SheetLine]]
"""A sheet's title and its lines."""


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


_GAP = SheetLine("", "")
_WEIGHTS: dict[str, Weight] = {"fail": "no", "no": "no", "doubt": "doubt", "note": "quiet"}


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
    before = [reason_said(first)] if first is not None else []
    lines = said_sheet(before, rules)
    if lines:
        lines.append(_GAP)
    lines.append(SheetLine(advice.verdict, VERDICTS_EXPLAINED[advice.verdict]))
    way = way_to_clear(advice, speed)
    if words := way_words(way):
        lines.append(SheetLine("what to do", words, "quiet" if way.enough else "doubt"))
        lines += [SheetLine("", f"{number}. {act.says}") for number, act in enumerate(way.acts, 1)]
    if rest := [reason_said(each) for each in advice.reasons if each != first]:
        lines += [_GAP, *said_sheet(rest, rules, [each.found for each in before])]
    return lines


class Said(NamedTuple):
    """Something an answer says, with what its code means."""

    found: Explained
    line: SheetLine


def reason_said(reason: Reason) -> Said:
    """One reason of an answer."""
    return Said(EXPLAINED[reason.code], SheetLine(reason.about, reason.says, _WEIGHTS[reason.severity]))


def trust_said(trust: Trust) -> list[Said]:
    """The answer about a place, then each reason against it."""
    answer, *_ = trust_sheet(trust)
    return [Said(PLACES_EXPLAINED[trust.answer], answer), *map(reason_said, trust.reasons)]


def remarks_said(remarks: Sequence[Remark]) -> list[Said]:
    """What was found in the files of a copy, what fails it first."""
    ordered = sorted(remarks, key=lambda each: each.severity != "fail")
    return [Said(REMARKS_EXPLAINED[each.code], _remark_line(each)) for each in ordered]


def _remark_line(remark: Remark) -> SheetLine:
    path = remark.path or ""
    says = remark.says if path in remark.says else f"{path}: {remark.says}"
    return SheetLine("fails" if remark.severity == "fail" else "note", says, _WEIGHTS[remark.severity])


def said_sheet(said: Sequence[Said], rules: Mapping[str, str], told: Sequence[Explained] = ()) -> list[SheetLine]:
    """Each with its explanation; what is explained already (told) is not again.

    rules: values of house rules as they are typed, by name.
    """
    lines: list[SheetLine] = []
    told = [*told]
    for each in said:
        lines += [_GAP, each.line] if lines else [each.line]
        if each.found not in told:
            told.append(each.found)
            lines += explained_lines(each.found, rules)
    return lines


def explained_lines(found: Explained, rules: Mapping[str, str]) -> list[SheetLine]:
    """What a reason means and why it matters, what changes it, the rules it rests on and what is entered."""
    lines = [SheetLine("means", f"{found.means} {found.why}", "quiet")]
    if found.changes:
        lines.append(SheetLine("changes it", f"{found.changes}."))
    if found.rules:
        lines.append(SheetLine("house rules", "; ".join(f"{name} {rules[name]}" for name in found.rules), "quiet"))
    if found.enter:
        kinds = ", ".join(kind.replace("-", " ") for kind in found.enter)
        lines.append(SheetLine("enter", kinds, "quiet"))
    return lines
