"""`rules`: every house rule with its value in force, its default and its reason; what others would change."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from stock.cli.answers import day_of
from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.house_rules import RuleLine, Trial

_MOST_NAMED = 8


@house_command("rules", dated=True, has_json=True)
@click.option(
    "--try",
    "tried",
    metavar="RULE=VALUE",
    multiple=True,
    help="Which verdicts such a rule would change; again for more at once. Nothing is written.",
)
@click.pass_obj
def rules(settings: Settings, tried: tuple[str, ...]) -> None:
    """The house rules in force, their defaults and reasons. Set one with `reelward add rule`.

    With --try: how many reels would have another verdict, which, and what would become clear or blank.
    """
    if tried:
        _try(settings, _asked(tried))
        return
    from stock.desk.house_rules import rule_lines

    with settings.asking() as desk:
        as_of, lines = rule_lines(desk)
    if settings.as_json:
        say_json({"as_of": day_of(as_of), "rules": [_answer(line) for line in lines]})
        return
    for line in _page(lines, width()):
        say(line)


def _page(lines: list[RuleLine], columns: int) -> Iterator[str]:
    from stock.core.rule_groups import what_of

    group = None
    for line in lines:
        if line.group != group:
            if group is not None:
                yield ""
            group = line.group
            yield from wrapped(f"{group.title}: {group.about}", columns)
        yield from wrapped(f"{line.rule.name} = {line.value}  ({_origin(line)})", columns, "  ", "      ")
        yield from wrapped(f"{what_of(line.rule)}. {line.why}", columns, "      ")
    yield ""
    yield from wrapped(
        "Limits of passes, reuses and response are the house's own: no published figure was found for how much "
        "professional tape bears.",
        columns,
    )


def _origin(line: RuleLine) -> str:
    told = line.set_by
    if told is None:
        return "the default"
    by = f" by {told.by}" if told.by else ""
    on = f" on {told.day}" if told.day else ""
    return f"set{by}{on}, entry {told.entry}; the default is {line.default}"


def _answer(line: RuleLine) -> dict[str, Any]:
    told = line.set_by
    return {
        "rule": line.rule.name,
        "value": line.value,
        "default": line.default,
        "help": line.rule.help,
        "set_by": None if told is None else told.entry,
        "group": line.group.name,
        "unit": line.unit,
        "why": line.why,
        "by": told.by or None if told is not None else None,
        "date": told.day or None if told is not None else None,
        "note": told.note or None if told is not None else None,
    }


def _asked(tried: tuple[str, ...]) -> dict[str, str]:
    asked: dict[str, str] = {}
    for text in tried:
        name, sign, value = text.partition("=")
        name = name.strip()
        if not sign or not name:
            raise click.UsageError(f"--try: RULE=VALUE was expected, such as `copies_needed=3`, not `{text}`")
        if name in asked:
            raise click.UsageError(f"--try: {name} is named twice")
        asked[name] = value
    return asked


def _try(settings: Settings, asked: dict[str, str]) -> None:
    from stock.desk.house_rules import try_rules

    with settings.asking() as desk:
        trial = try_rules(desk, asked)
    assert trial is not None, "nobody stops it"
    if settings.as_json:
        say_json(_trial_json(trial))
        return
    for line in _trial_page(trial, width()):
        say(line)


def _trial_json(trial: Trial) -> dict[str, Any]:
    effect = trial.effect
    return {
        "as_of": day_of(trial.as_of),
        "tried": [
            {"rule": each.rule.name, "value": each.after, "now": each.before, "looser": each.looser}
            for each in trial.tried
        ],
        "judged": effect.reels,
        "changed": len(effect.moved),
        "freed": list(effect.freed),
        "moves": [
            {"before": move.before, "after": move.after, "count": len(move.reels), "reels": list(move.reels)}
            for move in effect.moves
        ],
        "regraded": [
            {"reel": each.reel, "before": each.before.grade, "after": each.after.grade} for each in effect.regraded
        ],
    }


def _trial_page(trial: Trial, columns: int) -> Iterator[str]:
    from stock.desk.rule_words import effect_said

    for each in trial.tried:
        yield from wrapped(f"{each.rule.name} = {each.after}, where {each.before} is in force", columns)
    for first, words in effect_said(trial, _MOST_NAMED):
        yield from wrapped(words, columns, first)
    yield from wrapped("Nothing was written. Set a rule with `reelward add rule`.", columns)
