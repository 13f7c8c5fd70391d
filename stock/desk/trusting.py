"""Asking whether a reel can be trusted at a place."""

from __future__ import annotations

from stock.core.critical import Trust, trust
from stock.core.measure import Speed
from stock.core.moments import Calendar
from stock.core.rules import Grade
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.reading import zone_in_force
from stock.desk.typed_place import typed_place
from stock.edge.cells import CellError, parse_speed
from stock.edge.problems import Problem


def trust_at(
    desk: Desk, reel: str, at: str, *, speed: str = "", grade: Grade = "critical", take_us: int | None = None
) -> Trust:
    """What is known of a place of a reel. at, speed: as typed; without a speed the house's usual one. take_us: how long
    a take is to be. Raises NoSuchReel, CannotEnter."""
    if speed.strip():
        try:
            asked = parse_speed(speed.strip())
        except CellError as error:
            raise CannotEnter([Problem("speed", speed, error.expected, str(error))]) from None
    else:
        asked = Speed(desk.house(()).rules.number("usual_speed"))
    (advice,) = desk.advise([reel], speed=asked.actual)
    as_of = advice.view.house.as_of
    with desk.store.reading() as reader:
        calendar = Calendar(zone_in_force(reader))
        place = typed_place(reader, calendar, reel, at, speed=asked.nominal, at_us=as_of.at_us, column="at")
    return trust(advice, asked, place, grade, take_us=take_us)
