"""Random small houses as exchange folders: file name -> rows of text cells, the same for the same seed.

Reels are short, tracks few, days few and places on a coarse grid, so that shared borders and ties are common.
Every place lies on its reel as it was at that moment, and every edit is one that a house could have made.
"""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

from .shelf import AS_OF, EDIT_TIME, EVER, FIRST_DAY, METRE, RECORDED, ReelPlan, Shelf, metres
from .stories import tell
from .texts import House, Row, read_moment

__all__ = ["AS_OF", "random_house"]

VOIDABLE = (
    "takes.csv", "transfers.csv", "wipes.csv", "findings.csv", "decisions.csv", "passes.csv", "listens.csv",
    "copies.csv", "copy_checks.csv", "holds.csv", "hold_ends.csv", "releases.csv", "owners.csv", "moves.csv",
    "splices.csv", "response.csv", "retirements.csv", "sets.csv", "projects.csv",
)  # fmt: skip
KEEPS_ORDER = ("formulations.csv", "stock_items.csv", "machines.csv", "reels.csv", "voids.csv")


def random_house(seed: int) -> House:
    """Make the house of a seed: exchange file name -> rows (column -> text cell), for the as-of day AS_OF."""
    shelf = Shelf(Random(seed))
    small = shelf.chance(0.75)
    add_rules(shelf, small)
    add_stock(shelf, small)
    add_projects(shelf)
    add_edits(shelf)
    for reel in shelf.reels:
        tell(shelf, reel)
    add_sets(shelf)
    # The order of rows means nothing.
    for file, rows in shelf.rows.items():
        if file not in KEEPS_ORDER:
            shelf.rng.shuffle(rows)
    if shelf.chance(0.35):
        add_voids(shelf)
    return shelf.rows


def add_rules(shelf: Shelf, small: bool) -> None:
    """State the house's rules: its zone, and limits low enough for a few facts to matter."""
    rng = shelf.rng
    by_grade = {
        "passes": rng.choice(((3, 6, 12), (2, 4, 8), (5, 5, 20), (30, 150, 400))),
        "wipes": rng.choice(((0, 1, 2), (1, 2, 3), (1, 1, 1), (1, 4, 10))),
        "response_fall": rng.choice((("1", "2", "3"), ("0.5", "1", "1.5"))),
        "severity": rng.choice(((0, 1, 2), (0, 0, 1), (0, 1, 3))),
    }
    values = {"time_zone": "UTC", "usual_speed": rng.choice(("15 ips", "15 ips", "15 ips", "30 ips", "7.5 ips"))}
    values["shortest_stretch"] = rng.choice(("20 m", "30 m", "40 m", "45.5 m") if small else ("182.88 m", "100 m"))
    for name, limits in by_grade.items():
        for grade, limit in zip(("critical", "standard", "scratch"), limits, strict=True):
            values[f"{name}_{grade}"] = str(limit)
    choices = {
        "inspection_days_critical": ("90", "60"),
        "inspection_days_standard": ("365", "200"),
        "minimum_rate_hz": ("48000", "96000"),
        "minimum_bits": ("24", "16"),
        "cooling_days": ("14", "0", "30"),
        "copies_needed": ("2", "3", "1"),
        "media_needed": ("2", "1"),
        "elsewhere_needed": ("1", "0"),
        "copy_check_days": ("365", "200"),
        "stray_s": ("10", "5"),
        "unused_head_s": ("15", "5"),
        "unused_head_length": ("7.62 m", "2 m"),
        "unused_tail_s": ("30", "10"),
        "splice_guard_s": ("2", "4"),
    }
    for name, texts in choices.items():
        if shelf.chance(0.5):  # else the house states nothing, and the default holds
            values[name] = texts[0] if shelf.chance(0.7) else rng.choice(texts)
    for name, value in values.items():
        if name in choices and shelf.chance(0.1):
            shelf.add("rules.csv", rule=name, value=choices[name][-1], date="2023-06-01", by="Ada Quill")
        shelf.add("rules.csv", rule=name, value=value, date="2024-01-01", by="Ada Quill")


def add_stock(shelf: Shelf, small: bool) -> None:
    """Enter formulations, stock items, machines and two to six reels."""
    rng = shelf.rng
    for name, base, watched in (
        ("grey nine", "polyester", ""),
        ("brown four", rng.choice(("acetate", "")), ""),
        ("black two", "polyester", "yes"),
    ):
        shelf.add("formulations.csv", formulation=name, base=base, binder_watch=watched)
        for width in ("1 in", "2 in"):
            name_and_width = f"{name} {width[0]}"
            shelf.add("stock_items.csv", stock_item=name_and_width, formulation=name, width=width, length="760.0000 m")
    for machine in ("deck one", "deck two"):
        shelf.add("machines.csv", machine=machine)
    usual_width, usual_tracks = rng.choice(("1", "2")), rng.randint(3, 6)
    for number in range(1, rng.randint(2, 6) + 1):
        width, tracks = usual_width, usual_tracks
        if shelf.chance(0.2):
            width, tracks = rng.choice(("1", "2")), rng.randint(3, 6)
        length = (rng.randint(8, 20) if small else rng.randint(30, 75)) * 10 * METRE
        length += rng.choice((0, 0, 0, 3 * METRE, 1234))
        written = True
        if not small and shelf.chance(0.15):
            length, written = 760 * METRE, False  # the stock item's length holds
        arrived = rng.choice(("sealed",) * 11 + ("erased",) * 3 + ("recorded",) * 3 + ("unknown", "", ""))
        role = rng.choice(("",) * 10 + ("session",) * 5 + ("master", "safety", "reference"))
        formulation = rng.choice(("grey nine", "grey nine", "grey nine", "brown four", "black two"))
        shelf.add(
            "reels.csv",
            reel=f"R{number}",
            stock_item=f"{formulation} {width}",
            tracks=str(tracks),
            batch=rng.choice(("", "b1", "b1", "b1", "b2")),
            length=metres(length) if written else "",
            owner=rng.choice(("house",) * 10 + ("HOUSE", "", "client one")),
            acquired="2023-11-20",
            arrived_as=arrived,
            passes_before=rng.choice(("", "", "0") if arrived == "sealed" else ("", "0", "0", "1", "2")),
            role=role,
        )
        shelf.reels.append(ReelPlan(f"R{number}", tracks, length, arrived == "sealed", shelf.chance(0.75)))


def add_projects(shelf: Shelf) -> None:
    """Enter projects of every setting, and leave one out that takes name all the same."""
    rng = shelf.rng
    shelf.projects = ["alder", "birch", "cedar", "dogwood", "ghost"]
    for name in shelf.projects[:-1]:
        row = shelf.add(
            "projects.csv",
            project=name,
            client=rng.choice(("", "house", "client one")),
            mode=rng.choice(("", "keep-all", "keep-masters", "through")),
            cool_days=rng.choice(("", "", "", "0", "5", "30", "400")),
            release_needed=rng.choice(("", "", "yes", "no", "no")),
        )
        if name == "alder":  # the easy one, which most good stories record
            row |= {"release_needed": "no", "cool_days": ""}
        if row["release_needed"] == "yes" or (row["release_needed"] == "" and row["client"] == "client one"):
            shelf.word_needed.add(name)
    shelf.word_needed.add("ghost")


def add_edits(shelf: Shelf) -> None:
    """Cut tape out and throw it away, or join it into another reel, up to three times on days of their own."""
    rng = shelf.rng
    if shelf.chance(0.45):
        return
    days = {shelf.day((FIRST_DAY + timedelta(days=40), AS_OF - timedelta(days=2))) for _ in range(rng.randint(1, 3))}
    for day in sorted(days):
        timed = shelf.chance(0.4)
        when = f"{day.isoformat()}T{EDIT_TIME}Z" if timed else day.isoformat()
        moment = read_moment(when)
        source = rng.choice(shelf.reels)
        length = source.length_at(moment)
        size = rng.randint(1, 3) * 10 * METRE
        if length - size < 50 * METRE:
            continue
        start = rng.choice((0, length - size, shelf.place(0, length - size)))
        others = [reel for reel in shelf.reels if reel is not source and alike(shelf, reel, source)]
        untouched = source.sealed and not source.changes and role_of(shelf, source) != "reference"
        row = {"reel": source.name, "date": when, "start": metres(start), "end": metres(start + size)}
        if untouched and shelf.chance(0.35):
            source.thrown = (day, start, start + size)
            shelf.add("edits.csv", **row, to_reel="", to_at="", by=shelf.person())
        elif others:
            target = rng.choice(others)
            there = target.length_at(moment)
            at = rng.choice((0, there, shelf.place(0, there)))
            if target.thrown is None and target.sealed and not source.sealed and not target.changes:
                continue  # leaves sealed reels to sealed tape, so that some stay simple
            shelf.add("edits.csv", **row, to_reel=target.name, to_at=metres(at), by=shelf.person())
            target.changes.append((moment, size))
            target.edit_days.add(day)
            target.joins.append((moment, at))
        else:
            continue
        source.changes.append((moment, -size))
        source.edit_days.add(day)
        if 0 < start < length - size:
            source.joins.append((moment, start))


def alike(shelf: Shelf, reel: ReelPlan, other: ReelPlan) -> bool:
    """Whether two reels have one width and one track count, so that tape of one can go into the other."""
    items = {row["reel"]: row["stock_item"] for row in shelf.rows["reels.csv"]}
    return reel.tracks == other.tracks and items[reel.name][-1] == items[other.name][-1]


def role_of(shelf: Shelf, reel: ReelPlan) -> str:
    """The reel's role as entered."""
    return next(row["role"] for row in shelf.rows["reels.csv"] if row["reel"] == reel.name)


def add_sets(shelf: Shelf) -> None:
    """Sometimes lock two or three reels together."""
    if not shelf.chance(0.25):
        return
    when = "" if shelf.chance(0.2) else shelf.when(RECORDED if shelf.chance(0.8) else EVER)
    for reel in shelf.rng.sample(shelf.reels, min(len(shelf.reels), shelf.rng.randint(2, 3))):
        if not (when and shelf.before_throwing(reel, when)):
            shelf.add("sets.csv", set="set one", reel=reel.name, date=when, by=shelf.person())


def add_voids(shelf: Shelf) -> None:
    """Number every row, and void a few."""
    entries = list(range(1, 1 + sum(len(rows) for rows in shelf.rows.values())))
    voidable: list[tuple[Row, date]] = []
    for file, rows in shelf.rows.items():
        for row in rows:
            row["entry"] = str(entries.pop(0))
            if file in VOIDABLE:
                voidable.append((row, read_moment(row["date"]).day if row.get("date") else FIRST_DAY))
    free = sum(len(rows) for rows in shelf.rows.values()) + 1
    for row, day in shelf.rng.sample(voidable, min(len(voidable), shelf.rng.randint(1, 4))):
        shelf.add(
            "voids.csv",
            entry=row["entry"],
            date=shelf.day((day, AS_OF)).isoformat(),
            reason="entered by mistake",
            by=shelf.person(),
            void_entry=str(free),
        )
        free += 1
