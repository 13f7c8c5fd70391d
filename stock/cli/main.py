"""The program's entry: which commands there are, and how each run ends.

Nothing heavy is imported here, so that help appears at once: a command's module is imported when it is called.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import Any, NoReturn

import click

from stock.cli.commands import common_options, no_such_command
from stock.cli.settings import Settings

INTERRUPTED = 130
PIPE_CLOSED = 141
"""As a shell reports a program ended by SIGINT or SIGPIPE."""

COMMANDS: dict[str, tuple[str, str]] = {
    "now": ("what_now:now", "What the house has to do today, most urgent first."),
    "reels": ("listing:reels", "List the reels."),
    "show": ("showing:show", "One reel: facts, map along the tape, verdict, reasons, history."),
    "advise": ("advising:advise", "The verdict of every reel, or of those named, with the reasons."),
    "wear": ("wearing:wear", "Measured wear of one reel: response, passes left, cause of a loss, trimming."),
    "pick": ("picking:pick", "Which reels to use for takes, and where on them."),
    "why": ("explaining:why", "Why is a reel not clear, in plain words, and what is to be done."),
    "trust": ("trusting:trust", "Can a reel be trusted at one place? All that is known there."),
    "log": ("session:log", "The session log at the machine: start, stop, mark, name, what is left."),
    "forecast": ("forecasting:forecast", "What will have to be bought, week by week, with its odds."),
    "order": ("ordering:order", "What to order, from whom, how many, by when, and what it costs."),
    "orders": ("receiving:orders", "What is on order, how much of it is here, how late the rest is."),
    "receive": ("receiving:receive", "Enter that reels of an order came: numbered, priced, ready to label."),
    "labels": ("labelling:labels", "Box and reel labels with a QR code of the number: PDF."),
    "sheet": ("labelling:sheet", "The track sheet of a reel: PDF."),
    "cost": ("costing:cost", "What tape costs: value, projects, write-offs, months, prices."),
    "add": ("entering:add", "Record one fact: `add pass`, `add take`, `add finding` ..."),
    "void": ("voiding:void", "Take one entry back, with a reason, or the newest of your own."),
    "length": ("lengths:length", "How much tape is on a reel, by its roll, a counter or a scale."),
    "cut": ("editing:cut", "Cut tape out of a reel, to throw away or to join: shown first, then asked."),
    "join": ("editing:join", "Join tape of one reel into another: shown first, then asked."),
    "prove": ("proving:prove", "Prove a copy of a transfer: read, decode, measure and hash every file."),
    "due": ("proving:due", "The copies due to be read again; with --run, read them now."),
    "bag": ("bagging:bag", "Make a copy's folder a bag (RFC 8493), or check one and record it."),
    "wipe": ("wiping:wipe", "Erase a reel for reuse, in guarded steps: permit, done."),
    "load": ("exchanging:load", "Load an exchange file or folder: all of it or nothing."),
    "dump": ("exchanging:dump", "Write everything recorded as an exchange folder."),
    "check": ("keeping:check", "Check the database: engine, journal, facts, reels."),
    "backup": ("keeping:backup", "Copy the database as it is now."),
    "restore": ("keeping:restore", "Put a backup in the database's place, once it is found sound."),
    "rules": ("house_rules:rules", "The house rules in force, their defaults and reasons."),
    "cautions": ("cautions:cautions", "What to look out for: erasers, sick tape, solvents, blades, weight."),
    "plain": ("plain:plain", "Line by line, for screen readers and pipes: every report as text."),
    "demo": ("demo:demo", "Run a command on a throw-away copy of the demo house."),
}
"""Where each command is (module and name in it), and what it does."""


class Program(click.Group):
    """The commands, imported when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module, _, name = COMMANDS[cmd_name][0].partition(":")
        command: click.Command = getattr(import_module(f"stock.cli.{module}"), name)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            raise no_such_command(ctx, self, "command", args[0])
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, says) for name, (_, says) in COMMANDS.items()])


def _open(ctx: click.Context) -> Any:
    if ctx.invoked_subcommand is None:
        import_module("stock.cli.screens").open_screens(ctx.obj)


program = Program(
    "reelward",
    params=common_options(),
    callback=click.pass_context(_open),
    invoke_without_command=True,
    help="A studio's stock of tape: which reels may be wiped, which are fit, and why.\n\nWithout a command the screens "
    "open on the house's database.",
)


def invoke(args: Sequence[str], settings: Settings, name: str = "reelward") -> int:
    """Run one command line and return its exit status; refusals and failures are raised."""
    try:
        with program.make_context(name, list(args), obj=settings) as context:
            program.invoke(context)
    except click.exceptions.Exit as end:
        return end.exit_code
    return 0


def main(args: Sequence[str], settings: Settings | None = None) -> int:
    """Run one command line, tell the user of what went wrong, and return the exit status."""
    try:
        _require_text(args)
        status = invoke(args, settings or Settings())
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        # Whoever read has seen enough.
        _drop_output()
        return PIPE_CLOSED
    except (KeyboardInterrupt, click.Abort):
        return INTERRUPTED
    except Exception as error:
        from stock.cli.failing import tell

        if isinstance(error, OSError) and error.filename is None:
            _drop_output()
        return tell(error)


def _drop_output() -> None:
    """Let what is still to be written go nowhere, so that the interpreter's own flush at the end does not fail too."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _require_text(args: Sequence[str]) -> None:
    for number, arg in enumerate(args, 1):
        if "\0" in arg or any("\ud800" <= sign <= "\udfff" for sign in arg):
            raise click.UsageError(f"argument {number} is not a text in this terminal's encoding: {arg}")


def run() -> NoReturn:
    """Run the program on the command line it was called with."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a letter shows a question mark instead of the program failing.
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    sys.exit(main(sys.argv[1:]))
