"""The size of a reel and of its tape, as far as they are recorded, and whether so much tape fits on it."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.facts import Fact, Stretch
from stock.core.house import House
from stock.core.roll import THICKNESS_OFF, UNSTATED_THICKNESS_NM, Range, diameter_of
from stock.core.words import feet
from stock.desk.errors import DoesNotFit
from stock.desk.laying import reader_of
from stock.store.reader import Reader

_INCH_UM = 25_400


class Sizes(NamedTuple):
    """What is recorded of a reel's stock item: flange, core and width in micrometres, thickness in nanometres."""

    flange: int | None
    core: int | None
    width: int | None
    thickness: int | None

    @property
    def thickness_range(self) -> Range:
        """What the thickness may be: about what is stated, else what tape of the usual kind has."""
        if self.thickness is None:
            return UNSTATED_THICKNESS_NM
        return Range(self.thickness, self.thickness).about(THICKNESS_OFF)


def sizes_of(reader: Reader, house: House, reel: str) -> Sizes:
    """The sizes of a reel, and of the tape that came on it."""
    item = house.item_of(reel)
    if item is None:
        return Sizes(None, None, None, None)
    rows = reader.raw("SELECT reel_size, core, width FROM stock_items WHERE entry = ?", (item.entry,))
    formulation = house.formulation_of(reel)
    thick = reader.raw("SELECT thickness FROM formulations WHERE entry = ?", (formulation.entry if formulation else 0,))
    (flange, core, width), thickness = rows[0], thick[0][0] if thick else None
    return Sizes(flange, core, width, thickness)


def guard_roll(reader: Reader, house: House, edit: Fact) -> None:
    """Refuse tape joined into a reel of another width, or into one whose flange it would surely overgrow.

    house: with both reels, as they are before the edit. Surely: even where the tape is as thin as it may be. Raises
    DoesNotFit.
    """
    get = reader_of(edit.kind).get
    reel, into = get(edit.values, "reel"), get(edit.values, "to_reel")
    if into is None or into == reel:
        return
    own = sizes_of(reader, house, into)
    tapes = {piece.tape: sizes_of(reader, house, piece.tape) for piece in edit.places}
    for tape, sizes in tapes.items():
        if own.width is not None and sizes.width is not None and own.width != sizes.width:
            raise DoesNotFit(
                says=f"the tape of {tape} is {_inches(sizes.width)} wide, that of reel {into} {_inches(own.width)}"
            )
    if own.flange is None or own.core is None:
        return
    pieces: list[Stretch] = [*house.layout(into).pieces, *edit.places]
    thin = [
        (piece.hi - piece.lo, (tapes.get(piece.tape) or sizes_of(reader, house, piece.tape)).thickness_range.low)
        for piece in pieces
    ]
    outer = diameter_of(thin, own.core)
    if outer > own.flange:
        raise DoesNotFit(
            says=f"reel {into} would hold {feet(sum(length for length, _ in thin))}, wound at least "
            f"{outer / 1000:.0f} mm across, and its flange is {own.flange / 1000:.0f} mm"
        )


def _inches(size: int) -> str:
    return f"{size / _INCH_UM:.3g} in"
