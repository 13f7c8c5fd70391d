"""Programs the race tests run beside themselves: `python desk_process.py ROLE DATABASE [FOLDER]`.

hold: for each reel read from standard input, enters a hold on it. waste: for each, throws its tape away if the record
lets it. out: for each, takes the answer and in the same transaction records that the reel went to be reused elsewhere.
wipe: for each, asks for a permit and enters the wipe.
add: enters so many passes as a number read says. load: loads a folder once a line is read.
Every answer is one word on standard output, written after the commit returned.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from stock.core.kinds import BY_NAME
from stock.core.verdict import advise
from stock.desk import wiping
from stock.desk.desk import Desk
from stock.desk.editing import throw_away
from stock.desk.errors import Unproved
from stock.desk.exchanging import load
from stock.desk.reading import some_reels
from stock.desk.wipe_errors import NoPermit, WipeRefused


def say(words: str) -> None:
    os.write(1, f"{words}\n".encode())


def hold(desk: Desk, reel: str) -> str:
    desk.add("hold", {"hold": f"hold of {reel}", "reel": reel, "reason": "asked for"})
    return "held"


def waste(desk: Desk, reel: str) -> str:
    try:
        throw_away(desk, {"reel": reel, "start": "0 ft", "end": "2500 ft"}, label=reel)
    except Unproved:
        return "refused"
    return "done"


def out(desk: Desk, reel: str) -> str:
    with desk.store.writing() as writer:
        now_us, calendar, as_of = desk.moment(writer)
        (answer,) = advise(some_reels(writer, calendar, as_of, [reel]), [reel])
        if answer.erasable != "yes":
            return "refused"
        cells = {"reel": reel, "kind": "out", "to": "be reused"}
        desk.enter_in(writer, BY_NAME["move"], cells, "reuse", now_us, calendar)
        writer.commit()
    return "done"


def wipe(desk: Desk, reel: str) -> str:
    try:
        wiping.permit(desk, reel, label=reel, heard=[wiping.NO_TITLE] * 3)
        wiping.done(desk, reel, method="bulk")
    except (NoPermit, WipeRefused):
        return "refused"
    return "done"


def main(role: str, database: str, *folder: str) -> None:
    desk = Desk.open(Path(database), role, create=False)
    say("ready")
    for line in sys.stdin:
        given = line.strip()
        if role == "load":
            say("begun")
            say(f"loaded {load(desk, Path(folder[0])).line}")
        elif role.startswith("add"):
            for number in range(int(given)):
                desk.add("pass", {"reel": "R1", "kind": "play", "note": f"{role} {number}"})
            say("added")
        else:
            say({"hold": hold, "waste": waste, "out": out, "wipe": wipe}[role](desk, given))
    desk.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
