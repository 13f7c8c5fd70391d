"""Copies read again over time: all that are due and can be reached, one after another, unattended."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Literal, NamedTuple

from stock.desk.desk import Desk
from stock.desk.proving import DueCopy, Proved, due, prove
from stock.proof.errors import NotReachable
from stock.proof.facts import Progress

Result = Literal["pass", "fail", "stopped", "not reachable"]


class Reread(NamedTuple):
    """What came of one copy that is due. proved: None where it could not be reached."""

    copy: DueCopy
    result: Result
    proved: Proved | None = None


def read_due(
    desk: Desk, *, told: Callable[[Progress], None] | None = None, stop: Callable[[], bool] | None = None
) -> Iterator[Reread]:
    """Read every copy that is due and can be reached, and record what is found.

    A medium that is not there, or goes while it is read, is neither a failure nor a pass.
    """
    for copy in due(desk):
        if stop is not None and stop():
            return
        if not copy.here or copy.folder is None:
            yield Reread(copy, "not reachable")
            continue
        try:
            proved = prove(
                desk, copy.transfer, Path(copy.folder), medium=copy.medium, place=copy.place, copy=copy.copy,
                own_medium=True, told=told, stop=stop,
            )  # fmt: skip
        except NotReachable:
            yield Reread(copy, "not reachable")
            continue
        result: Result = "stopped" if proved.report.stopped else "pass" if proved.report.passed else "fail"
        yield Reread(copy, result, proved)
