"""The takes that run in the house, the reels used today, and what is still to be done with them."""

from __future__ import annotations

from collections.abc import Iterable

from stock.core.moments import AsOf, Calendar, as_of_instant
from stock.core.session import Running
from stock.core.to_do import ToDo, to_do
from stock.core.verdict import advise
from stock.desk.desk import Desk
from stock.desk.reading import some_reels, zone_in_force
from stock.desk.session.loaded import TAKE, UNTITLED, get, running_of
from stock.store.reader import Reader


def running_takes(desk: Desk) -> list[Running]:
    """The takes that run now, by reel and entry."""
    with desk.store.reading() as reader:
        calendar, as_of = _now(desk, reader)
        return _running(reader, calendar, as_of)


def _now(desk: Desk, reader: Reader) -> tuple[Calendar, AsOf]:
    calendar = Calendar(zone_in_force(reader))
    return calendar, as_of_instant(calendar, max(desk.now_us(), reader.newest_line_us))


def _running(reader: Reader, calendar: Calendar, as_of: AsOf) -> list[Running]:
    voided = reader.voided()
    entries = [
        entry for (entry,) in reader.iterate("SELECT entry FROM takes WHERE state = 'running'") if entry not in voided
    ]
    facts = list(reader.facts(TAKE, entries=entries))
    house = some_reels(reader, calendar, as_of, {get(fact, "reel") or "" for fact in facts})
    return sorted((running_of(house, fact) for fact in facts), key=lambda each: (each.reel, each.entry))


def reels_used(desk: Desk) -> list[str]:
    """The reels that ran over the heads today, or on which a take still runs, by number."""
    with desk.store.reading() as reader:
        calendar, as_of = _now(desk, reader)
        return sorted({*_used(reader, calendar, as_of), *(each.reel for each in _running(reader, calendar, as_of))})


def _used(reader: Reader, calendar: Calendar, as_of: AsOf) -> Iterable[str]:
    voided = reader.voided()
    began, ended = calendar.day_start(as_of.day), calendar.day_end(as_of.day)
    for file, also in (("takes", ""), ("passes", " AND kind <> 'wind'")):
        sql = f"SELECT entry, reel FROM {file} WHERE (day = ? OR at_us BETWEEN ? AND ?){also}"
        for entry, reel in reader.iterate(sql, (as_of.day, began, ended)):
            if entry not in voided:
                yield reel


def to_do_list(desk: Desk) -> list[ToDo]:
    """What is still to be done with the reels used today."""
    reels = reels_used(desk)
    with desk.store.reading() as reader:
        calendar, as_of = _now(desk, reader)
        runs = {each.reel: each.label for each in _running(reader, calendar, as_of)}
        house = some_reels(reader, calendar, as_of, reels)
        known = set(house.reel_numbers)
        answers = advise(house, [reel for reel in reels if reel in known])
        return [each for answer in answers for each in to_do(answer, runs.get(answer.reel), UNTITLED)]
