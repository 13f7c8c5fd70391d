"""How much tape is on a reel, by a rule, a counter or a scale: always a range, held against the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple, TypeVar

from stock.core.house import House
from stock.core.roll import (
    CORE_OFF_UM,
    DIAMETER_OFF_UM,
    Range,
    length_by_counter,
    length_by_mass,
    length_of_roll,
    outer_at_depth,
)
from stock.core.words import feet
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import CannotEnter, NoSuchReel
from stock.desk.rolls import Sizes, sizes_of
from stock.edge import units
from stock.edge.cells import CellError, parse_speed
from stock.edge.clock import duration
from stock.edge.problems import Problem

T = TypeVar("T")
How = Literal["diameter", "depth", "counter", "weight"]

_OFF_MG = 10_000
"""A scale is read to ten grams."""


class HowMuch(NamedTuple):
    """What a measuring gave. length: tenths of a millimetre. recorded: the record's length, in the same.

    rests_on: what was taken for the sizes it needs, in words. rough: whether it is no more than a rough check.
    """

    reel: str
    how: How
    length: Range
    recorded: int
    rests_on: tuple[str, ...]
    rough: bool

    @property
    def agrees(self) -> bool:
        """Whether the record lies within the range."""
        return self.length.low <= self.recorded <= self.length.high

    @property
    def correction(self) -> int | None:
        """The length to enter instead; None where the record agrees, or the measure is too rough to correct by."""
        return None if self.agrees or self.rough or not self.length.low else self.length.middle


def how_much(desk: Desk, reel: str, given: Mapping[str, str]) -> HowMuch:
    """The tape on a reel from what was measured. Raises NoSuchReel, CannotEnter.

    given: by name, as typed: one of diameter, depth, counter_end (with speed and, where not 0:00, counter_start) or
    weight (with empty); core, thickness, thickness_most, width and reel_size where the record has none or another.
    """
    said = {name: text.strip() for name, text in given.items() if text.strip()}
    how = _how(said)
    house = desk.house([reel])
    if reel not in house.reel_numbers:
        raise NoSuchReel(reel=reel, near="")
    with desk.store.reading() as reader:
        sizes = sizes_of(reader, house, reel)
    if how == "counter":
        return _by_counter(house, reel, said)
    if how == "weight":
        return _by_weight(house, reel, said, sizes)
    return _by_roll(house, reel, said, sizes, how)


def enter_length(desk: Desk, found: HowMuch) -> Receipt:
    """Enter the correction a measuring gave."""
    assert found.correction is not None
    exact = f"{found.correction // 10_000}.{found.correction % 10_000:04d} m"
    how = f"by {found.how}: {feet(found.length.low)} to {feet(found.length.high)}"
    return desk.add("length", {"reel": found.reel, "length": exact, "how": how})


def _how(said: Mapping[str, str]) -> How:
    ways: dict[str, How] = {
        "diameter": "diameter",
        "depth": "depth",
        "counter_end": "counter",
        "weight": "weight",
    }
    named = [name for name in ways if name in said]
    if len(named) != 1:
        says = "no way of measuring is named" if not named else f"{' and '.join(named)} are two ways of measuring"
        raise CannotEnter([Problem("diameter", "", "one of diameter, depth, counter, weight", says)])
    return ways[named[0]]


def _read(said: Mapping[str, str], name: str, read: Callable[[str], T]) -> T | None:
    if name not in said:
        return None
    try:
        return read(said[name])
    except CellError as error:
        raise CannotEnter([Problem(name, said[name], error.expected, str(error))]) from None


def _needed(value: T | None, name: str, expected: str, says: str) -> T:
    if value is None:
        raise CannotEnter([Problem(name, "", expected, says)])
    return value


def _size(text: str) -> int:
    return units.whole(text, units.SIZE)


def _by_roll(house: House, reel: str, said: Mapping[str, str], sizes: Sizes, how: How) -> HowMuch:
    core = _needed(
        _read(said, "core", _size) or sizes.core, "core", "the hub's diameter, `4.5 in`", "the core is not recorded"
    )
    if how == "diameter":
        outer = _needed(_read(said, "diameter", _size), "diameter", "a diameter", "is needed")
        off = DIAMETER_OFF_UM
    else:
        flange = _needed(
            _read(said, "reel_size", _size) or sizes.flange,
            "reel_size",
            "the flange's diameter, `10.5 in`",
            "the reel's size is not recorded",
        )
        outer = outer_at_depth(flange, _needed(_read(said, "depth", _size), "depth", "a depth", "is needed"))
        # read on one side only, a depth counts twice
        off = 2 * DIAMETER_OFF_UM
    if outer <= core:
        says = f"a roll {outer / 1000:.1f} mm across is no larger than its core of {core / 1000:.1f} mm"
        raise CannotEnter([Problem(how, said[how], "more than the core", says)])
    least = _read(said, "thickness", lambda text: units.whole(text, units.THICKNESS))
    if least == 0:
        raise CannotEnter([Problem("thickness", said["thickness"], "a thickness above nothing", "it is nothing")])
    most = _read(said, "thickness_most", lambda text: units.whole(text, units.THICKNESS))
    own = sizes if least is None else sizes._replace(thickness=least)
    thickness = own.thickness_range
    if least is not None and most is not None and most > least:
        thickness = Range(least, most)
    length = length_of_roll(
        Range(outer - off, outer + off), Range(max(core - CORE_OFF_UM, 0), core + CORE_OFF_UM), thickness
    )
    stated = "taken for" if own.thickness is None else "about what is stated"
    rests_on = (
        f"roll {outer / 1000:.1f} mm \u00b1 {off / 1000:g}",
        f"core {core / 1000:.1f} mm \u00b1 {CORE_OFF_UM / 1000:g}",
        f"tape {thickness.low / 1000:.1f} to {thickness.high / 1000:.1f} \u00b5m thick over all ({stated})",
    )
    return HowMuch(reel, how, length, house.layout(reel).length, rests_on, False)


def _by_counter(house: House, reel: str, said: Mapping[str, str]) -> HowMuch:
    end = _needed(_read(said, "counter_end", duration), "counter_end", "a counter reading", "is needed")
    start = _read(said, "counter_start", duration) or 0
    speed = _needed(_read(said, "speed", parse_speed), "speed", "the machine's speed, `15 ips`", "is needed")
    if end <= start:
        says = "the counter does not run on from head to tail"
        raise CannotEnter([Problem("counter_end", said["counter_end"], "a later reading than at the head", says)])
    # a counter goes by the nominal speed, whatever the varispeed
    length = length_by_counter(start, end, speed.nominal)
    return HowMuch(
        reel, "counter", length, house.layout(reel).length, ("the counter, head to tail, good to 0.2 %",), False
    )


def _by_weight(house: House, reel: str, said: Mapping[str, str], sizes: Sizes) -> HowMuch:
    def mass(text: str) -> int:
        return units.whole(text, units.MASS)

    whole = _needed(_read(said, "weight", mass), "weight", "a weight", "is needed")
    empty = _needed(_read(said, "empty", mass), "empty", "the empty reel's weight, `700 g`", "is needed")
    width = _needed(_read(said, "width", _size) or sizes.width, "width", "`2 in`", "the width is not recorded")
    if empty >= whole:
        raise CannotEnter([Problem("empty", said["empty"], "less than the whole weighs", "nothing is left for tape")])
    tape = Range(max(whole - empty - 2 * _OFF_MG, 0), whole - empty + 2 * _OFF_MG)
    length = length_by_mass(tape, width)
    rests_on = ("93 g of tape a square metre, from memory, good to a tenth at best", "a rough check only")
    return HowMuch(reel, "weight", length, house.layout(reel).length, rests_on, True)
