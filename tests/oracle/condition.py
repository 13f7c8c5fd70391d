"""What a generated reel goes through apart from its recordings: condition, and what stands around it."""

from __future__ import annotations

from datetime import date, timedelta

from .shelf import AS_OF, EVER, FIRST_DAY, LOOKED_AT, METRE, PROVED, ReelPlan, Shelf, metres
from .texts import Row, read_length, read_moment

DAMAGE = ("edge", "stretch", "pack", "crease", "dropout", "dropout", "other", "edge", "vinegar")


def add_finding(shelf: Shelf, reel: ReelPlan, kind: str, when: str, severity: str = "0", part: bool = False) -> Row:
    """Enter a finding over the whole reel, or a part of it."""
    start = end = ""
    if part:
        low, high = shelf.stretch(reel, when, clear_of_thrown=False)
        start, end = metres(low), metres(high)
    return shelf.add(
        "findings.csv", reel=reel.name, date=when, kind=kind, severity=severity, start=start, end=end, speed="",
        tracks="", by=shelf.person(),
    )  # fmt: skip


def add_wipe(shelf: Shelf, reel: ReelPlan, when: str) -> None:
    """Wipe a reel in bulk, or by machine all of it or a stretch."""
    start = end = ""
    method = "bulk" if shelf.chance(0.5) else "machine"
    if method == "machine" and shelf.chance(0.6):
        low, high = shelf.stretch(reel, when, clear_of_thrown=False)
        start, end = metres(low), metres(high)
    shelf.add("wipes.csv", reel=reel.name, date=when, method=method, start=start, end=end, by=shelf.person())


def add_condition(shelf: Shelf, reel: ReelPlan) -> None:
    """Passes, findings, inspections, splices and response checks; mostly little, so that many reels stay fit."""
    rng = shelf.rng
    wiped = [row for row in shelf.rows.get("wipes.csv", []) if row["reel"] == reel.name]
    if wiped and shelf.chance(0.5):
        newest = max(read_moment(row["date"]).day for row in wiped)
        add_finding(shelf, reel, "listened", shelf.when((newest, AS_OF)), part=shelf.chance(0.15))
    if shelf.chance(0.75):
        when = shelf.when(LOOKED_AT)
        if shelf.chance(0.2):
            day = AS_OF - timedelta(days=rng.choice((89, 90, 91, 364, 365, 366, 60, 200, 201)))
            when = shelf.at_some_time(day)
        add_finding(shelf, reel, "inspection", when, part=shelf.chance(0.15))
    for _ in range(rng.choice((0, 0, 1, 2))):
        add_pass(shelf, reel)
    if shelf.chance(0.3):
        for _ in range(rng.randint(1, 2)):
            add_damage(shelf, reel)
    if shelf.chance(0.25):
        for _ in range(rng.randint(1, 2)):
            add_splice(shelf, reel)
    if shelf.chance(0.2):
        add_response(shelf, reel)
    if shelf.chance(0.06):
        when = shelf.off_edit_days(reel, shelf.when(EVER))
        shelf.add("retirements.csv", reel=reel.name, date=when, reason="worn", by=shelf.person())


def add_pass(shelf: Shelf, reel: ReelPlan) -> None:
    """Play, erase or wind some of the reel or all of it."""
    when = shelf.when(EVER)
    start = end = ""
    if shelf.chance(0.7):
        low, high = shelf.stretch(reel, when, clear_of_thrown=False)
        start, end = metres(low), metres(high)
    kind = shelf.rng.choice(("play", "play", "erase", "wind"))
    count = shelf.rng.choice(("", "1", "2", "3", "5", "9"))
    if kind == "wind":
        count = shelf.rng.choice(("", "5", "10", "11"))
    shelf.add(
        "passes.csv", reel=reel.name, date=when, kind=kind, start=start, end=end, speed="", tracks="", count=count,
        take="", by=shelf.person(),
    )  # fmt: skip


def add_damage(shelf: Shelf, reel: ReelPlan) -> None:
    """Find damage, or find that there is none any more; seldom a fault of the whole reel."""
    rng = shelf.rng
    if shelf.chance(0.12):
        # A whole-reel fault, before any edit of the reel: tape that was sticky stays so wherever it goes.
        kind = rng.choice(("sticky", "shedding", "mould", "vinegar"))
        first_edit = min(reel.edit_days, default=AS_OF)
        if first_edit > FIRST_DAY:
            when = shelf.when((FIRST_DAY, first_edit - timedelta(days=1)))
            add_finding(shelf, reel, kind, when, rng.choice(("0", "1", "2", "3")))
        return
    kind = rng.choice((*DAMAGE, "inspection", "listened"))
    if kind == "vinegar" and reel.edit_days:
        kind = "other"  # on acetate it speaks for the whole reel
    # An inspection or a listening that found something is timed, so that it counts at one moment only.
    when = shelf.timed(EVER) if kind in ("inspection", "listened") else shelf.when(EVER)
    row = add_finding(
        shelf, reel, kind, when, rng.choice(("1", "1", "2", "3")), part=kind != "vinegar" or shelf.chance(0.5)
    )
    if kind not in ("inspection", "vinegar"):
        row["tracks"] = shelf.tracks(reel)
    if shelf.chance(0.5):
        later = shelf.when((read_moment(when).day, AS_OF))
        again = add_finding(shelf, reel, kind, later, rng.choice(("0", "0", "1")), part=True)
        length = reel.length_at(read_moment(later))
        if shelf.chance(0.5) and (not row["end"] or read_length(row["end"]) <= length):
            again |= {"start": row["start"], "end": row["end"]}
        if again["severity"] != "0" and kind in ("inspection", "listened"):
            again["severity"] = "0"


def add_splice(shelf: Shelf, reel: ReelPlan) -> None:
    """Enter a splice: away from where edits cut, or on a join that an edit left, or near another splice."""
    rng = shelf.rng
    when = shelf.when(EVER)
    moment = read_moment(when)
    length = reel.length_at(moment)
    # Edits cut on the grid, whole metres or at random; the odd offset keeps a splice off their cuts.
    at = rng.randint(1, length // METRE - 2) * METRE + 3_737
    left = [place for edit, place in reel.joins if edit.end < moment.start and 0 < place < length - METRE]
    if left and shelf.chance(0.5):
        at = rng.choice(left)
    kind = rng.choice(("edit", "edit", "repair", "leader"))
    state = rng.choice(("sound", "sound", "sound", "doubtful", "failed"))
    cells = {"reel": reel.name, "kind": kind, "by": shelf.person()}
    shelf.add("splices.csv", **cells, date=when, at=metres(at), speed="", state=state)
    if shelf.chance(0.3):
        again = when if shelf.chance(0.4) else shelf.when((moment.day, AS_OF))
        near = at + rng.choice((0, 100, 253, 254, 255))
        if near < reel.length_at(read_moment(again)) - METRE:
            state = rng.choice(("sound", "doubtful", "failed"))
            shelf.add("splices.csv", **cells, date=again, at=metres(near), speed="", state=state)


def add_response(shelf: Shelf, reel: ReelPlan) -> None:
    """Check the response at one place a few times, on whole days."""
    rng = shelf.rng
    at = rng.randint(1, 30) * METRE + 5_000
    for _ in range(rng.randint(2, 5)):
        day = shelf.day(EVER)
        if at < reel.length_at(read_moment(day.isoformat())):
            shelf.add(
                "response.csv", reel=reel.name, date=day.isoformat(), at=metres(at), speed="15 ips",
                machine=rng.choice(("deck one", "deck one", "deck two")), track=rng.choice(("1", "1", "2")),
                frequency_hz=rng.choice(("10000", "10000", "10000", "1000")),
                level_db=rng.choice(("0", "0.5", "-0.5", "-1", "-1.5", "-2.5", "-3.5")), tone="fresh",
                by=shelf.person(),
            )  # fmt: skip


def add_circumstances(shelf: Shelf, reel: ReelPlan) -> None:
    """Holds, moves, owners and stray fields: what stands around a reel, seldom."""
    rng = shelf.rng
    share = 0.05 if reel.good else 0.12
    if shelf.chance(share):
        add_hold(shelf, reel)
    if shelf.chance(share * 2):
        for _ in range(rng.randint(1, 2)):
            out = shelf.when(EVER)
            if shelf.before_throwing(reel, out):
                continue
            kind = rng.choice(("out", "out", "lost", "returned", "shelf"))
            shelf.add("moves.csv", reel=reel.name, date=out, kind=kind, to="", by=shelf.person())
            if shelf.chance(0.7):
                back = shelf.when((read_moment(out).day, AS_OF))
                kind = rng.choice(("back", "found", "shelf"))
                shelf.add("moves.csv", reel=reel.name, date=back, kind=kind, to="", by=shelf.person())
    if shelf.chance(share):
        for _ in range(rng.randint(1, 2)):
            when = shelf.off_edit_days(reel, shelf.when(EVER))
            if not shelf.before_throwing(reel, when):
                owner = rng.choice(("house", "House", "client one", "client two"))
                shelf.add("owners.csv", reel=reel.name, date=when, owner=owner, by=shelf.person())
    if shelf.chance(share):
        add_exposure(shelf, reel)
    if shelf.chance(share):
        when = shelf.when(PROVED)
        project = rng.choice(("", *shelf.projects))
        shelf.add(
            "releases.csv", reel=reel.name, project=project, date=when, granted_by="Dee Client", by=shelf.person()
        )


def add_hold(shelf: Shelf, reel: ReelPlan) -> None:
    """Hold a reel, for a time or until the hold is ended."""
    when = shelf.when(EVER)
    if shelf.before_throwing(reel, when):
        return
    name = f"hold {shelf.number('hold')}"
    until = shelf.rng.choice(("", "", "2026-05-31", "2026-06-01", "2026-07-01"))
    shelf.add("holds.csv", hold=name, reel=reel.name, date=when, until=until, reason="asked for", by=shelf.person())
    if shelf.chance(0.5):
        ended: date = read_moment(when).day
        shelf.add("hold_ends.csv", hold=name, date=shelf.when((ended, AS_OF)), by=shelf.person())


def add_exposure(shelf: Shelf, reel: ReelPlan) -> None:
    """Expose some of a reel to a stray field, mostly listened to later."""
    when = shelf.timed(EVER) if shelf.chance(0.5) else shelf.when(EVER)
    if shelf.before_throwing(reel, when):
        return
    severity = "1" if "T" not in when else shelf.rng.choice(("0", "1"))
    row = add_finding(shelf, reel, "stray-field", when, severity, part=shelf.chance(0.5))
    row["tracks"] = shelf.tracks(reel)
    if shelf.chance(0.7):
        later = shelf.when((read_moment(when).day, AS_OF))
        heard = add_finding(shelf, reel, "listened", later, part=shelf.chance(0.2))
        if shelf.chance(0.2):
            heard["tracks"] = row["tracks"]
