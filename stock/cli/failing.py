"""How a refusal or a failure is told: what is wrong, where, what to do; never a traceback."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from traceback import walk_tb

import click

from stock.cli.printing import complain

ANSWER_IS_NO = 1
BAD_INPUT = 2
OWN_FAULT = 3


def tell(error: Exception) -> int:
    """Tell the user of an error, on standard error, and return the exit status it ends with."""
    lines = list(_words(error))
    if not lines:
        _fault(error)
        return OWN_FAULT
    complain(f"reelward: {lines[0]}")
    for line in lines[1:]:
        complain(f"  {line}")
    return ANSWER_IS_NO if getattr(error, "answers_no", False) else BAD_INPUT


def _words(error: Exception) -> Iterator[str]:
    """What is wrong and what to do, a line each; none for what is the program's own fault."""
    from stock.desk.errors import CannotEnter, DeskError
    from stock.exchange.writing import FolderNotEmpty
    from stock.proof.errors import ProofError
    from stock.store.errors import FactRefused, NoDatabase, NotCommitted, StoreError

    if isinstance(error, click.ClickException):
        yield from _usage(error)
    elif isinstance(error, CannotEnter):
        yield "it cannot be entered:"
        for problem in error.problems:
            yield f"--{problem.column.replace('_', '-')}: {problem.says}"
        yield error.remedy
    elif isinstance(error, NoDatabase):
        yield str(error)
        yield error.remedy
        yield "To begin one there: `reelward load FOLDER`, `reelward add formulation ...` or `reelward restore FILE`."
    elif isinstance(error, (DeskError, StoreError, ProofError)) and not isinstance(error, (FactRefused, NotCommitted)):
        yield str(error)
        if error.remedy:
            yield error.remedy
    elif isinstance(error, FolderNotEmpty):
        yield str(error)
        yield "Name an empty folder, or give --overwrite to replace the exchange files in it."
    elif isinstance(error, OSError) and error.strerror is not None:
        yield f"{error.filename or 'the output'} cannot be used: {error.strerror}"
        yield "Check the path, the rights of the file and of its folder, and the room on the disk."


def _usage(error: click.ClickException) -> Iterator[str]:
    context = getattr(error, "ctx", None)
    yield from error.format_message().splitlines()
    if context is not None:
        yield f"See `{context.command_path} --help`."


def _fault(error: BaseException) -> None:
    name = type(error).__name__
    log = _state_folder() / "faults.log"
    kept = f"where it failed is in {log}"
    try:
        log.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with os.fdopen(os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600), "a", encoding="utf-8") as file:
            file.write("\n".join(_trace(error)) + "\n")
    except OSError:
        kept = f"where it failed could not be written to {log}"
    complain(f"reelward: the program failed ({name}), by its own fault; {kept}")


def _trace(error: BaseException) -> Iterator[str]:
    """The kinds of the errors and where they were raised: no messages, values or folders, which may name people."""
    own = "unknown version"
    with suppress(PackageNotFoundError):
        own = version("reelward")
    yield f"{datetime.now(UTC).isoformat(timespec='seconds')} reelward {own}"
    seen: BaseException | None = error
    while seen is not None:
        yield f"  {type(seen).__module__}.{type(seen).__name__}"
        for frame, line in walk_tb(seen.__traceback__):
            yield f"    {frame.f_globals.get('__name__')} {Path(frame.f_code.co_filename).name}:{line}"
        seen = seen.__cause__ or seen.__context__


def _state_folder() -> Path:
    base = os.environ.get("XDG_STATE_HOME")
    return (Path(base) if base else Path.home() / ".local" / "state") / "reelward"
