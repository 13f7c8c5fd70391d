"""Facts as they are recorded: a kind, its stored values, and the stretches of tape it lies on."""

from __future__ import annotations

from typing import NamedTuple

from stock.core.kinds import Kind
from stock.core.places import Place


class Stretch(NamedTuple):
    """A half-open stretch of one tape, tenths of a millimetre; a place is a stretch whose ends are equal."""

    tape: str
    lo: int
    hi: int


Value = int | str | None
"""What a stored column holds."""


class Fact(NamedTuple):
    """One fact ready for the store, or read back from it.

    values: one for each of `columns(kind)`, in that order. places: in the order they lay on the reel; empty where
    the kind has none, or the fact lies on no tape. entry and recorded_us are given by the store where they are None.
    """

    kind: Kind
    values: tuple[Value, ...]
    places: tuple[Stretch, ...] = ()
    entry: int | None = None
    recorded_us: int | None = None


class Entered(NamedTuple):
    """A fact as somebody entered it: its values read and checked one by one, its places not yet laid on tape.

    values: as in `Fact`, but the `take_entry` of a decision still None unless it was given. places: what `on_tape`
    gave, or None. entry, recorded_us: what those columns gave, or None.
    """

    kind: Kind
    values: tuple[Value, ...]
    start: Place | None = None
    end: Place | None = None
    places: tuple[Stretch, ...] | None = None
    entry: int | None = None
    recorded_us: int | None = None
