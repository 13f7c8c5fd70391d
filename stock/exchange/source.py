"""Exchange files as rows of cells: which files there are, which may be opened, and what stands on which line."""

from __future__ import annotations

import codecs
import csv
import io
import os
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from stock.core.kinds import BY_FILE, KINDS, Kind
from stock.edge.problems import shown
from stock.exchange.guard import MARK, unguard
from stock.exchange.report import Misread

MOST_BYTES = 1 << 30
"""The largest file that is read."""
LONGEST_LINE = 1 << 20
"""Characters of a line, at most: more than all columns full of the longest texts."""

Report = Callable[[Misread], None]
"""What takes each problem as it is found."""

_SUFFIX = ".csv"
_BLOCK = 1 << 20
_OPENING = os.O_RDONLY | os.O_CLOEXEC | os.O_NOFOLLOW | os.O_NONBLOCK
"""A link or a pipe put in the file's place after it was looked at is neither followed nor waited for."""


class _Refused(Exception):
    """A file that is not read any further. line: where that showed, None before the first."""

    def __init__(self, says: str, expected: str, line: int | None = None) -> None:
        super().__init__(says)
        self.expected = expected
        self.line = line


def files(path: Path, report: Report) -> list[tuple[Kind, Path]]:
    """The exchange files at a path, one file or a folder of them, in the order of the kinds.

    In a folder files are known by their exact names; another `.csv` is reported, so that nothing meant to be loaded is
    passed over in silence. What else lies there is left alone. A single file is known by its stem.
    """
    try:
        if not path.is_dir():
            path.lstat()
            return _single(path, report)
        names = sorted(entry.name for entry in path.iterdir())
    except OSError as error:
        report(_unreadable(path, error))
        return []
    for name in names:
        if name.lower().endswith(_SUFFIX) and not name.startswith(".") and name.removesuffix(_SUFFIX) not in BY_FILE:
            report(_unknown(name))
    return [(kind, path / f"{kind.file}{_SUFFIX}") for kind in KINDS if f"{kind.file}{_SUFFIX}" in names]


def rows(path: Path, report: Report) -> Iterator[tuple[int, list[str]]]:
    """The rows of a file, header first, each with the line it begins on, unguarded; empty lines are left out.

    A row that is not CSV is reported and the next line read on from; a file that is not UTF-8, not a regular file, too
    large or empty is reported and ends there. Whether rows are as long as the header is not looked at.
    """
    marked = False
    empty = True

    def typed(text: io.TextIOWrapper) -> Iterator[str]:
        nonlocal marked
        while line := text.readline(LONGEST_LINE + 1):
            if MARK in line:
                marked = True
            if len(line) > LONGEST_LINE:
                expected = f"a line of at most {LONGEST_LINE} characters"
                raise _Refused(f"a line here is far too long; {expected} was expected", expected, reader.line_num + 1)
            yield line

    try:
        with _opened(path) as file, io.TextIOWrapper(file, "utf-8-sig", newline="") as text:
            reader = csv.reader(typed(text), strict=True)
            line = 1
            while True:
                try:
                    for row in reader:
                        if row:
                            empty = False
                            yield line, unguard(row) if marked else row
                            marked = False
                        line = reader.line_num + 1
                    break
                except csv.Error as error:
                    empty = False
                    report(_not_csv(path, line, error))
                    line = reader.line_num + 1
        if empty:
            expected = "a header row that names the columns"
            report(Misread(path.name, None, "", "", expected, f"the file is empty; {expected} was expected"))
    except _Refused as refused:
        report(Misread(path.name, refused.line, "", "", refused.expected, str(refused)))
    except UnicodeDecodeError:
        report(_not_utf8(path))
    except OSError as error:
        report(_unreadable(path, error))


def _single(path: Path, report: Report) -> list[tuple[Kind, Path]]:
    kind = BY_FILE.get(path.stem)
    if kind is None:
        report(_unknown(path.name))
        return []
    return [(kind, path)]


def _opened(path: Path) -> BinaryIO:
    _refuse_unless_regular(path.lstat())
    file = os.fdopen(os.open(path, _OPENING), "rb")
    try:
        _refuse_unless_regular(os.fstat(file.fileno()))
    except _Refused:
        file.close()
        raise
    return file


def _refuse_unless_regular(status: os.stat_result) -> None:
    expected = "a regular file"
    if not stat.S_ISREG(status.st_mode):
        is_a = {stat.S_IFLNK: "a link", stat.S_IFDIR: "a folder"}.get(stat.S_IFMT(status.st_mode), "a pipe or a device")
        raise _Refused(f"this is {is_a}; {expected} was expected", expected)
    if status.st_size > MOST_BYTES:
        expected = f"a file of at most {MOST_BYTES >> 20} MiB"
        raise _Refused(f"the file is too large; {expected} was expected", expected)


def _unknown(name: str) -> Misread:
    expected = f"one of {', '.join(kind.file + _SUFFIX for kind in KINDS)}"
    return Misread(name, None, "", name, expected, f"{shown(name)} is no exchange file; {expected} was expected")


def _unreadable(path: Path, error: OSError) -> Misread:
    expected = "a file or folder that can be read"
    why = error.strerror or type(error).__name__
    return Misread(path.name or str(path), None, "", "", expected, f"cannot be read ({why}); {expected} was expected")


def _not_csv(path: Path, line: int, error: csv.Error) -> Misread:
    expected = 'cells parted by commas, and in a quoted cell each `"` doubled and one `"` to close it'
    return Misread(path.name, line, "", "", expected, f"this row is not CSV ({error}); {expected}, was expected")


def _not_utf8(path: Path) -> Misread:
    """Where a file that could not be decoded first goes wrong, found by a second reading."""
    expected = "text saved as UTF-8"
    try:
        with _opened(path) as file:
            line, offset, found = _first_bad_byte(file)
    except (_Refused, OSError):
        return Misread(path.name, None, "", "", expected, f"the file is not UTF-8; {expected} was expected")
    utf16 = offset == 1 and found in (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
    why = "the file is UTF-16" if utf16 else f"byte {offset} of the file is not UTF-8"
    value = found[:1].hex().upper()
    return Misread(path.name, line, "", value, expected, f"{why} (0x{value}); {expected} was expected")


def _first_bad_byte(file: BinaryIO) -> tuple[int, int, bytes]:
    """The line and the place in the file, both from 1, of the first byte that is not UTF-8, and two bytes from there.

    All nothing for a file that has become good in the meantime.
    """
    decoder = codecs.getincrementaldecoder("utf-8")()
    line_ends = io.IncrementalNewlineDecoder(None, translate=True)
    line, before = 1, 0
    while True:
        block = file.read(_BLOCK)
        held = len(decoder.getstate()[0])
        try:
            text = decoder.decode(block, final=not block)
        except UnicodeDecodeError as error:
            good = error.object[: error.start].decode()
            line += line_ends.decode(good, final=True).count("\n")
            return line, before - held + error.start + 1, error.object[error.start : error.start + 2]
        if not block:
            return 1, 0, b""
        line += line_ends.decode(text).count("\n")
        before += len(block)
