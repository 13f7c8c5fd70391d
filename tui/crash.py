"""What is left of a crash: a log that names kinds of errors and lines of programs, and nothing anybody typed."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

FAULT = 3
"""The exit status of the program's own fault."""

_PARTS_KEPT = 3
"""So many parts of a file's path tell which file it is, and nothing of whose machine it lies on."""


def log_folder() -> Path:
    """Where logs are written: the user's state folder (XDG Base Directory Specification)."""
    base = os.environ.get("XDG_STATE_HOME")
    folder = Path(base) if base else Path.home() / ".local" / "state"
    return folder / "reelward"


def frames_of(error: BaseException) -> list[str]:
    """An error and what it came from: kinds of errors and `file:line in function`, without messages or values."""
    lines: list[str] = []
    for each in _chain(error):
        lines.append(f"{type(each).__module__}.{type(each).__qualname__}")
        lines.extend(f"  {frame}" for frame in _frames(each.__traceback__))
    return lines


def _chain(error: BaseException) -> Iterator[BaseException]:
    seen: set[int] = set()
    each: BaseException | None = error
    while each is not None and id(each) not in seen:
        seen.add(id(each))
        yield each
        each = each.__cause__ or (None if each.__suppress_context__ else each.__context__)


def _frames(traceback: TracebackType | None) -> Iterator[str]:
    while traceback is not None:
        code = traceback.tb_frame.f_code
        file = "/".join(Path(code.co_filename).parts[-_PARTS_KEPT:])
        yield f"{file}:{traceback.tb_lineno} in {code.co_name}"
        traceback = traceback.tb_next


def write_log(error: BaseException) -> Path | None:
    """Write the log of a crash, for its owner alone to read; None where the folder takes no file."""
    now = datetime.now(UTC)
    folder = log_folder()
    path = folder / f"crash-{now:%Y%m%dT%H%M%S%f}Z.log"
    text = "\n".join([f"{now:%Y-%m-%dT%H:%M:%SZ}", f"Python {platform.python_version()}", *frames_of(error), ""])
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        descriptor = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            file.write(text)
    except OSError:
        return None
    return path


def tell(error: BaseException) -> int:
    """Log a crash, say in one line where, and give the exit status."""
    path = write_log(error)
    where = f"the log, which holds no names, is {path}" if path else f"no log could be written to {log_folder()}"
    print(f"reelward: stopped by a fault of its own ({type(error).__name__}); {where}", file=sys.stderr)
    return FAULT
