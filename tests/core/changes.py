"""Single changes to a house that may never help: things added that bind, things removed that loosen."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from random import Random
from typing import NamedTuple

from stock.core.house import House
from stock.core.kinds import FINDINGS
from stock.core.moments import Calendar, day_number
from stock.core.verdict import Advice
from tests.oracle.houses import AS_OF

from .builder import Row, place

Rows = dict[str, list[Row]]


class Before(NamedTuple):
    """A house before it is changed, and the answers about its reels."""

    house: House
    answers: dict[str, Advice]


Change = Callable[[Random, Rows, Before], Rows | None]
"""Makes the rows of a house with one thing changed, or None where there is nothing to change."""

LOOSE_KEEPS = ("discard", "tones", "timecode")
STRICT = {"project": "oak", "client": "client two", "release_needed": "yes", "cool_days": "400"}
"""A project that asks for at least as much as any other of a random house."""
CALENDAR = Calendar("UTC")


def plus(rows: Rows, file: str, **cells: str) -> Rows:
    return {**rows, file: [*rows.get(file, []), dict(cells)]}


def minus(rows: Rows, gone: Callable[[str, Row], bool]) -> Rows:
    """The rows without some, and without the voids of those."""
    left = {file: [row for row in found if not gone(file, row)] for file, found in rows.items()}
    entries = {row["entry"] for file, found in left.items() if file != "voids" for row in found if "entry" in row}
    return {**left, "voids": [row for row in left.get("voids", []) if row["entry"] in entries]}


def a_moment(rng: Random, rows: Rows) -> str:
    """A day or an instant, mostly one at which something else happened."""
    known = [row["date"] for found in rows.values() for row in found if row.get("date", "") > "2024"]
    if known and rng.random() < 0.8:
        return rng.choice(known)
    return (AS_OF - timedelta(days=rng.randint(0, 800))).isoformat()


def a_stretch(rng: Random, rows: Rows, house: House, reel: str, when: str) -> tuple[str, str]:
    """A stretch of a reel as it was then, often one that another fact has."""
    day = day_number(AS_OF.fromisoformat(when[:10]))
    # on the day of an edit: what was there before it and after
    length = min(house.layouts.at(reel, at).length for at in (CALENDAR.day_start(day), CALENDAR.day_end(day)))
    known = sorted(
        {row[column] for found in rows.values() for row in found for column in ("start", "end") if row.get(column)}
    )
    places = [at for at in (round(float(text.split()[0]) * 10_000) for text in known) if at <= length]
    lo, hi = sorted(rng.choice([*places, 0, length, rng.randint(0, length)]) for _ in range(2))
    return (place(lo), place(hi)) if lo < hi else (place(0), place(length))


def some_tracks(rng: Random, house: House, reel: str) -> str:
    first = rng.randint(1, house.reel(reel).tracks)
    last = rng.randint(first, house.reel(reel).tracks)
    return rng.choice(("", f"{first}-{last}"))


def a_reel(rng: Random, house: House) -> str:
    return rng.choice(house.reel_numbers)


def add_a_take(rng: Random, rows: Rows, before: Before) -> Rows:
    # Of a strict project: one that asks for less than the project recorded over would rightly ask for less.
    reel, when = a_reel(rng, before.house), a_moment(rng, rows)
    start, end = a_stretch(rng, rows, before.house, reel, when)
    cells = {"reel": reel, "date": when, "project": "oak", "title": "lamp", "take": rng.choice(("900", "no such take"))}
    cells |= {"start": start, "end": end, "speed": rng.choice(("15 ips", "7.5 ips")), "by": "Ada Quill"}
    return plus(
        plus(rows, "projects", **STRICT),
        "takes",
        **cells,
        tracks=some_tracks(rng, before.house, reel),
        keep=rng.choice(("", "keep", "undecided")),
    )


def add_a_recording(rng: Random, rows: Rows, before: Before) -> Rows:
    reel, when = a_reel(rng, before.house), a_moment(rng, rows)
    start, end = a_stretch(rng, rows, before.house, reel, when)
    return plus(
        rows,
        "passes",
        reel=reel,
        date=when,
        kind="record",
        start=start,
        end=end,
        speed=rng.choice(("", "15 ips", "30 ips")),
        tracks=some_tracks(rng, before.house, reel),
        take=rng.choice(["", "", *(row["take"] for row in rows.get("takes", []) if row["reel"] == reel)]),
    )


def add_a_hold(rng: Random, rows: Rows, before: Before) -> Rows:
    until = rng.choice(("", AS_OF.isoformat(), (AS_OF - timedelta(days=1)).isoformat()))
    cells = {"hold": "H900", "reel": a_reel(rng, before.house), "until": until, "reason": "a court asks"}
    return plus(rows, "holds", **cells, date=a_moment(rng, rows))


def add_a_finding(rng: Random, rows: Rows, before: Before) -> Rows:
    # Not an inspection: whatever it finds, it is a newer look at the tape, and replaces the inspection before it.
    reel, when = a_reel(rng, before.house), a_moment(rng, rows)
    start, end = rng.choice((("", ""), a_stretch(rng, rows, before.house, reel, when)))
    return plus(
        rows,
        "findings",
        reel=reel,
        date=when,
        kind=rng.choice([kind for kind in FINDINGS if kind != "inspection"]),
        severity=str(rng.randint(1, 3)),
        start=start,
        end=end,
        tracks=some_tracks(rng, before.house, reel),
    )


def add_a_failed_check(rng: Random, rows: Rows, before: Before) -> Rows | None:
    copies = rows.get("copies", [])
    if not copies:
        return None
    copy = rng.choice(copies)
    cells = {"transfer": copy["transfer"], "copy": copy["copy"], "method": rng.choice(("read", "stated"))}
    return plus(rows, "copy_checks", **cells, date=a_moment(rng, rows), result="fail", manifest_sha256="")


def remove_a_transfer(rng: Random, rows: Rows, before: Before) -> Rows | None:
    # Not one that is itself the reason for a doubt: it says that something was recorded which nobody entered, and
    # taking it away takes away that word. (It is taken away by a void, which then stands among the reasons.)
    telling = {
        entry
        for answer in before.answers.values()
        for reason in answer.reasons
        if reason.code == "unlogged-recording"
        for entry in reason.facts
    }
    names = sorted(row.transfer for row in before.house.record.of("transfers") if row.entry not in telling)
    if not names:
        return None
    name = rng.choice(names)
    return minus(rows, lambda file, row: row.get("transfer") == name)


def remove_a_copy(rng: Random, rows: Rows, before: Before) -> Rows | None:
    copies = rows.get("copies", [])
    if not copies:
        return None
    name = rng.choice(copies)
    return minus(rows, lambda _, row: (row.get("transfer"), row.get("copy")) == (name["transfer"], name["copy"]))


def remove_one(file: str, which: Callable[[Row], bool] = lambda row: True) -> Change:
    """Remove any row of a file that is such a one."""

    def remove(rng: Random, rows: Rows, before: Before) -> Rows | None:
        found = [row for row in rows.get(file, []) if which(row)]
        if not found:
            return None
        gone = rng.choice(found)
        return minus(rows, lambda _, row: row is gone)

    return remove


def remove_a_discard(rng: Random, rows: Rows, before: Before) -> Rows | None:
    # Not where the take was entered as discard, tones or timecode: then the decision stands in place of a word that
    # already let the take's own recording go, and without it that word holds again.
    loose = {(row["reel"], row["take"]) for row in rows.get("takes", []) if row["keep"] in LOOSE_KEEPS}
    which = remove_one("decisions", lambda row: row["keep"] in LOOSE_KEEPS and (row["reel"], row["take"]) not in loose)
    return which(rng, rows, before)


CHANGES: dict[str, Change] = {
    "add a take": add_a_take,
    "add a recording": add_a_recording,
    "add a hold": add_a_hold,
    "add a finding": add_a_finding,
    "add a failed check": add_a_failed_check,
    "remove a transfer": remove_a_transfer,
    "remove a listen": remove_one("listens"),
    "remove a copy": remove_a_copy,
    # a failed check binds, so only the removal of a passed one may not help
    "remove a passed check": remove_one("copy_checks", lambda row: row["result"] == "pass"),
    "remove a release": remove_one("releases"),
    "remove a discard": remove_a_discard,
    # an inspection or a listening that found something binds
    "remove an inspection": remove_one("findings", lambda row: (row["kind"], row["severity"]) == ("inspection", "0")),
    "remove a listening": remove_one("findings", lambda row: (row["kind"], row["severity"]) == ("listened", "0")),
}
