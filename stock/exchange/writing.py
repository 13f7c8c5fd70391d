"""Exchange folders written: one CSV for each kind of fact, each appearing whole or not at all."""

from __future__ import annotations

import csv
import os
import tempfile
from collections.abc import Iterable, Mapping
from itertools import chain
from operator import itemgetter
from pathlib import Path
from typing import TextIO

from stock.core.kinds import KINDS, Kind
from stock.edge.dump import dump_columns
from stock.exchange.guard import guard

_NUMBERS = frozenset({"place", "thousandths"})
"""Cells that may begin with a minus and are no text: a counter place before zero, a level."""


class FolderNotEmpty(Exception):
    """A dump into a folder that holds something already. folder: which; remedy: what to do."""

    code = "folder-not-empty"
    remedy = "Name a new folder, or say that what is in this one may be replaced."

    def __init__(self, folder: Path) -> None:
        super().__init__(f"{folder} is not empty")
        self.folder = folder


def write_folder(
    folder: Path, sheets: Iterable[tuple[Kind, Iterable[Mapping[str, str]]]], *, overwrite: bool = False
) -> list[Path]:
    """Write the rows of each kind, cells by column as `spell_fact` gives them, and return the files made.

    The folder is made where there is none. No file is put in its place before all are written and synced. A kind
    without facts gets no file; with overwrite, the exchange files of an earlier dump that are not written anew are
    removed, and all else in the folder stays. Files are their owner's alone. FolderNotEmpty without overwrite;
    ValueError for a kind given twice; OSError where the folder cannot be written.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not overwrite and any(folder.iterdir()):
        raise FolderNotEmpty(folder)
    parts: dict[str, Path] = {}
    try:
        for kind, rows in sheets:
            if kind.file in parts:
                raise ValueError(f"{kind.file} is given twice")
            each = iter(rows)
            first = next(each, None)
            if first is not None:
                parts[kind.file] = _new_part(folder, kind)
                _write(parts[kind.file], kind, chain((first,), each))
        written = [part.replace(_file(folder, name)) for name, part in parts.items()]
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)
    for kind in KINDS:
        if kind.file not in parts:
            _file(folder, kind.file).unlink(missing_ok=True)
    _sync(folder)
    return written


def _file(folder: Path, name: str) -> Path:
    return folder / f"{name}.csv"


def _new_part(folder: Path, kind: Kind) -> Path:
    """An empty file only its owner may read; its name is none that a reading of the folder looks at."""
    handle, name = tempfile.mkstemp(prefix=f".{kind.file}.", suffix=".part", dir=folder)
    os.close(handle)
    return Path(name)


def _write(path: Path, kind: Kind, rows: Iterable[Mapping[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as out:
        _write_rows(out, kind, rows)
        out.flush()
        os.fsync(out.fileno())


def _write_rows(out: TextIO, kind: Kind, rows: Iterable[Mapping[str, str]]) -> None:
    columns = dump_columns(kind)
    numbers = {field.name for field in kind.fields if field.cell in _NUMBERS}
    is_text = [column not in numbers for column in columns]
    in_order = itemgetter(*columns)
    minimal = csv.writer(out, lineterminator="\n")
    # the csv module of Python 3.11 leaves a return outside quotes, where it would end the line
    quoted = csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL)
    minimal.writerow(columns)
    for row in rows:
        cells = [guard(cell) if text else cell for cell, text in zip(in_order(row), is_text, strict=True)]
        writer = quoted if any("\r" in cell for cell in cells) else minimal
        writer.writerow(cells)


def _sync(folder: Path) -> None:
    """The names of the files are on disk as well as what is in them."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
