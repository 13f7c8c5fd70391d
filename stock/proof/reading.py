"""One file read from end to end: hashed and decoded at once, and watched for changes while it is."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable
from typing import NamedTuple

from stock.proof.decoding import DecodeError, Decoder
from stock.proof.expectation import Limits
from stock.proof.facts import Channel, FileFacts, Format, Remark
from stock.proof.files import Entry, Folder, Stamp, why
from stock.proof.headers import Header, HeaderError, Source
from stock.proof.levels import Meter
from stock.proof.remarks import remark
from stock.proof.sniff import header

_CHUNK_BYTES = 1 << 20


class FileResult(NamedTuple):
    """What came of one file. facts: None where it could not be read to its end."""

    path: str
    stamp: Stamp
    facts: FileFacts | None
    remarks: tuple[Remark, ...]


class Stopped(Exception):
    """The person stopped the reading."""


def read_file(
    folder: Folder,
    entry: Entry,
    limits: Limits,
    algorithms: Iterable[str],
    read: Callable[[int], None],
) -> FileResult:
    """Read one file of a folder: hash its bytes once, and decode its sound beside that.

    algorithms: hashes beside SHA-256, by hashlib's names. read: told how many bytes were hashed, each time; it raises
    Stopped to end the reading. What is wrong with the file is a remark, never an exception.
    """
    reading = _Reading(entry, limits, algorithms, read)
    facts = None
    try:
        with folder.opened(entry.path) as file:
            facts = reading.run(file)
    except FileNotFoundError:
        reading.fail("file-missing", "it was there when the folder was listed and is gone")
    except OSError as error:
        reading.fail("cannot-read", f"it cannot be read: {why(error)}")
    if facts is not None and folder.stamp(entry.path) != entry.stamp:
        facts = None
        reading.fail("changed", "it was written to, or replaced, while it was read")
    return FileResult(entry.path, entry.stamp, facts, tuple(reading.remarks))


class _Reading:
    def __init__(self, entry: Entry, limits: Limits, algorithms: Iterable[str], read: Callable[[int], None]) -> None:
        self.remarks: list[Remark] = []
        self._entry = entry
        self._limits = limits
        self._read = read
        self._hashes = {name: hashlib.new(name) for name in {"sha256", *algorithms}}
        self._meter: Meter | None = None
        self._broken = False

    def fail(self, code: str, says: str) -> None:
        """Remark that something is wrong with the file."""
        self.remarks.append(remark(code, f"{self._entry.path}: {says}", path=self._entry.path))

    def run(self, file: int) -> FileFacts | None:
        size = self._entry.stamp.size_bytes
        if Stamp.of(os.fstat(file)) != self._entry.stamp:
            self.fail("changed", "it is not the file that was there when the folder was listed")
            return None
        found = self._header(file, size)
        decoder = self._decoder(file, found.format) if found else None
        try:
            whole = self._hash(file, size, decoder)
            if decoder is not None and whole:
                self._measure(decoder, wait=True)
        finally:
            if decoder is not None:
                decoder.close()
        if not whole:
            self.fail("shrank", "it became shorter while it was read")
            return None
        shape = found.format if found else None
        levels = self._levels(decoder, shape) if shape and decoder else ()
        return FileFacts(
            self._entry.path,
            size,
            self._hashes["sha256"].hexdigest(),
            {name: value.hexdigest() for name, value in self._hashes.items() if name != "sha256"},
            shape._replace(frames=self._meter.frames) if shape and self._meter and levels else shape,
            levels,
            found.bext if found else None,
        )

    def _header(self, file: int, size: int) -> Header | None:
        try:
            found = header(self._entry.path, Source(file, size))
        except HeaderError as error:
            found = Header(None, None, (remark(error.code, str(error)),))
        if found is None:
            says = f"{self._entry.path} is no audio file"
            self.remarks.append(remark("other-file", says, path=self._entry.path))
            return None
        for fault in found.faults:
            self.fail(fault.code, fault.says)
        return found

    def _decoder(self, file: int, shape: Format | None) -> Decoder | None:
        if shape is None:
            return None
        self._meter = Meter(shape, self._limits)
        try:
            return Decoder(file, shape, self._meter.block_frames)
        except DecodeError as error:
            self.fail("damaged", f"its sound cannot be decoded: {error}")
            return None

    def _hash(self, file: int, size: int, decoder: Decoder | None) -> bool:
        """Hash every byte, and measure what is decoded meanwhile; False where the file ends before its size."""
        chunk = bytearray(_CHUNK_BYTES)
        view = memoryview(chunk)
        hashes = list(self._hashes.values())
        place = 0
        while count := os.preadv(file, [view], place):
            for value in hashes:
                value.update(view[:count])
            place += count
            self._read(count)
            if decoder is not None:
                self._measure(decoder, wait=False)
            if place > size:
                break
        return place >= size

    def _measure(self, decoder: Decoder, *, wait: bool) -> None:
        if self._broken or self._meter is None:
            return
        try:
            for block in decoder.ready(wait=wait):
                self._meter.add(block)
        except DecodeError as error:
            self._broken = True
            self.fail("damaged", f"its sound cannot be decoded beyond {self._meter.frames} samples: {error}")

    def _levels(self, decoder: Decoder, shape: Format) -> tuple[Channel, ...]:
        """The levels of what was decoded, and remarks where it is not what the header promises."""
        assert self._meter is not None
        done = self._meter.frames
        failed = any(found.severity == "fail" for found in self.remarks)
        if not self._meter.sane:
            self.fail("damaged", "it holds samples that are no numbers")
            return ()
        if done != shape.frames and not failed:
            code = "truncated" if done < shape.frames else "header-lies"
            self.fail(code, f"its header promises {shape.frames} samples and {done} are there")
        if decoder.bits != -(-shape.bits // 8) * 8 and not failed:
            self.fail("header-lies", f"its header says {shape.bits} bits and its samples have {decoder.bits}")
        return self._meter.result() if done else ()
