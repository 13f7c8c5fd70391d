"""Places as people give them, before they are laid on tape."""

from __future__ import annotations

from typing import NamedTuple


class AtLength(NamedTuple):
    """A length from the head of the tape on the reel, tenths of a millimetre."""

    length: int


class AtTime(NamedTuple):
    """A counter reading: microseconds from the zero mark in force, at the nominal speed."""

    time_us: int


class AtCode(NamedTuple):
    """A timecode, read off the reel's stripe: `hh:mm:ss:ff`, or `hh:mm:ss;ff` for drop frame."""

    code: str


Place = AtLength | AtTime | AtCode
