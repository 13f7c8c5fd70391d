"""`rules`: every house rule with its value in force, its default and its reason."""

from __future__ import annotations

from typing import Any

import click

from stock.cli.answers import day_of
from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, width, wrapped
from stock.cli.settings import Settings
from stock.core.measure import SECOND, Speed
from stock.core.rules import RULES, RuleDefinition, Rules
from stock.core.words import feet, speed_words
from stock.edge.rule_values import in_db


@house_command("rules", dated=True, has_json=True)
@click.pass_obj
def rules(settings: Settings) -> None:
    """The house rules in force, their defaults and reasons. Set one with `reelward add rule`."""
    with settings.asking() as desk:
        house = desk.house(())
    if settings.as_json:
        say_json({"as_of": day_of(house.as_of), "rules": [_answer(rule, house.rules) for rule in RULES]})
        return
    for rule in RULES:
        value, default = rule_words(rule, _value(rule, house.rules)), rule_words(rule, rule.default)
        entry = house.rules.set_by.get(rule.name)
        usual = "the default" if entry is None else f"set by entry {entry}; the default is {default}"
        say(f"{rule.name} = {value}  ({usual})")
        for line in wrapped(rule.help, width(), "    "):
            say(line)
    say()
    for line in wrapped(
        "Limits of passes, reuses and response are the house's own: no published figure was found for how much "
        "professional tape bears.",
        width(),
    ):
        say(line)


def _value(rule: RuleDefinition, held: Rules) -> int | str:
    return held.zone if rule.cell == "zone" else held.number(rule.name)


def _answer(rule: RuleDefinition, held: Rules) -> dict[str, Any]:
    return {
        "rule": rule.name,
        "value": rule_words(rule, _value(rule, held)),
        "default": rule_words(rule, rule.default),
        "help": rule.help,
        "set_by": held.set_by.get(rule.name),
    }


def rule_words(rule: RuleDefinition, value: int | str) -> str:
    """A rule's stored value as one types it."""
    if isinstance(value, str):
        return value
    if rule.cell == "length":
        return feet(value)
    if rule.cell == "speed":
        return speed_words(Speed(value))
    if rule.cell == "time":
        return f"{_decimal(value, SECOND)} s"
    if rule.cell in ("thousandths", "share"):
        return f"{_decimal(value, 1000)}{' dB' if in_db(rule.name) else ''}"
    return f"{value} Hz" if rule.name.endswith("_hz") else str(value)


def _decimal(value: int, one: int) -> str:
    """A count of parts as a decimal number without idle zeros; `one` is a power of ten."""
    whole, part = divmod(value, one)
    digits = str(part).zfill(len(str(one)) - 1).rstrip("0")
    return f"{whole}.{digits}" if digits else str(whole)
