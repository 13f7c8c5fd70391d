"""The screens, on the house's database."""

from __future__ import annotations

from stock.cli.advising import advice_table
from stock.cli.answers import day_of
from stock.cli.printing import complain, say, width
from stock.cli.settings import Settings


def open_screens(settings: Settings) -> None:
    """Open the screens; until they are there, the verdict of every reel is printed instead."""
    with settings.asking() as desk:
        answers, day = desk.advise(), day_of(desk.as_of())
    complain("The screens come in a later version; this is what `reelward advise` answers.")
    for line in advice_table(answers, day, width()):
        say(line)
