"""`trust`: all that is known of one place before the take that must not fail."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.core.critical import Trust

_LABEL = 16


@house_command("trust", dated=True, has_json=True)
@click.argument("reel")
@click.option("--at", metavar="PLACE", required=True, help="By the counter, `12:40`; `475 ft`; a timecode.")
@click.option("--speed", metavar="SPEED", default="", help="`15 ips`; else the house's usual one.")
@click.option(
    "--grade", type=click.Choice(["critical", "standard", "scratch"]), default="critical", help="For which use."
)
@click.option("--take", metavar="TIME", default="", help="How long the take is to be: does it fit from there?")
@click.pass_obj
def trust(settings: Settings, reel: str, at: str, speed: str, grade: Any, take: str) -> None:
    """Can the reel be trusted at a place? Exit status 1 where the answer is not yes."""
    from stock.cli.session import planned_us
    from stock.desk.trusting import trust_at

    with settings.asking() as desk:
        found = trust_at(desk, reel, at, speed=speed, grade=grade, take_us=planned_us(take, "--take"))
    if settings.as_json:
        say_json(_json(found))
    else:
        _print(found)
    if found.answer != "yes":
        click.get_current_context().exit(1)


def _print(found: Trust) -> None:
    from stock.core.trust_words import place_words, trust_lines
    from stock.core.words import speed_words

    columns = width()
    say(f"{found.on.reel} at {place_words(found)}, {speed_words(found.on.speed)}")
    for line in trust_lines(found):
        sign = {"no": "x ", "doubt": "? "}.get(line.weight, "")
        for each in wrapped(f"{sign}{line.says}", columns, f"  {line.label:<{_LABEL}}"):
            say(each)


def _json(found: Trust) -> dict[str, Any]:
    from stock.cli.answers import in_feet, reason_json
    from stock.core.moments import date_of
    from stock.core.tracks import numbers

    on = found.on

    def splice(each: Any) -> dict[str, Any] | None:
        if each is None:
            return None
        joint = each.joint
        return {
            "at_ft": in_feet(joint.at),
            "away_ft": in_feet(each.away),
            "kind": joint.kind,
            "state": joint.state,
            "age_days": each.age_days,
            "facts": list(joint.facts),
        }

    return {
        "as_of": date_of(found.day).isoformat(),
        "reel": on.reel,
        "at": on.clock_at(found.place),
        "at_ft": in_feet(found.place),
        "grade": found.grade,
        "trusted": found.answer,
        "start_ft": None if found.stretch is None else in_feet(found.stretch[0]),
        "end_ft": None if found.stretch is None else in_feet(found.stretch[1]),
        "reasons": [reason_json(reason) for reason in found.reasons],
        "passes": found.wear.tenths / 10,
        "limits": dict(found.wear.limits),
        "splice_before": splice(found.before),
        "splice_after": splice(found.after),
        "findings": [
            {
                "kind": each.kind,
                "severity": each.severity,
                "tracks": None if each.tracks is None else list(numbers(each.tracks)),
                "entry": each.entry,
                "age_days": each.age_days,
            }
            for each in found.faults
        ],
        "response": [
            {
                "frequency_hz": each.frequency_hz,
                "level_db": each.level / 1000,
                "fall_db": None if each.fall is None else each.fall / 1000,
                "machine": each.machine,
                "track": each.track,
                "away_ft": in_feet(each.away),
                "age_days": each.age_days,
            }
            for each in found.response
        ],
        "inspected_days": found.inspected_days,
        "nearby": [
            {
                "take": each.kept.label,
                "start_ft": in_feet(each.kept.lo),
                "end_ft": in_feet(each.kept.hi),
                "tracks": list(numbers(each.kept.mask)),
                "away_ft": in_feet(each.away),
                "safe": each.safe,
            }
            for each in found.nearby
        ],
        "timecode": found.code,
        "fits": None if found.outlook is None else found.outlook.fits,
        "left_s": None if found.outlook is None else round(found.outlook.left_us / 1_000_000, 1),
    }
