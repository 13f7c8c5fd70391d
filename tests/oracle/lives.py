"""What is live on a reel, track by track and place by place, whose it is and whether it is free to go."""

from __future__ import annotations

from datetime import datetime

from .book import Cell
from .ground import Ground, Live, Recording, Transfer, named_take, names, newest_wipe, project_of, take_key


def given_up(ground: Ground, take: Recording, live: Live) -> bool:
    """Whether a take over a live cell was decided discard, tones or timecode, in its row or later."""
    book = ground.book
    newest: tuple[datetime, bool, str, str] | None = None
    for row in book.rows("decisions.csv"):
        if (row["reel"], row.get("project", ""), row["title"], row["take"]) != (
            take.row["reel"],
            take.row.get("project", ""),
            take.row["title"],
            take.row["take"],
        ):
            continue
        # Keep and undecided bind (end of the day), the others loosen (start); tied, the binding one holds.
        binds = row["keep"] in ("keep", "undecided")
        moment = book.moment(row).end if binds else book.moment(row).start
        if newest is None or (moment, binds) > newest[:2]:
            newest = (moment, binds, row["keep"], row["by"])
    if newest is not None:
        moment, binds, keep, by = newest
        return not binds and moment > live.newest and (keep != "discard" or bool(by))
    keep = take.row.get("keep", "")
    if keep not in ("discard", "tones", "timecode"):
        return False
    if keep == "discard" and not take.row.get("by"):
        return False
    # The row speaks for its own recording only: nothing made over it later, nor at the same moment by another.
    others = [record for record in live.records if not names(record.row, take.row)]
    return live.newest == take.moment and not others


def live_cells(ground: Ground, reel: str, cut: list[Cell]) -> list[Live]:
    """Every live (cell, track) of a reel."""
    found: list[Live] = []
    for cell in cut:
        wiped = newest_wipe(ground, cell)
        # A wipe ends a recording only when it is strictly after it.
        here = [
            recording
            for recording in ground.recordings
            if cell.under(recording.spans) and (wiped is None or recording.moment >= wiped)
        ]
        transfers = [transfer for transfer in ground.transfers if cell.under(transfer.spans)]
        for track in range(1, ground.book.track_count(reel) + 1):
            layers = [recording for recording in here if track in recording.tracks]
            if not layers:
                continue
            newest = max(recording.moment for recording in layers)
            records = [layer for layer in layers if not layer.is_take and layer.moment == newest]
            live = Live(cell, track, newest, records)
            live.after = [item for item in transfers if track in item.tracks and item.moment > newest]
            takes = [layer for layer in layers if layer.is_take]
            if takes:
                # The take over a place is the newest one there, whatever record pass went over it later.
                top = max(take.moment for take in takes)
                over = [take for take in takes if take.moment == top]
                live.owners = [take_key(take.row) for take in over]
                live.overwrites = len(over) < len(takes)
                live.free = all(
                    given_up(ground, take, live) or proved_by(ground, live, project_of(take_key(take.row)))
                    for take in over
                )
            else:
                named = {named_take(ground, record) for record in records if record.row.get("take")}
                live.owners = sorted(named)
                projects: list[str | None] = [project_of(key) for key in live.owners] or [None]
                live.free = all(proved_by(ground, live, project) is not None for project in projects)
            found.append(live)
    return found


def proved_by(ground: Ground, live: Live, project: str | None) -> Transfer | None:
    """A transfer after the newest recording that covers the live cell and is proved for the project."""
    for transfer in live.after:
        if not ground.lacks(transfer, project):
            return transfer
    return None
