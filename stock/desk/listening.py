"""The listen of a transfer's files, which a person does: what is to be heard, and that it was."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.measure import SECOND
from stock.core.moments import Calendar
from stock.core.tracks import numbers, spell
from stock.desk.desk import Desk, Receipt
from stock.desk.proving import expectation_of
from stock.desk.reading import zone_in_force

_EACH_US = 20 * SECOND


class ToHear(NamedTuple):
    """What is to be heard of a transfer. tracks: numbers and the names the track sheet gives them.

    places_us: from where in the files, at head, middle and end; microseconds.
    """

    transfer: str
    tracks: tuple[tuple[int, str], ...]
    places_us: tuple[int, int, int]


def to_hear(desk: Desk, transfer: str) -> ToHear:
    """What somebody who listens to a transfer is to hear. Raises NoSuchTransfer."""
    with desk.store.reading() as reader:
        wanted = expectation_of(reader, Calendar(zone_in_force(reader)), transfer, "")
    tracks = tuple((number, wanted.track_names.get(number, "")) for number in numbers(wanted.tracks))
    end_us = max(wanted.tape_us - _EACH_US, 0)
    return ToHear(transfer, tracks, (0, max(wanted.tape_us // 2 - _EACH_US // 2, 0), end_us))


def heard(desk: Desk, asked: ToHear, note: str = "") -> Receipt:
    """Enter that who is acting has heard all of it."""
    mask = sum(1 << (number - 1) for number, _ in asked.tracks)
    said = f"head, middle and end of tracks {spell(mask)}"
    return desk.add("listen", {"transfer": asked.transfer, "note": f"{said}; {note}" if note else said})
