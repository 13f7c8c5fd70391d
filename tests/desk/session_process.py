"""A program that logs takes beside the tests: `python session_process.py DATABASE`.

Reads lines from standard input: `start REEL` starts a take and says `runs`; `takes REEL COUNT` starts and ends so many
takes with a mark in each and says `logged`.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from stock.desk.desk import Desk
from stock.desk.session import log


def main(database: str) -> None:
    desk = Desk.open(Path(database), "Bo Tarn", create=False)
    os.write(1, b"ready\n")
    for line in sys.stdin:
        what, reel, *count = line.split()
        if what == "start":
            log.start(desk, reel, at="2:10", title="river")
            os.write(1, b"runs\n")
        else:
            for number in range(int(count[0])):
                log.start(desk, reel, at=f"{number}:10", title=f"of {reel}", yes=True)
                log.mark(desk, reel, f"{number}")
                log.stop(desk, reel, at=f"{number}:50")
            os.write(1, b"logged\n")
    desk.close()


if __name__ == "__main__":
    main(sys.argv[1])
