"""What a file's header says it holds, held against the size it really has.

libsndfile forgives a header much: it reads what is there and says nothing of what is missing. So the sizes are read
here, and samples there. WAV, Broadcast Wave and RF64 are `stock.proof.riff`, AIFF `stock.proof.aiff`, FLAC here.
"""

from __future__ import annotations

import os
from typing import NamedTuple

from stock.proof.facts import Bext, Format, Remark
from stock.proof.remarks import remark

MOST_CHANNELS = 64
_RATES_HZ = range(8_000, 1_536_001)


class Header(NamedTuple):
    """format: None where the header says too little to decode. faults: as remarks without a path."""

    format: Format | None
    bext: Bext | None = None
    faults: tuple[Remark, ...] = ()


class HeaderError(ValueError):
    """A header that cannot be made sense of. code: of the remark it makes."""

    def __init__(self, code: str, says: str) -> None:
        super().__init__(says)
        self.code = code


class Source:
    """An open file as its header is read: bytes at places, and HeaderError for those that are not there."""

    def __init__(self, file: int, size_bytes: int) -> None:
        self.size_bytes = size_bytes
        self._file = file

    def bytes_at(self, place: int, count: int) -> bytes:
        """Exactly so many bytes; HeaderError where the file ends before them, OSError where it cannot be read."""
        found = b""
        while len(found) < count:
            part = os.pread(self._file, count - len(found), place + len(found))
            if not part:
                raise HeaderError("truncated", f"the file ends inside its header, at byte {place + len(found)}")
            found += part
        return found


def checked(shape: Format) -> Format:
    """The format, if it can be that of a tape's tracks. Raises HeaderError where it cannot."""
    if not 1 <= shape.channels <= MOST_CHANNELS:
        raise HeaderError("header-lies", f"the header says {shape.channels} channels")
    if shape.rate_hz not in _RATES_HZ:
        raise HeaderError("header-lies", f"the header says {shape.rate_hz} samples a second")
    return shape


def lost(stated_bytes: int, there_bytes: int) -> Remark:
    """The remark on sound that the header promises and the file does not hold."""
    says = f"its header promises {stated_bytes} bytes of sound and {max(there_bytes, 0)} are there"
    return remark("truncated", says)


def flac(source: Source) -> Header:
    """The header of a FLAC file (RFC 9639: marker, then metadata blocks, the first of them STREAMINFO)."""
    info = source.bytes_at(4, 4 + 34)
    if info[0] & 0x7F != 0 or int.from_bytes(info[1:4]) != 34:
        raise HeaderError("header-lies", "it does not begin with the block that says what it holds")
    packed = int.from_bytes(info[4 + 10 : 4 + 18])
    frames = packed & 0xF_FFFF_FFFF
    bits = (packed >> 36 & 0x1F) + 1
    shape = checked(Format("FLAC", "PCM", (packed >> 41 & 0x7) + 1, packed >> 44, bits, frames))
    place, block = 4, info
    while not block[0] & 0x80:
        place += 4 + int.from_bytes(block[1:4])
        block = source.bytes_at(place, 4)
    place += 4 + int.from_bytes(block[1:4])
    if place >= source.size_bytes:
        return Header(shape, None, (remark("truncated", "it ends before its sound begins"),))
    if not frames:
        says = "its header does not say how long it is: it was never closed, or was written to a pipe"
        return Header(shape, None, (remark("header-lies", says),))
    return Header(shape)
