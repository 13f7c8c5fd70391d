"""The reel to go to when the next takes do not fit on the one that stands on the machine."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from stock.core.picking.request import Request
from stock.desk.picking import Picker
from stock.desk.session.loaded import Loaded


class NextReel(NamedTuple):
    """A reel that takes the next takes. fits: how many of them; wipe: how it is wiped first, empty where not."""

    reel: str
    fits: int
    wipe: str


def next_reels(picker: Picker, loaded: Loaded, takes: Sequence[int], *, most: int = 3) -> list[NextReel]:
    """The reels to go to for takes (microseconds), best first: of the same width and track count, on the project's own
    formulation, as picking answers."""
    if not takes:
        return []
    view = loaded.advice.view
    item = view.house.item_of(view.reel.reel)
    picked = picker.pick(
        Request(
            tuple(takes),
            loaded.on.speed,
            width_um=item.width if item is not None else None,
            tracks=view.reel.tracks,
            project=loaded.carried.project or None,
            part_used=bool(loaded.carried.project),
        )
    )
    planned = list(picked.plan.reels) if picked.plan is not None else []
    ranked = {row.candidate.reel: row for row in picked.ranked}
    order = [*(reel for reel in planned if reel in ranked), *(reel for reel in ranked if reel not in planned)]
    return [
        NextReel(reel, len(ranked[reel].takes), ranked[reel].candidate.wipe or "")
        for reel in order
        if reel != view.reel.reel
    ][:most]
