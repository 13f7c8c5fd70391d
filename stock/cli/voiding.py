"""`void`: an entry taken back, or the newest of one's own, with what that would change shown first."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from stock.cli.commands import house_command
from stock.cli.printing import complain, say, say_json, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.undoing import UndoSeen

_WHY = "Why it was wrong; with --last, where nothing is said: entered by mistake."


@house_command("void", has_json=True)
@click.argument("entry", type=click.IntRange(1), required=False)
@click.option("--last", is_flag=True, help="The newest of what who is acting entered: what one command brought, whole.")
@click.option("--why", metavar="TEXT", default=None, help=_WHY)
@click.option("--yes", is_flag=True, help="With --last: take it back without asking.")
@click.option("--dry-run", is_flag=True, help="With --last: only show what it would change.")
@click.pass_obj
def void(settings: Settings, entry: int | None, last: bool, why: str | None, yes: bool, dry_run: bool) -> None:
    """Take back the entry of that number. It stays in the record, shown as voided with the reason.

    With --last what it would change is shown first, then it asks. What may not be taken back: exit status 1.
    """
    if last == (entry is not None):
        raise click.UsageError("give the number of an entry, or --last")
    if last:
        _take_back_last(settings, why, yes, dry_run)
        return
    if why is None or yes or dry_run:
        raise click.UsageError("an entry is voided by its number with --why; --yes and --dry-run go with --last")
    with settings.entering(create=False) as desk:
        receipt = desk.void(entry or 0, why)
    if settings.as_json:
        say_json({"entry": receipt.entries[0], "voided": entry, "line": receipt.line})
    else:
        say(f"Entry {entry} is voided by entry {receipt.entries[0]}, journal line {receipt.line}.")


def _take_back_last(settings: Settings, why: str | None, yes: bool, dry_run: bool) -> None:
    from stock.desk.undoing import REASON, own_entries, see_undo, take_back

    reason = REASON if why is None else why
    line: int | None = None
    with settings.entering(create=False) as desk:
        newest = next(iter(own_entries(desk, 1)), None)
        if newest is None:
            complain(f"There is nothing that {desk.who} entered.")
            click.get_current_context().exit(1)
        if newest.why_not is not None:
            complain(f"Not taken back: {'; '.join(newest.says)}: {newest.why_not}.")
            click.get_current_context().exit(1)
        seen = see_undo(desk, newest.entries, reason)
        if not settings.as_json:
            _show(seen)
        if not dry_run:
            if not yes and not sys.stdin.isatty():
                raise click.UsageError("there is no terminal to ask at: give --yes, or --dry-run to look only")
            if not yes and not click.confirm("Take it back", err=True):
                complain("Nothing was taken back.")
                click.get_current_context().exit(1)
            line = take_back(desk, newest.entries, reason).line
    if settings.as_json:
        say_json(
            {
                "entries": list(seen.entries),
                "line": line,
                "says": list(seen.says),
                "loosens": bool(seen.loosens),
                "looked_at": seen.looked_at,
                "beyond": seen.beyond,
                "reels": [
                    {
                        "reel": change.reel,
                        "verdict": change.before.verdict if change.before else None,
                        "verdict_after": change.after.verdict if change.after else None,
                        "loosens": change.loosens,
                    }
                    for change in seen.changes
                ],
            }
        )
    elif line is not None:
        say(f"Taken back, journal line {line}.")


def _show(seen: UndoSeen) -> None:
    columns = width()
    for entry, says in zip(seen.entries, seen.says, strict=True):
        for line in wrapped(f"{says} (entry {entry})", columns):
            say(line)
    for change in seen.changes:
        for line in wrapped(change.says, columns, "! LOOSER: " if change.loosens else "  "):
            say(line)
    if not seen.changes:
        say(f"  no answer would change, of {seen.looked_at} reel{'s' if seen.looked_at != 1 else ''} it bears on")
    if seen.beyond:
        say("  it may bear on other reels too, which were not looked at")
