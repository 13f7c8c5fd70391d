"""How much tape a wound roll holds, from its diameter or its depth on the flange; always a range.

A roll is a ring filled with tape: length times thickness is its area. Sizes and diameters are in micrometres, a
thickness in nanometres, lengths in tenths of a millimetre; a `Range` holds the least and the most of any of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import isqrt, pi
from typing import NamedTuple


class Range(NamedTuple):
    """From the least to the most that a measure may be."""

    low: int
    high: int

    @property
    def middle(self) -> int:
        return (self.low + self.high) // 2

    def about(self, part_per_thousand: int) -> Range:
        """The range made wider by a part of its ends."""
        return Range(self.low * (1000 - part_per_thousand) // 1000, -(-self.high * (1000 + part_per_thousand) // 1000))


UNSTATED_THICKNESS_NM = Range(50_000, 54_100)
"""Where a formulation's thickness is not stated: the nominal 50 micrometres of the charts (richardhess.com, Tape
timing) to the 54.10 of a published data sheet (Handbook for Sound Engineers, p. 1069, 2.130 mil over all)."""
THICKNESS_OFF = 20
"""A stated thickness may be off by so many parts in a thousand: the house's own guess, from memory."""
DIAMETER_OFF_UM = 1000
"""A diameter read off with a rule is good to a millimetre."""
CORE_OFF_UM = 500
COUNTER_OFF = 2
"""A counter is good to about so many parts in a thousand (common practice)."""
GRAMS_A_SQUARE_METRE = 93
"""Mass of tape of the 1.5-mil class by its area, from densities and from memory."""
MASS_OFF = 100
"""That figure may be off by so many parts in a thousand at best."""


def length_of_roll(outer: Range, core: Range, thickness: Range) -> Range:
    """The tape on a roll by its outer diameter: pi (D^2 - d^2) / (4 t). Nothing where it is no larger than its core."""
    low = _length(outer.low, core.high, thickness.high)
    return Range(low, max(low, _length(outer.high, core.low, thickness.low)))


def _length(outer: int, core: int, thickness: int) -> int:
    # micrometres squared by nanometres, in tenths of a millimetre
    return round(pi * max(outer * outer - core * core, 0) * 10 / (4 * thickness))


def outer_at_depth(flange: int, depth: int) -> int:
    """The roll's diameter where the tape lies so deep below the rim of a flange of a diameter."""
    return max(flange - 2 * depth, 0)


def diameter_of(lengths: Iterable[tuple[int, int]], core: int) -> int:
    """The outer diameter of a roll of (length, thickness in nanometres) pieces: sqrt(d^2 + 4 t L / pi)."""
    area = sum(length * thickness for length, thickness in lengths)  # tenths of a millimetre by nanometres
    return isqrt(round(core * core + 4 * area / 10 / pi))


def turns_of(outer: int, core: int, thickness: int) -> int:
    """How many times tape lies around its core, to the nearest."""
    return round((outer - core) * 1000 / (2 * thickness))


def brim_full(flange: int, core: int, thickness: int) -> int:
    """The length that fills a reel to the rim of its flange."""
    return _length(flange, core, thickness)


def length_by_counter(start_us: int, end_us: int, speed: int) -> Range:
    """The length between two counter readings at a speed, head to tail."""
    exact = (end_us - start_us) * speed // 100_000_000
    return Range(exact, exact).about(COUNTER_OFF)


def length_by_mass(mass: Range, width: int) -> Range:
    """A rough check only: the length of tape, without its reel, from milligrams and a width in micrometres."""
    metre_mg = GRAMS_A_SQUARE_METRE * width // 1000
    light = metre_mg * (1000 - MASS_OFF) // 1000
    heavy = metre_mg * (1000 + MASS_OFF) // 1000
    return Range(mass.low * 10_000 // heavy, -(-mass.high * 10_000 // light))
