"""WAV, Broadcast Wave and RF64 headers: chunks, their sizes, and the broadcast extension.

RIFF sizes are 32 bit and say how long a file is; RF64 (EBU Tech 3306) writes all ones there and the 64-bit sizes in
a `ds64` chunk. The `bext` chunk is EBU Tech 3285.
"""

from __future__ import annotations

import struct
from typing import NamedTuple

from stock.proof.facts import Bext, Format, Remark
from stock.proof.headers import Header, HeaderError, Source, checked, lost
from stock.proof.remarks import remark

_UNSTATED = 0xFFFF_FFFF
_MOST_CHUNKS = 4_096
_LONGEST_HISTORY = 64 * 1024
_BEXT_BYTES = 602
"""The fixed part of a `bext` chunk, before the coding history."""

_CODINGS = {1: "PCM", 3: "FLOAT"}
_EXTENSIBLE = 0xFFFE


class _Chunk(NamedTuple):
    name: bytes
    place: int
    size_bytes: int


def riff(source: Source) -> Header:
    """The header of a RIFF or RF64 file. Raises HeaderError where it cannot be made sense of."""
    start = source.bytes_at(0, 12)
    if start[8:12] != b"WAVE":
        raise HeaderError("not-audio", "it is a RIFF file and no WAVE file")
    wide = start[:4] == b"RF64"
    stated = int.from_bytes(start[4:8], "little")
    sizes: dict[bytes, int] = {}
    if wide:
        stated, sizes = _wide_sizes(source, stated)
    chunks, faults = _chunks(source, sizes)
    forms = [chunk for chunk in chunks if chunk.name == b"fmt "]
    sounds = [chunk for chunk in chunks if chunk.name == b"data"]
    if not forms or not sounds:
        missing = "what its samples are" if not forms else "where its sound is"
        code = "truncated" if stated + 8 > source.size_bytes else "header-lies"
        raise HeaderError(code, f"its header does not say {missing}")
    if len(forms) > 1 or len(sounds) > 1:
        faults.append(remark("header-lies", "it says twice what its samples are, or where its sound is"))
    shape, block = _form(source, forms[0], sounds[0], "RF64" if wide else "WAV", faults)
    faults.extend(_size_faults(source, stated, sounds[0], chunks[-1], block))
    return Header(shape, _bext(source, chunks, faults), tuple(faults))


def _wide_sizes(source: Source, stated: int) -> tuple[int, dict[bytes, int]]:
    """The size of the whole and of single chunks, by the `ds64` chunk that must come first."""
    name, size = struct.unpack("<4sI", source.bytes_at(12, 8))
    if name != b"ds64" or size < 28:
        raise HeaderError("header-lies", "it is an RF64 file without the 64-bit sizes it needs")
    whole, sound = struct.unpack("<QQ", source.bytes_at(20, 16))
    return (whole if stated == _UNSTATED else stated), {b"data": sound}


def _chunks(source: Source, sizes: dict[bytes, int]) -> tuple[list[_Chunk], list[Remark]]:
    """The chunks of a file in order, and what is wrong with their sizes."""
    found: list[_Chunk] = []
    place = 12
    while place + 8 <= source.size_bytes:
        name, size = struct.unpack("<4sI", source.bytes_at(place, 8))
        if not all(0x20 <= byte < 0x7F for byte in name):
            return found, [remark("header-lies", f"what stands at byte {place} is no chunk of a WAVE file")]
        if size == _UNSTATED:
            size = sizes.get(name, size)
        chunk = _Chunk(name, place + 8, size)
        found.append(chunk)
        if len(found) > _MOST_CHUNKS:
            return found, [remark("header-lies", f"it has more than {_MOST_CHUNKS} chunks")]
        place = chunk.place + size + (size & 1)
        if chunk.place + size > source.size_bytes and name != b"data":
            says = f"its {name.decode()} chunk ends after the file does"
            return found, [remark("truncated", says)]
    # One byte may be the pad that closes an odd chunk and that the size of the whole leaves out.
    if place < source.size_bytes:
        return found, [remark("header-lies", f"{source.size_bytes - place} bytes at its end belong to no chunk")]
    return found, []


def _form(source: Source, form: _Chunk, sound: _Chunk, container: str, faults: list[Remark]) -> tuple[Format, int]:
    """The format a `fmt ` chunk states, and the bytes of one frame."""
    if form.size_bytes < 16:
        raise HeaderError("header-lies", "it does not say in full what its samples are")
    code, channels, rate_hz, rate_bytes, block, bits = struct.unpack("<HHIIHH", source.bytes_at(form.place, 16))
    if code == _EXTENSIBLE and form.size_bytes >= 40:
        code = int.from_bytes(source.bytes_at(form.place + 24, 2), "little")
    coding = _CODINGS.get(code)
    if coding is None:
        raise HeaderError("not-audio", f"its sound is coded (kind {code}) and not kept as plain samples")
    if bits not in ((8, 16, 24, 32) if coding == "PCM" else (32, 64)):
        raise HeaderError("header-lies", f"the header says {bits} bits a sample")
    frame = channels * (bits // 8)
    shape = checked(Format(container, coding, channels, rate_hz, bits, sound.size_bytes // frame if frame else 0))
    if block != frame or rate_bytes != rate_hz * frame:
        says = f"its header says {block} bytes a frame and {rate_bytes} a second; its samples take {frame}"
        faults.append(remark("header-lies", says))
    return shape, frame


def _size_faults(source: Source, stated: int, sound: _Chunk, last: _Chunk, block: int) -> list[Remark]:
    """What is wrong with the size of the sound and of the whole."""
    there = source.size_bytes - sound.place
    if sound.size_bytes in (0, _UNSTATED) and there > 0:
        return [remark("header-lies", "its header was never closed: it does not say how much sound there is")]
    if sound.size_bytes > there:
        return [lost(sound.size_bytes, there)]
    faults: list[Remark] = []
    if sound.size_bytes == 0:
        faults.append(remark("damaged", "it holds no sound"))
    if sound.size_bytes % block:
        faults.append(remark("header-lies", "its sound ends inside a frame"))
    over = source.size_bytes - (stated + 8)
    pad = last.size_bytes & 1
    if over not in ((-1, 0, 1) if pad else (0,)):
        code = "truncated" if over < 0 else "header-lies"
        faults.append(remark(code, f"its header says {stated + 8} bytes and the file has {source.size_bytes}"))
    return faults


def _bext(source: Source, chunks: list[_Chunk], faults: list[Remark]) -> Bext | None:
    """The broadcast extension (EBU Tech 3285), None where there is none."""
    found = [chunk for chunk in chunks if chunk.name == b"bext"]
    if not found:
        return None
    chunk = found[0]
    if len(found) > 1 or chunk.size_bytes < _BEXT_BYTES:
        faults.append(remark("header-lies", "its broadcast extension is too short, or there are two"))
        return None
    if chunk.place + chunk.size_bytes > source.size_bytes:
        return None
    fixed = source.bytes_at(chunk.place, _BEXT_BYTES)
    history = source.bytes_at(chunk.place + _BEXT_BYTES, min(chunk.size_bytes - _BEXT_BYTES, _LONGEST_HISTORY))
    low, high = struct.unpack_from("<II", fixed, 338)
    return Bext(
        description=_text(fixed[:256]),
        originator=_text(fixed[256:288]),
        reference=_text(fixed[288:320]),
        date=_text(fixed[320:330]),
        time=_text(fixed[330:338]),
        time_reference=high << 32 | low,
        coding_history=_text(history),
    )


def _text(field: bytes) -> str:
    """A text field up to its first zero byte: ASCII by the standard, UTF-8 or Latin-1 in practice."""
    words = field.split(b"\0", 1)[0]
    try:
        return words.decode().rstrip()
    except UnicodeDecodeError:
        return words.decode("latin-1").rstrip()
