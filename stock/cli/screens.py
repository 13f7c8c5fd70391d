"""The screens, on the house's database."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stock.cli.printing import complain, say, width
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.desk import Desk


def open_screens(settings: Settings) -> None:
    """Open the screens; where there is no terminal to draw on, print what `advise` answers instead."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        _print_answers(settings)
        return
    from tui.app import run
    from tui.theme import DARK, THEMES, named

    wanted = os.environ.get("REELWARD_THEME", "")
    theme = named(wanted) if wanted.strip() else DARK
    if theme is None:
        names = ", ".join(each.name for each in THEMES)
        raise click.UsageError(f"REELWARD_THEME: there are no colours named `{wanted}`; there are: {names}")
    who = settings.acting()

    def opening() -> Desk:
        from stock.desk.desk import Desk

        return Desk.open(settings.target, who, today=settings.today, now_us=settings.clock_us)

    # a throw-away house takes what was typed for it along
    drafts_in = Path(settings.target).parent if settings.demo else None
    click.get_current_context().exit(run(opening, theme, drafts_in=drafts_in))


def _print_answers(settings: Settings) -> None:
    from stock.cli.advising import advice_table
    from stock.cli.answers import day_of

    with settings.asking() as desk:
        answers, day = desk.advise(), day_of(desk.as_of())
    complain("The screens need a terminal; this is what `reelward advise` answers.")
    for line in advice_table(answers, day, width()):
        say(line)
