"""Cautions for hands and ears: what to look out for, shown where the act is and all together on one page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

_ENDING = "Follow local rules and qualified practice."


class Caution(NamedTuple):
    """One caution. code: stable word. title: a few words. says: plain sentences, the last always the same."""

    code: str
    title: str
    says: str


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "bulk-eraser",
        "Bulk eraser",
        "Keep away from it with a pacemaker or any other implant. Keep watches, cards and all other tape well away, "
        f"about 4 ft. One pass may not do. Let it cool between reels. {_ENDING}",
    ),
    Caution(
        "sticky",
        "Sticky or shedding tape",
        f"Do not play it. Treatment is a specialist's work, and no recipe is given here. {_ENDING}",
    ),
    Caution(
        "mould",
        "Mould",
        "Isolate the reel in its box and do not open it in the studio. Wear gloves and a respirator where it must be "
        f"handled. Treatment is a specialist's work. {_ENDING}",
    ),
    Caution(
        "vinegar",
        "Vinegar smell",
        f"The base is breaking down. Isolate the reel from other tape and ventilate the room. {_ENDING}",
    ),
    # Flash point 53 degrees Fahrenheit: NIOSH Pocket Guide to Chemical Hazards, isopropyl alcohol.
    Caution(
        "solvents",
        "Solvents",
        "Isopropyl alcohol is flammable: its flash point is about 12 \u00b0C, below room temperature. Ventilate, keep "
        f"flames and sparks away, and follow the maker's safety sheet. {_ENDING}",
    ),
    Caution(
        "blades",
        "Razor blades",
        "Cut away from the hand, on the block. Put used blades in a closed container, never in the bin or on the "
        f"machine. {_ENDING}",
    ),
    # The weight is common practice: it differs with tape thickness and flange.
    Caution(
        "heavy-reels",
        "Heavy reels",
        "A 2-inch reel of 10.5 inches is about 5 kg: lift it with both hands, and never by one flange. " + _ENDING,
    ),
)

BY_CODE = {caution.code: caution for caution in CAUTIONS}

_OF_FINDINGS = {"sticky": "sticky", "shedding": "sticky", "mould": "mould", "vinegar": "vinegar"}


def cautions_for(kind: str, cells: Mapping[str, str]) -> Iterator[Caution]:
    """The cautions that belong to entering a fact. kind: its kind's name. cells: what was typed, by column."""
    if kind in ("splice", "edit"):
        yield BY_CODE["blades"]
    elif kind == "finding" and cells.get("severity", "").strip() != "0":
        code = _OF_FINDINGS.get(" ".join(cells.get("kind", "").split()).casefold())
        if code is not None:
            yield BY_CODE[code]
