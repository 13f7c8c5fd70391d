"""`cautions`: what to look out for, on one page."""

from __future__ import annotations

from stock.cli.commands import house_command
from stock.cli.printing import say, width, wrapped
from stock.core.cautions import CAUTIONS


@house_command("cautions")
def cautions() -> None:
    """What to look out for: erasers, sick tape, solvents, blades, weight."""
    for caution in CAUTIONS:
        say(caution.title)
        for line in wrapped(caution.says, width(), "  "):
            say(line)
        say()
