"""A place somebody typed, on a reel as it is at a moment."""

from __future__ import annotations

from stock.core.moments import Calendar
from stock.desk.errors import CannotEnter
from stock.desk.ground import read_ground
from stock.desk.laying import Refusal
from stock.edge.cells import CellError, Context, parse_place
from stock.edge.problems import Problem
from stock.store.reader import Reader


def typed_place(
    reader: Reader, calendar: Calendar, reel: str, typed: str, *, speed: int, at_us: int, column: str
) -> int:
    """The place in tenths of a millimetre from the head. speed: nominal, micrometres per second. Raises CannotEnter."""
    try:
        place = parse_place(typed, Context(calendar))
        if place is None:
            raise CellError.of("", "is given", "a place on the reel")
        ground = read_ground(reader, calendar, reader.voided(), [reel])
        return ground.where(place, reel, ground.layout(reel, at_us), at_us, speed, column)
    except CellError as error:
        raise CannotEnter([Problem(column, typed, error.expected, str(error))]) from None
    except Refusal as refusal:
        raise CannotEnter([Problem(refusal.column, typed, refusal.expected, refusal.says)]) from None
