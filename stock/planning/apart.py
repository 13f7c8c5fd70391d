"""A question asked of a program in a process of its own, which is ended when its time is up."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from time import monotonic
from typing import Any

_LOOK_S = 0.1
"""How often it is asked whether to stop."""


def _never() -> bool:
    return False


def answers(module: str, question: str, limit_s: float, stop: Callable[[], bool] = _never) -> list[Any]:
    """What a module, run on a question (JSON), has answered within its time: a JSON value on each line.

    A solver's own time limit is not one: it is looked at only between steps, which may be long. stop: says whether
    nobody waits for the answer any more.
    """
    ends = monotonic() + max(limit_s, 0.05)
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(path for path in sys.path if path),
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
    }
    with subprocess.Popen(
        [sys.executable, "-m", module],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=environment,
        text=True,
    ) as process:
        try:
            written = _written(process, question, ends, stop)
        except BaseException:
            process.kill()
            raise
    found = []
    for line in written.splitlines():
        try:
            found.append(json.loads(line))
        except json.JSONDecodeError:
            # the process was ended in the middle of its last line
            break
    return found


def _written(process: subprocess.Popen[str], question: str, ends: float, stop: Callable[[], bool]) -> str:
    """All that a process writes until it ends, or is ended."""
    asked: str | None = question
    while True:
        try:
            return process.communicate(asked, timeout=max(0.0, min(_LOOK_S, ends - monotonic())))[0]
        except subprocess.TimeoutExpired:
            asked = None
            if monotonic() >= ends or stop():
                process.kill()
                return process.communicate()[0]
