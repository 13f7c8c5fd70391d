"""`length`: how much tape is on a reel, by a rule, a counter or a scale."""

from __future__ import annotations

import click

from stock.cli.answers import in_feet
from stock.cli.commands import house_command
from stock.cli.printing import say, say_json, width, wrapped
from stock.cli.settings import Settings
from stock.core.measure import time_of
from stock.core.words import clock, feet


@house_command("length", has_json=True)
@click.argument("reel")
@click.option("--diameter", metavar="SIZE", default="", help="Across the roll of tape, `248 mm`.")
@click.option("--depth", metavar="SIZE", default="", help="From the flange's rim down to the tape, `9 mm`.")
@click.option("--counter-end", metavar="TIME", default="", help="The counter at the tail, `33:10`.")
@click.option("--counter-start", metavar="TIME", default="", help="The counter at the head; else 0:00.")
@click.option("--speed", metavar="SPEED", default="", help="The speed the counter goes by, `15 ips`.")
@click.option("--weight", metavar="MASS", default="", help="The reel with its tape, `4.6 kg`: a rough check only.")
@click.option("--empty", metavar="MASS", default="", help="The empty reel, `700 g`.")
@click.option("--core", metavar="SIZE", default="", help="The hub's diameter, where not recorded.")
@click.option("--reel-size", metavar="SIZE", default="", help="The flange's diameter, where not recorded.")
@click.option("--thickness", metavar="SIZE", default="", help="Of the tape over all, where not recorded, `50 um`.")
@click.option("--thickness-most", metavar="SIZE", default="", help="Where it may be thicker, `54.1 um`.")
@click.option("--width", "tape_width", metavar="SIZE", default="", help="Of the tape, where not recorded.")
@click.option("--enter", is_flag=True, help="Enter the correction, where the record lies outside the range.")
@click.pass_obj
def length(settings: Settings, /, *, reel: str, enter: bool, tape_width: str, **given: str) -> None:
    """How much tape is on a reel, always a range, held against the record. Exit status 1 when the record lies outside.

    With --enter a correction is entered as a length fact.
    """
    from stock.desk.how_much import enter_length, how_much

    with settings.entering(create=False) as desk:
        found = how_much(desk, reel.strip(), {**given, "width": tape_width})
        receipt = enter_length(desk, found) if enter and found.correction is not None else None
        (advice,) = desk.advise([found.reel])
    entry = receipt.entries[0] if receipt is not None else None
    if settings.as_json:
        say_json(
            {
                "reel": found.reel,
                "how": found.how,
                "low_ft": in_feet(found.length.low),
                "high_ft": in_feet(found.length.high),
                "recorded_ft": in_feet(found.recorded),
                "agrees": found.agrees,
                "rough": found.rough,
                "rests_on": list(found.rests_on),
                "correction_ft": in_feet(found.correction),
                "entry": entry,
            }
        )
    else:
        speed = advice.view.house.rules.number("usual_speed")
        low, high = (clock(time_of(each, speed)) for each in found.length)
        say(f"{found.reel}: {feet(found.length.low)} to {feet(found.length.high)} of tape ({low} to {high}).")
        for line in wrapped(f"Rests on: {'; '.join(found.rests_on)}.", width(), "  "):
            say(line)
        if found.agrees:
            say(f"The record says {feet(found.recorded)}: it agrees.")
        else:
            say(f"The record says {feet(found.recorded)}: it does not agree.")
            if entry is not None:
                say(f"Entered: {feet(found.length.middle)}, entry {entry}.")
            elif found.rough:
                say("Measure the roll or run it past a counter: nothing is corrected by a scale.")
            else:
                say(f"To correct it to {feet(found.length.middle)}: the same with --enter.")
    if not found.agrees and entry is None:
        click.get_current_context().exit(1)
