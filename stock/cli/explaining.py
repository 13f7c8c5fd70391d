"""`why`: why a reel is not clear or blank, in plain words, and what is to be done about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import click

from stock.cli.answers import advice_json, day_of
from stock.cli.commands import house_command
from stock.cli.printing import SEVERITY_SIGNS, say, say_json, signed, width, wrapped
from stock.cli.settings import Settings
from stock.core.explain import ASK_AGAIN, EXPLAINED, VERDICTS_EXPLAINED, Explained, in_the_way, steps_of
from stock.core.reasons import Reason
from stock.core.verdict import Advice

_INDENT = " " * 4


@house_command("why", dated=True, has_json=True)
@click.argument("reel", required=False)
@click.option("--code", metavar="CODE", help="Explain one reason by its code, whatever reel it is about.")
@click.pass_obj
def why(settings: Settings, reel: str | None, code: str | None) -> None:
    """Why is this reel not clear? Every reason explained, and what to do, or one reason by its code.

    Exit status 1 where the reel is neither clear nor blank.
    """
    if code is not None and code.strip() not in EXPLAINED:
        known = ", ".join(EXPLAINED)
        raise click.UsageError(f"there is no reason called {code.strip()!r}; there are: {known}")
    if (reel is None) == (code is None):
        raise click.UsageError("name a reel, or one reason with --code")
    from stock.desk.house_rules import rule_values

    with settings.asking() as desk:
        lines = rule_values(desk)
        advice = next(iter(desk.advise([reel.strip()]))) if reel is not None else None
        day = day_of(desk.as_of())
    if advice is None:
        assert code is not None
        _tell_code(settings, code.strip(), lines)
        return
    if settings.as_json:
        say_json(_answer(advice, day, lines))
    else:
        for line in reel_page(advice, lines, width()):
            say(line)
        say(f"As of {day}.")
    if advice.verdict not in ("clear", "blank"):
        click.get_current_context().exit(1)


def _tell_code(settings: Settings, code: str, lines: Mapping[str, str]) -> None:
    if settings.as_json:
        say_json(_explained_json(code, lines))
        return
    say(code)
    for line in explained_lines(EXPLAINED[code], lines, width()):
        say(line)


def reel_page(advice: Advice, lines: Mapping[str, str], columns: int) -> Iterator[str]:
    """The verdict, what to do in order, then every reason with its explanation, each code explained once."""
    yield f"{advice.reel}  {signed(advice.verdict)}"
    yield from wrapped(VERDICTS_EXPLAINED[advice.verdict], columns, "  ")
    way = in_the_way(advice)
    steps = steps_of(way)
    if steps:
        yield ""
        yield from wrapped(ASK_AGAIN if len(steps) > 1 else "What to do; then ask again:", columns)
        for number, step in enumerate(steps, 1):
            yield from wrapped(f"{step.remedy} ({', '.join(step.codes)})", columns, f"{number:>3} ")
    for about, title in (("recording", "May the recording go?"), ("tape", "Is the tape fit?")):
        reasons = [reason for reason in advice.reasons if reason.about == about]
        if reasons:
            yield ""
            yield title
            yield from _reasons(reasons, lines, columns)


def _reasons(reasons: Sequence[Reason], lines: Mapping[str, str], columns: int) -> Iterator[str]:
    told: set[str] = set()
    for reason in reasons:
        yield from wrapped(f"{SEVERITY_SIGNS[reason.severity]} {reason.code}: {reason.says}", columns, "  ", _INDENT)
        if reason.code not in told:
            told.add(reason.code)
            yield from explained_lines(EXPLAINED[reason.code], lines, columns)


def explained_lines(found: Explained, lines: Mapping[str, str], columns: int) -> Iterator[str]:
    """One explanation: what it means and why, what changes it, the house rules with their values, what to enter."""
    yield from wrapped(f"{found.means} {found.why}", columns, _INDENT)
    if found.changes:
        yield from wrapped(f"{found.changes}.", columns, f"{_INDENT}what changes it: ", _INDENT + "  ")
    for name in found.rules:
        yield from wrapped(f"{name}: {lines[name]}", columns, f"{_INDENT}house rule ", _INDENT + "  ")
    if found.enter:
        yield from wrapped(", ".join(f"`add {kind}`" for kind in found.enter), columns, f"{_INDENT}enter: ")


def _explained_json(code: str, lines: Mapping[str, str]) -> dict[str, Any]:
    found = EXPLAINED[code]
    return {
        "code": code,
        "means": found.means,
        "why": found.why,
        "changes": found.changes or None,
        "rules": {name: lines[name] for name in found.rules},
        "enter": list(found.enter),
    }


def _answer(advice: Advice, day: str, lines: Mapping[str, str]) -> dict[str, Any]:
    codes = dict.fromkeys(reason.code for reason in advice.reasons)
    return {
        "as_of": day,
        **advice_json(advice),
        "means": VERDICTS_EXPLAINED[advice.verdict],
        "steps": [{"remedy": step.remedy, "codes": list(step.codes)} for step in steps_of(in_the_way(advice))],
        "explained": [_explained_json(code, lines) for code in codes],
    }
