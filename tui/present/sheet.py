"""Lines of a sheet to read, from what the record says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stock.core.critical import Trust
from stock.core.to_do import ToDo
from stock.core.trust_words import Weight, place_words, trust_lines
from stock.core.words import speed_words


class SheetLine(NamedTuple):
    """One line: what it is about (empty where it goes on from the line before), its words, how weighty they are."""

    label: str
    says: str
    weight: Weight = "plain"


def to_do_lines(found: Sequence[ToDo]) -> list[SheetLine]:
    """What is to be done, each reel named once."""
    lines: list[SheetLine] = []
    before = ""
    for each in found:
        lines.append(SheetLine("" if each.reel == before else each.reel, each.says))
        before = each.reel
    return lines or [SheetLine("", "Nothing is left to do with the reels used today.", "quiet")]


def trust_title(trust: Trust) -> str:
    """What place the check is of."""
    return f"Reel {trust.on.reel} at {place_words(trust)}, {speed_words(trust.on.speed)}: can it be trusted here?"


def trust_sheet(trust: Trust) -> list[SheetLine]:
    """All that is known of the place."""
    return [SheetLine(*line) for line in trust_lines(trust)]
