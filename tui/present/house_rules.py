"""House rules as lines: the list by groups, all about one rule, and what another value would change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from stock.core.measure import SECOND
from stock.core.rule_groups import Group, unit_of, what_of
from stock.core.rules import RuleDefinition
from stock.desk.rule_words import effect_said, named, reels_words
from stock.edge.rule_values import rule_words
from stock.edge.visible import safe
from tui.present.line import Line, Piece, text_of
from tui.present.row import fitted

if TYPE_CHECKING:
    from stock.desk.house_rules import RuleLine, Trial

CHANGED = "\u2022"
"""Before a rule that is not at its default."""

_ENDINGS = ("_s", "_hz", "_db")
"""Ends of names that say the unit, which stands behind the value."""
_ONE = {"copies": "copy", "media": "medium", "passes": "pass"}
_NAME, _VALUE, _DEFAULT, _BY = 24, 13, 13, 22
_ROOMY = 112
_FEW, _MANY = 5, 10
_HOUR_US = 3600 * SECOND
_SIGNS = {"! ": ("!! ", "unlogged"), "~ ": ("   ", "plain"), "- ": ("   ", "quiet")}


def rule_name(rule: RuleDefinition) -> str:
    """A rule's name in words; its unit stands with the value."""
    name = rule.name
    for ending in _ENDINGS:
        name = name.removesuffix(ending)
    return name.replace("_", " ")


def value_words(rule: RuleDefinition, value: int | str) -> str:
    """A rule's value with its unit: `14 days`, `1 copy`, `10 %`."""
    if isinstance(value, int) and rule.cell == "share":
        return f"{value // 10}{f'.{value % 10}' if value % 10 else ''} %"
    if isinstance(value, int) and rule.cell == "time" and value and not value % _HOUR_US:
        return f"{value // _HOUR_US} h"
    words, unit = rule_words(rule, value), unit_of(rule)
    if rule.cell != "count" or words != str(value) or unit[0].isdigit() or unit == "number":
        return words
    return f"{words} {_ONE.get(unit, unit.removesuffix('s')) if value == 1 else unit}"


def head_line(width: int) -> Line:
    """The heads over the list."""
    return (Piece("  " + _columns("rule", "value", "default", "set by", "what it is", width), "quiet"),)


def group_line(group: Group) -> Line:
    """A group's heading."""
    return Piece(group.title, "mark"), Piece(f"   {group.about}", "quiet")


def rule_line(line: RuleLine, width: int) -> Line:
    """One rule; one that is not at its default is marked."""
    told = line.set_by
    by = safe(f"{told.day} {told.by}".strip()) if told else ""
    default = value_words(line.rule, line.rule.default) if line.changed else ""
    words = _columns(rule_name(line.rule), value_words(line.rule, line.held), default, by, what_of(line.rule), width)
    return Piece(f"{CHANGED} " if line.changed else "  ", "mark"), Piece(words, "strong" if line.changed else "plain")


def _columns(name: str, value: str, default: str, by: str, what: str, width: int) -> str:
    cells = [fitted(name, _NAME), fitted(value, _VALUE), fitted(default, _DEFAULT)]
    left = width - 2 - _NAME - _VALUE - _DEFAULT - 3
    if width >= _ROOMY:
        return " ".join([*cells, fitted(what, left - _BY - 1), fitted(by, _BY)])
    return " ".join([*cells, fitted(by, max(left, 1))])


def summary(lines: Sequence[RuleLine]) -> str:
    """How many rules there are, and how many are not at their default."""
    changed = sum(line.changed for line in lines)
    return f"{len(lines)} rules, {changed or 'none'} not at {'its' if changed == 1 else 'their'} default"


def detail_lines(line: RuleLine) -> list[Line]:
    """What a rule is and why, who set it, and the name it is entered by."""
    return [
        (Piece(_sentence(what_of(line.rule)), "strong"), Piece(f"  {line.why}", "plain")),
        origin_line(line),
        (Piece(f"{line.group.title}; entered as {line.rule.name}", "quiet"),),
    ]


def origin_line(line: RuleLine) -> Line:
    """What is in force, since when, by whom, and the default."""
    told, value = line.set_by, value_words(line.rule, line.held)
    if told is None:
        return Piece(value, "strong"), Piece(", the default; nobody set another", "quiet")
    pieces = [Piece(value, "strong"), Piece(f", set by {safe(told.by) or 'somebody not named'}")]
    if told.day:
        pieces.append(Piece(f" on {told.day}"))
    if told.note:
        pieces.append(Piece(f": {safe(told.note)}", "quiet"))
    default = value_words(line.rule, line.rule.default)
    pieces.append(Piece(f"  (default {default})" if line.changed else "  (as the default)", "quiet"))
    return tuple(pieces)


def page_lines(lines: Sequence[RuleLine]) -> list[str]:
    """All rules told in full, to be copied or printed."""
    told: list[str] = [summary(lines)]
    group: Group | None = None
    for line in lines:
        if line.group != group:
            group = line.group
            told += ["", f"{group.title}: {group.about}"]
        told += [
            f"  {rule_name(line.rule)}: {text_of(origin_line(line))}",
            f"      {_sentence(what_of(line.rule))} {line.why}",
        ]
    return told


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}."


def effect_lines(trial: Trial, width: int) -> list[Line]:
    """What a rule tried would change; what becomes free first, and loudly."""
    lines: list[Line] = []
    for sign, words in effect_said(trial, _MANY if width >= _ROOMY else _FEW):
        before, ink = _SIGNS[sign]
        lines.append((Piece(before, ink), Piece(safe(words), ink)))
    if trial.loosens:
        lines.append((Piece("   You are asked a second time before it is set.", "doubt"),))
    return lines


def second_question(trial: Trial) -> str:
    """What is asked before a looser rule is entered."""
    (tried,) = trial.tried
    asks = f"{rule_name(tried.rule).capitalize()}: {tried.after} instead of {tried.before}."
    freed = trial.effect.freed
    if not freed:
        return f"{asks} It guards what is recorded, and asks for less than before. Set it all the same?"
    whom = "it" if len(freed) == 1 else "them"
    return (
        f"{asks} {reels_words(len(freed))} would become clear or blank: {named(freed, _FEW)}. What is on {whom} could "
        "be wiped or recorded over then, and nobody can undo that. Set it all the same?"
    )


def progress_words(done: int, total: int) -> str:
    """How far it is."""
    return f"{done} of {total} reels judged \u2026  Esc stops" if total else "working it out \u2026  Esc stops"
