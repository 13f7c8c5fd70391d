"""`why`: why a reel is not clear or blank, in plain words, and what is to be done about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import click

from stock.cli.answers import advice_json, day_of
from stock.cli.commands import house_command
from stock.cli.printing import SEVERITY_SIGNS, say, say_json, signed, width, wrapped
from stock.cli.settings import Settings
from stock.core.acts import way_to_clear, way_words
from stock.core.explain import EXPLAINED, VERDICTS_EXPLAINED, Explained
from stock.core.reasons import Reason
from stock.core.senses import OF_WORDS, Sense, near, senses_of
from stock.core.verdict import Advice

_INDENT = " " * 4


@house_command("why", dated=True, has_json=True)
@click.argument("reel", required=False)
@click.argument("of_it", metavar="[CODE]", required=False)
@click.option(
    "--code", metavar="CODE", help="Explain a code by itself: a reason, verdict, refusal, remark on files ..."
)
@click.pass_obj
def why(settings: Settings, reel: str | None, of_it: str | None, code: str | None) -> None:
    """Why is this reel not clear? What to do, and every reason explained; or one of its reasons; or a code by itself.

    Exit status 1 where the reel is neither clear nor blank.
    """
    if (reel is None) == (code is None):
        raise click.UsageError("name a reel, or a code with --code")
    senses = senses_of(code.strip()) if code is not None else []
    if code is not None and not senses:
        raise click.UsageError(_no_such_code(code.strip()))
    from stock.desk.house_rules import rule_values

    with settings.asking() as desk:
        lines = rule_values(desk)
        advice = next(iter(desk.advise([reel.strip()]))) if reel is not None else None
        day = day_of(desk.as_of())
    if advice is None:
        assert code is not None
        _tell_code(settings, code.strip(), senses, lines)
        return
    only = _one_of(advice, of_it.strip()) if of_it is not None else None
    if settings.as_json:
        say_json(_answer(advice, day, lines, only))
    else:
        for line in reel_page(advice, lines, width()) if only is None else reason_page(advice, only, lines, width()):
            say(line)
        say(f"As of {day}.")
    if advice.verdict not in ("clear", "blank"):
        click.get_current_context().exit(1)


def _no_such_code(code: str) -> str:
    like = near(code)
    hint = f"; did you mean {' or '.join(like)}?" if like else "; `reelward why REEL` tells the codes of a reel"
    return f"there is no code {code!r}{hint}"


def _one_of(advice: Advice, code: str) -> str:
    """The code, where the reel has such a reason."""
    has = dict.fromkeys(reason.code for reason in advice.reasons)
    if code not in has:
        told = f"it has: {', '.join(has)}" if has else "it has none"
        raise click.UsageError(f"reel {advice.reel} has no reason {code!r}; {told}")
    return code


def _tell_code(settings: Settings, code: str, senses: Sequence[Sense], lines: Mapping[str, str]) -> None:
    if settings.as_json:
        told = [{"of": sense.of, **_explained_json(code, sense.found, lines)} for sense in senses]
        say_json({**told[0], "also": told[1:]})
        return
    for sense in senses:
        say(f"{code}: {OF_WORDS[sense.of]}")
        for line in explained_lines(sense.found, lines, width()):
            say(line)


def reel_page(advice: Advice, lines: Mapping[str, str], columns: int) -> Iterator[str]:
    """The verdict, what to do in order, then every reason with its explanation, each code explained once."""
    yield f"{advice.reel}  {signed(advice.verdict)}"
    yield from wrapped(VERDICTS_EXPLAINED[advice.verdict], columns, "  ")
    yield from way_lines(advice, columns)
    for about, title in (("recording", "May the recording go?"), ("tape", "Is the tape fit?")):
        reasons = [reason for reason in advice.reasons if reason.about == about]
        if reasons:
            yield ""
            yield title
            yield from _reasons(reasons, lines, columns)


def way_lines(advice: Advice, columns: int) -> Iterator[str]:
    """What to do, in order, under a line that says whether it would be enough."""
    way = way_to_clear(advice)
    words = way_words(way)
    if words:
        yield ""
        yield from wrapped(words, columns)
    for number, act in enumerate(way.acts, 1):
        answers = f" ({', '.join(act.codes)})" if act.codes else ""
        yield from wrapped(f"{act.says}{answers}", columns, f"{number:>3} ")


def reason_page(advice: Advice, code: str, lines: Mapping[str, str], columns: int) -> Iterator[str]:
    """One of a reel's reasons, wherever it is given, explained."""
    yield f"{advice.reel}  {signed(advice.verdict)}"
    yield from _reasons([reason for reason in advice.reasons if reason.code == code], lines, columns)


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


def _explained_json(code: str, found: Explained, lines: Mapping[str, str]) -> dict[str, Any]:
    return {
        "code": code,
        "means": found.means,
        "why": found.why,
        "changes": found.changes or None,
        "rules": {name: lines[name] for name in found.rules},
        "enter": list(found.enter),
    }


def _answer(advice: Advice, day: str, lines: Mapping[str, str], only: str | None) -> dict[str, Any]:
    way = way_to_clear(advice)
    told = advice_json(advice)
    told["reasons"] = [reason for reason in told["reasons"] if only in (None, reason["code"])]
    codes = dict.fromkeys(reason["code"] for reason in told["reasons"])
    return {
        "as_of": day,
        **told,
        "means": VERDICTS_EXPLAINED[advice.verdict],
        "steps": [
            {
                "remedy": act.says,
                "codes": list(act.codes),
                "act": act.code,
                "transfer": act.transfer,
                "copy": act.copy,
                "number": act.number or None,
            }
            for act in way.acts
        ],
        "enough": way.enough,
        "not_known": list(way.left),
        "explained": [_explained_json(code, EXPLAINED[code], lines) for code in codes],
    }
