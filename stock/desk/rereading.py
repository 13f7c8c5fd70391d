"""Copies read through again because a wipe asks for it: one of each transfer, wherever one can be reached."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from stock.desk.desk import Desk
from stock.desk.proving import Proved, prove
from stock.proof.facts import Progress
from stock.proof.media import reachable


def read_again(
    desk: Desk,
    transfers: Sequence[str],
    *,
    told: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> list[Proved]:
    """Read one copy of each transfer from end to end, and record what is found.

    A transfer none of whose copies can be reached is left out: that is neither a failure nor a pass.
    """
    proved: list[Proved] = []
    for transfer in transfers:
        copy = _reachable_copy(desk, transfer)
        if copy is not None and not (stop is not None and stop()):
            name, medium, place, folder = copy
            proved.append(
                prove(
                    desk,
                    transfer,
                    Path(folder),
                    medium=medium,
                    place=place,
                    copy=name,
                    own_medium=True,
                    told=told,
                    stop=stop,
                )
            )
    return proved


def media_of(desk: Desk, transfer: str) -> list[str]:
    """The media the copies of a transfer are on, to ask for one of them."""
    return list(dict.fromkeys(medium for _, medium, _, _ in _copies(desk, transfer)))


def _reachable_copy(desk: Desk, transfer: str) -> tuple[str, str, str, str] | None:
    return next((row for row in _copies(desk, transfer) if row[3] and reachable(Path(row[3]))), None)


def _copies(desk: Desk, transfer: str) -> list[tuple[str, str, str, str]]:
    """The copies of a transfer: name, medium, place, folder."""
    with desk.store.reading() as reader:
        voided = reader.voided()
        sql = 'SELECT entry, "copy", medium, place, folder FROM copies WHERE transfer = ? ORDER BY entry'
        return [(row[1], row[2], row[3], row[4] or "") for row in reader.raw(sql, (transfer,)) if row[0] not in voided]
