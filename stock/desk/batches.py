"""The other reels of a reel's batch: those to look at when it is found sick."""

from __future__ import annotations

from stock.desk.desk import Desk
from stock.desk.errors import NoSuchReel


def same_batch(desk: Desk, reel: str) -> list[str]:
    """The other reels of the same formulation and batch, in order; none where the batch is not stated."""
    house = desk.house([reel])
    if reel not in house.reel_numbers:
        raise NoSuchReel(reel=reel, near="")
    own, batch = house.formulation_of(reel), house.reel(reel).batch
    if own is None or not batch:
        return []
    with desk.store.reading() as reader:
        voided = reader.voided()
        rows = reader.raw(
            "SELECT r.reel, r.entry FROM reels AS r JOIN stock_items AS s ON s.stock_item = r.stock_item "
            "WHERE s.formulation = ? AND r.batch = ?",
            (own.formulation, batch),
        )
    return sorted({number for number, entry in rows if entry not in voided} - {reel})
