"""A question asked of a program in a process of its own, which is ended when its time is up."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import Any


def answers(module: str, question: str, limit_s: float) -> list[Any]:
    """What a module, run on a question (JSON), has answered within its time: a JSON value on each line.

    A solver's own time limit is not one: it is looked at only between steps, which may be long.
    """
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
            written, _ = process.communicate(question, timeout=max(limit_s, 0.05))
        except subprocess.TimeoutExpired:
            process.kill()
            written, _ = process.communicate()
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
