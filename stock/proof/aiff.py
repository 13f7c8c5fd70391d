"""AIFF and AIFF-C headers: chunks of big-endian sizes, and the rate as an 80-bit number (IEEE 754 extended)."""

from __future__ import annotations

import struct

from stock.proof.facts import Format, Remark
from stock.proof.headers import Header, HeaderError, Source, checked, lost
from stock.proof.remarks import remark

_MOST_CHUNKS = 4_096
_CODINGS = {
    b"NONE": "PCM", b"sowt": "PCM", b"twos": "PCM", b"in24": "PCM", b"in32": "PCM", b"raw ": "PCM",
    b"fl32": "FLOAT", b"FL32": "FLOAT", b"fl64": "FLOAT", b"FL64": "FLOAT",
}  # fmt: skip


def aiff(source: Source) -> Header:
    """The header of an AIFF or AIFF-C file. Raises HeaderError where it cannot be made sense of."""
    start = source.bytes_at(0, 12)
    if start[8:12] not in (b"AIFF", b"AIFC"):
        raise HeaderError("not-audio", "it is a FORM file and no AIFF file")
    stated = int.from_bytes(start[4:8])
    chunks, pad, faults = _chunks(source)
    if b"COMM" not in chunks or b"SSND" not in chunks:
        missing = "what its samples are" if b"COMM" not in chunks else "where its sound is"
        code = "truncated" if stated + 8 > source.size_bytes else "header-lies"
        raise HeaderError(code, f"its header does not say {missing}")
    shape = _form(source, *chunks[b"COMM"], compressed=start[8:12] == b"AIFC")
    place, size = chunks[b"SSND"]
    offset = int.from_bytes(source.bytes_at(place, 4))
    needed = shape.frames * shape.channels * -(-shape.bits // 8)
    there = min(size - 8, source.size_bytes - place - 8) - offset
    if there < needed:
        faults.append(lost(needed, there))
    elif size - 8 - offset != needed:
        faults.append(remark("header-lies", f"its sound takes {needed} bytes and its header says {size - 8 - offset}"))
    if not shape.frames:
        faults.append(remark("damaged", "it holds no sound"))
    over = source.size_bytes - (stated + 8)
    if over not in ((-1, 0, 1) if pad else (0,)):
        code = "truncated" if over < 0 else "header-lies"
        faults.append(remark(code, f"its header says {stated + 8} bytes and the file has {source.size_bytes}"))
    return Header(shape, None, tuple(faults))


def _chunks(source: Source) -> tuple[dict[bytes, tuple[int, int]], bool, list[Remark]]:
    """Place and size of the chunks by name, whether the last one is odd, and what is wrong with them."""
    found: dict[bytes, tuple[int, int]] = {}
    place, count, size = 12, 0, 0
    while place + 8 <= source.size_bytes:
        name, size = struct.unpack(">4sI", source.bytes_at(place, 8))
        count += 1
        if count > _MOST_CHUNKS or not all(0x20 <= byte < 0x7F for byte in name):
            return found, False, [remark("header-lies", f"what stands at byte {place} is no chunk of an AIFF file")]
        if name in (b"COMM", b"SSND") and name in found:
            return found, False, [remark("header-lies", "it says twice what its samples are, or where its sound is")]
        found[name] = (place + 8, size)
        if place + 8 + size > source.size_bytes and name != b"SSND":
            return found, False, [remark("truncated", f"its {name.decode()} chunk ends after the file does")]
        place += 8 + size + (size & 1)
    return found, bool(size & 1), []


def _form(source: Source, place: int, size: int, *, compressed: bool) -> Format:
    """The format a `COMM` chunk states."""
    if size < (22 if compressed else 18):
        raise HeaderError("header-lies", "it does not say in full what its samples are")
    channels, frames, bits = struct.unpack(">hIh", source.bytes_at(place, 8))
    rate_hz = _rate(source.bytes_at(place + 8, 10))
    kind = source.bytes_at(place + 18, 4) if compressed else b"NONE"
    coding = _CODINGS.get(kind)
    if coding is None:
        raise HeaderError("not-audio", "its sound is coded and not kept as plain samples")
    bits = 64 if kind.lower() == b"fl64" else 32 if coding == "FLOAT" else bits
    if not 1 <= bits <= (64 if coding == "FLOAT" else 32):
        raise HeaderError("header-lies", f"the header says {bits} bits a sample")
    return checked(Format("AIFF", coding, channels, rate_hz, bits, frames))


def _rate(extended: bytes) -> int:
    """A rate in whole samples a second from an 80-bit number; 0 for what is none."""
    exponent, mantissa = struct.unpack(">HQ", extended)
    shift = 16383 + 63 - exponent
    return mantissa >> shift if 0 <= shift <= 63 else 0
