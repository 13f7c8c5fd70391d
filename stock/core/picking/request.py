"""What is asked when a reel is picked, and how much tape each take needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from stock.core.custody import HOUSE
from stock.core.measure import Speed, length_of
from stock.core.rules import Grade, Rules


@dataclass(frozen=True)
class Request:
    """Takes that want room, and which reels may serve.

    takes: playing times in microseconds, in the order of the session. width_um and largest_reel_um in micrometres;
    None where it does not matter. formulations: those allowed; none named means any one. mix: several of them in one
    plan. owner: whose reels are to serve. reels_most: how many at most.
    """

    takes: tuple[int, ...]
    speed: Speed
    width_um: int | None = None
    tracks: int | None = None
    largest_reel_um: int | None = None
    formulations: tuple[str, ...] = ()
    grade: Grade = "standard"
    project: str | None = None
    owner: str = HOUSE
    part_used: bool = False
    reels_most: int | None = None
    any_order: bool = False
    mix: bool = False

    def __post_init__(self) -> None:
        if not self.takes or min(self.takes) <= 0:
            raise ValueError("at least one take is needed, and none without a playing time")
        if self.speed.actual <= 0:
            raise ValueError("the tape must move")
        if self.reels_most is not None and self.reels_most < 1:
            raise ValueError("a plan needs at least one reel")


class Footprint(NamedTuple):
    """The tape one take needs, tenths of a millimetre: slate and pre-roll, the take, room to run over.

    slate: where the take begins in it. ends: where the take ends in it, if it keeps to its time. length: of it all.
    """

    slate: int
    ends: int
    length: int


def footprint(take_us: int, speed: int, rules: Rules) -> Footprint:
    """The footprint of a take of so many microseconds at an actual speed (micrometres per second)."""
    share = -(-take_us * rules.number("overrun_share") // 1000)
    slate_us = rules.number("slate_s")
    overrun_us = max(share, rules.number("overrun_s"))
    return Footprint(
        length_of(slate_us, speed),
        length_of(slate_us + take_us, speed),
        length_of(slate_us + take_us + overrun_us, speed),
    )


def footprints(request: Request, rules: Rules) -> tuple[Footprint, ...]:
    """The footprints of all takes asked for, in their order."""
    return tuple(footprint(take_us, request.speed.actual, rules) for take_us in request.takes)


def gap(request: Request, rules: Rules) -> int:
    """The tape left between two footprints in one stretch."""
    return length_of(rules.number("gap_s"), request.speed.actual)
