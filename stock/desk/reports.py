"""Reports taken along: what a screen tells, as a text file, as a paper, or on a printer."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from stock.desk.errors import DeskError
from stock.edge.visible import safe

PRINTERS = ("lp", "lpr")
"""The programs of a printing system: POSIX names the first; the second is common practice."""
_PRINT_WAIT_S = 30


class Report(NamedTuple):
    """What is told. lines: without line ends."""

    title: str
    lines: tuple[str, ...]


class FileIsThere(DeskError):
    """A file of that name is there. path: which."""

    code = "file-is-there"
    wording = "{path} is there already"
    remedy = "Give another name, or say that it may be replaced."


class CannotWrite(DeskError):
    code = "cannot-write"
    wording = "{path} cannot be written: {says}"
    remedy = "Name a file in a folder that is there and yours to write to."


class CannotPrint(DeskError):
    code = "cannot-print"
    wording = "it was not printed: {says}"
    remedy = "Save it as PDF and print that."


def text_of(report: Report) -> str:
    """A report as text: its title, a line of room, its lines; nothing in it is obeyed by a terminal or a printer."""
    return "".join(f"{safe(line).rstrip()}\n" for line in (report.title, "", *report.lines))


def save(path: Path, content: bytes, *, replace: bool = False) -> None:
    """Write a file whole or not at all; FileIsThere unless it may replace one, CannotWrite where that fails."""
    from stock.exchange.papers import write_whole

    path = path.expanduser()
    if path.exists() and not replace:
        raise FileIsThere(path=path)
    try:
        write_whole(path, content)
    except OSError as error:
        raise CannotWrite(path=path, says=error.strerror or str(error)) from error


def as_pdf(report: Report, made: datetime) -> bytes:
    """A report as PDF on A4, its lines in a fixed pitch."""
    from stock.exchange.papers import add_lines, finished, paper

    wide = max((len(line) for line in report.lines), default=0) > 90
    pdf = paper(report.title, made, landscape=wide)
    pdf.add_page()
    add_lines(pdf, report.title, report.lines)
    return finished(pdf)


def printer() -> str | None:
    """The program that prints here; None where there is none."""
    return next((found for name in PRINTERS if (found := shutil.which(name))), None)


def print_out(report: Report) -> None:
    """Hand a report to the printer as text; CannotPrint where there is none, or it refuses."""
    program = printer()
    if program is None:
        raise CannotPrint(says=f"there is no program {' or '.join(PRINTERS)} on this machine")
    try:
        done = subprocess.run(
            [program], input=text_of(report).encode(), capture_output=True, timeout=_PRINT_WAIT_S, check=False
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        raise CannotPrint(says=str(error)) from error
    if done.returncode:
        raise CannotPrint(says=done.stderr.decode(errors="replace").strip() or f"{program} gave {done.returncode}")


def file_name(title: str, ending: str) -> str:
    """A file's name from a report's title: `reel-M-0151.txt`."""
    words = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-_") else "-" for sign in title)
    return f"{'-'.join(part for part in words.split('-') if part) or 'report'}.{ending}"


def words_of(lines: Sequence[str]) -> str:
    """How many lines: `1 line`, `80 lines`."""
    return f"{len(lines)} line{'' if len(lines) == 1 else 's'}"
