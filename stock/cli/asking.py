"""What commands ask at the terminal before they destroy anything: the number on the reel's own label, above all."""

from __future__ import annotations

import sys

import click

_LABEL_HELP = "The number on the reel's own label, typed or scanned; asked for at a terminal."
_SECOND_HELP = "The second person, for masters and safeties and where the house asks."
LABEL = click.option("--label", metavar="NUMBER", help=_LABEL_HELP)
SECOND = click.option("--second", metavar="NAME", help=_SECOND_HELP)


def guard_options() -> list[click.Parameter]:
    """The options of both, for commands that are made from a table."""
    return [
        click.Option(["--label"], metavar="NUMBER", help=_LABEL_HELP),
        click.Option(["--second"], metavar="NAME", help=_SECOND_HELP),
    ]


def ask_typed(question: str) -> str:
    """An answer typed at the terminal."""
    return str(click.prompt(question, default="", show_default=False, err=True))


def label_read(label: str | None) -> str:
    """The number given, else asked for. Raises UsageError where there is nobody to ask."""
    if label is not None:
        return label
    if not sys.stdin.isatty():
        raise click.UsageError("there is no terminal to ask at: give --label, the number on the reel's own label")
    return ask_typed("The number on the reel's own label")
