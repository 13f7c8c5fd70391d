"""`cut` and `join`: tape cut out at the bench, and thrown away or joined into a reel; shown first, then asked."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING

import click

from stock.cli.answers import in_feet
from stock.cli.asking import LABEL, SECOND, label_read
from stock.cli.commands import house_command
from stock.cli.printing import USUAL_WIDTH, complain, say, say_json, width, wrapped
from stock.cli.settings import Settings
from stock.core.cautions import BY_CODE
from stock.core.words import feet

if TYPE_CHECKING:
    from stock.desk.editing import EditSeen

_SPEED = click.option("--speed", metavar="SPEED", default="", help="The machine's speed, for places given as times.")
_NOTE = click.option("--note", metavar="TEXT", default="", help="Anything worth knowing.")
_DATE = click.option("--date", metavar="DATE", default="", help="When it was done; else now.")
_YES = click.option("--yes", is_flag=True, help="Enter it without asking.")
_DRY = click.option("--dry-run", is_flag=True, help="Only show what it would make of the reels.")


@house_command("cut", has_json=True)
@click.argument("reel")
@click.option("--start", metavar="PLACE", required=True, help="Where the cut begins, `300 ft`, `2:10`.")
@click.option("--end", metavar="PLACE", required=True, help="Where it ends.")
@click.option("--to-reel", metavar="REEL", default="", help="The reel it is joined into; else it is thrown away.")
@click.option("--at", "to_at", metavar="PLACE", default="", help="Where it is joined in, from that reel's head.")
@_SPEED
@_DATE
@_NOTE
@_YES
@LABEL
@SECOND
@_DRY
@click.pass_obj
def cut(
    settings: Settings, /, *, yes: bool, label: str | None, second: str | None, dry_run: bool, **cells: str
) -> None:
    """Cut tape out of a reel: what it makes of the reels is shown first, before and after.

    What is thrown away is guarded as a wipe is: the number on the reel's own label is asked for, `--yes` or not, and
    what is not proved is not thrown away (exit status 1).
    """
    _edit(settings, cells, yes, dry_run, label, second)


@house_command("join", has_json=True)
@click.argument("reel")
@click.argument("to_reel", metavar="INTO")
@click.option("--start", metavar="PLACE", default="0 ft", help="Where the tape to join begins; else its head.")
@click.option("--end", metavar="PLACE", default="", help="Where it ends; else its tail.")
@click.option("--at", "to_at", metavar="PLACE", default="", help="Where it is joined in, from the head; else the tail.")
@_SPEED
@_DATE
@_NOTE
@_YES
@_DRY
@click.pass_obj
def join(settings: Settings, /, *, yes: bool, dry_run: bool, **cells: str) -> None:
    """Join tape of one reel into another: all of it, or a stretch. Refused where it would not fit the flange."""
    _edit(settings, cells, yes, dry_run)


def _edit(
    settings: Settings,
    cells: Mapping[str, str],
    yes: bool,
    dry_run: bool,
    label: str | None = None,
    second: str | None = None,
) -> None:
    from stock.desk.editing import see_edit, throw_away

    if not settings.as_json:
        for line in wrapped(f"{BY_CODE['blades'].title}: {BY_CODE['blades'].says}", USUAL_WIDTH, "Caution. "):
            complain(line)
    with settings.entering(create=False) as desk:
        given = {column: text for column, text in cells.items() if text}
        if "end" not in given:
            (advice,) = desk.advise([cells["reel"].strip()])
            given["end"] = f"{advice.view.length // 10_000}.{advice.view.length % 10_000:04d} m"
        seen = see_edit(desk, given)
        if not settings.as_json:
            _show(seen)
        if dry_run:
            entered: tuple[int | None, int | None] = None, None
        else:
            if not yes and not sys.stdin.isatty():
                raise click.UsageError("there is no terminal to ask at: give --yes, or --dry-run to look only")
            if not yes and not click.confirm("Enter this", err=True):
                complain("Nothing was entered.")
                click.get_current_context().exit(1)
            if seen.thrown_away:
                receipt = throw_away(desk, given, label=label_read(label), second=second, seen=seen.seen)
            else:
                receipt = desk.add("edit", given)
            entered = receipt.entries[0], receipt.line
    if settings.as_json:
        say_json(
            {
                "entry": entered[0],
                "line": entered[1],
                "start_ft": in_feet(seen.lo),
                "end_ft": in_feet(seen.hi),
                "thrown_away": seen.thrown_away,
                "along": seen.along,
                "reels": [
                    {
                        "reel": before.reel,
                        "verdict": before.verdict,
                        "verdict_after": after.verdict,
                        "length_ft": in_feet(before.view.length),
                        "length_after_ft": in_feet(after.view.length),
                    }
                    for before, after in zip(seen.before, seen.after, strict=True)
                ],
            }
        )
    elif entered[0] is not None:
        say(f"Entered: entry {entered[0]}, journal line {entered[1]}.")
        say(f"Taken back by: reelward void {entered[0]} --why TEXT")


def _show(seen: EditSeen) -> None:
    from stock.cli.printing import signed
    from stock.cli.tape_map import tape_map

    columns = width()
    for before, after in zip(seen.before, seen.after, strict=True):
        for when, advice in (("before", before), ("after", after)):
            say(f"{advice.reel}, {when}: {feet(advice.view.length)}, {signed(advice.verdict)}")
            for line in tape_map(advice, columns):
                say(line)
            say()
    goes = "Thrown away" if seen.thrown_away else f"Into reel {seen.after[-1].reel}"
    for line in wrapped(f"{goes}, from {feet(seen.lo)} to {feet(seen.hi)}: {'; '.join(seen.along)}.", columns):
        say(line)
