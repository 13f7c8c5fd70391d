"""The stories of generated reels: whole chains of proof with one link spoiled, clean reels, and plain confusion."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta

from .condition import add_circumstances, add_condition, add_finding, add_wipe
from .shelf import (
    AS_OF,
    EVER,
    FIRST_DAY,
    LOOKED_AT,
    METRE,
    PROVED,
    RECORDED,
    TRANSFERRED,
    Phase,
    ReelPlan,
    Shelf,
    metres,
)
from .texts import Row, read_length, read_moment

MEDIA = ("drive red", "Drive  Red", "drive blue", "cartridge four")
SPEEDS = ("15 ips", "15 ips", "30 ips", "7.5 ips")


@dataclass
class Chain:
    """What one reel's recordings rest on: the rows of its story, to be spoiled."""

    phases: tuple[Phase, Phase, Phase]  # recorded, transferred, proved
    takes: list[Row] = field(default_factory=list)
    transfers: list[Row] = field(default_factory=list)
    listens: list[Row] = field(default_factory=list)
    copies: list[Row] = field(default_factory=list)
    checks: list[Row] = field(default_factory=list)
    releases: list[Row] = field(default_factory=list)


def tell(shelf: Shelf, reel: ReelPlan) -> None:
    """Tell one reel's story: what was recorded on it and proved, and what it went through."""
    kind = shelf.rng.choice(("chain",) * 7 + ("wiped", "wiped", "soup", "empty"))
    phases = (RECORDED, TRANSFERRED, PROVED)
    if kind == "soup" or not reel.good and shelf.chance(0.3):
        phases = (EVER, EVER, EVER)
    elif shelf.chance(0.1):
        # All of it within a few days, to try the order of moments.
        day = shelf.day((FIRST_DAY, AS_OF - timedelta(days=20)))
        phases = ((day, day), (day, day + timedelta(days=1)), (day, day + timedelta(days=2)))
    chain = Chain(phases)
    if not reel.sealed and shelf.chance(0.85):
        add_finding(shelf, reel, "listened", shelf.when((FIRST_DAY, AS_OF)))
    if kind == "wiped" or shelf.chance(0.15):
        add_wiped_past(shelf, reel)
    if kind in ("chain", "soup"):
        add_takes(shelf, reel, chain)
        if shelf.chance(0.95 if kind == "chain" else 0.6):
            add_transfers(shelf, reel, chain)
        if shelf.chance(0.9):
            add_releases(shelf, reel, chain)
    if kind == "soup":
        for _ in range(shelf.rng.randint(1, 3)):
            add_record_pass(shelf, reel, shelf.when(EVER), None)
        add_wipe(shelf, reel, shelf.when(EVER))
    if not reel.good or shelf.chance(0.4):
        spoil(shelf, reel, chain)
    add_condition(shelf, reel)
    add_circumstances(shelf, reel)


def add_wiped_past(shelf: Shelf, reel: ReelPlan) -> None:
    """An earlier life: recorded, wiped, mostly listened to."""
    early = (FIRST_DAY, FIRST_DAY + timedelta(days=150))
    for _ in range(shelf.rng.randint(0, 2)):
        add_take(shelf, reel, shelf.when(early), Chain((early, early, early)))
    wiped = (early[1], early[1] + timedelta(days=60)) if shelf.chance(0.8) else early
    add_wipe(shelf, reel, shelf.when(wiped))
    if shelf.chance(0.85):
        add_finding(shelf, reel, "listened", shelf.when((wiped[1] + timedelta(days=1), AS_OF)))


def add_takes(shelf: Shelf, reel: ReelPlan, chain: Chain) -> None:
    """Record one to three takes, with what may lie over them and beside them."""
    for _ in range(shelf.rng.randint(1, 3)):
        when = shelf.when(chain.phases[0])
        take = add_take(shelf, reel, when, chain)
        chain.takes.append(take)
        if shelf.chance(0.35):
            name = take["take"] if shelf.chance(0.6) else f"{take['title']}/{take['take']}"
            moment = when if shelf.chance(0.6) else shelf.when(chain.phases[0])
            add_record_pass(shelf, reel, moment, take if shelf.chance(0.7) else None, name)
        if shelf.chance(0.15):  # a punch-in that names no take
            add_record_pass(shelf, reel, shelf.when(chain.phases[0]), take if shelf.chance(0.5) else None)
        if shelf.chance(0.2):
            add_stray(shelf, reel, when, take)
        if shelf.chance(0.15):
            add_decisions(shelf, reel, take, chain)


def add_decisions(shelf: Shelf, reel: ReelPlan, take: Row, chain: Chain) -> None:
    """Decide about a take, sometimes twice, on its own day or later."""
    later = (max(read_moment(take["date"]).day, chain.phases[1][0]), AS_OF)
    for keep in shelf.rng.sample(
        ("discard", "discard", "keep", "undecided", "tones", "timecode"), shelf.rng.randint(1, 2)
    ):
        when = take["date"] if shelf.chance(0.15) else shelf.when(later)
        shelf.add(
            "decisions.csv", reel=reel.name, project=take["project"], title=take["title"], take=take["take"],
            date=when, keep=keep, by=shelf.person(),
        )  # fmt: skip


def add_take(shelf: Shelf, reel: ReelPlan, when: str, chain: Chain) -> Row:
    """Record a take, on a stretch of its own or over an earlier one."""
    start, end = shelf.stretch(reel, when)
    if chain.takes and shelf.chance(0.25):
        earlier = shelf.rng.choice(chain.takes)
        low, high = read_length(earlier["start"]), read_length(earlier["end"])
        if fits(shelf, reel, when, low, high):
            start, end = low, high
    project = "alder" if reel.good and shelf.chance(0.65) else shelf.rng.choice(["", *shelf.projects])
    keep = shelf.rng.choice(("",) * 6 + ("keep",) * 6 + ("discard", "discard", "tones", "timecode", "undecided"))
    if keep in ("tones", "timecode"):
        project = shelf.rng.choice((project, ""))
    return shelf.add(
        "takes.csv",
        reel=reel.name,
        date=when,
        project=project,
        title=shelf.rng.choice(("river", "stone", "lamp")),
        take=str(shelf.number("take")),
        start=metres(start),
        end=metres(end),
        speed=shelf.rng.choice(SPEEDS),
        tracks=shelf.tracks(reel),
        state="whole" if keep in ("keep", "tones", "timecode") else shelf.rng.choice(("", "whole", "false-start")),
        keep=keep,
        by="" if shelf.chance(0.15) else shelf.person(),
    )


def fits(shelf: Shelf, reel: ReelPlan, when: str, start: int, end: int) -> bool:
    """Whether a stretch lies on the reel at a moment, and off tape that is to be thrown away."""
    moment = read_moment(when)
    if not 0 <= start < end <= reel.length_at(moment):
        return False
    if reel.thrown and moment.day <= reel.thrown[0]:
        return end <= reel.thrown[1] or start >= reel.thrown[2]
    return True


def add_record_pass(shelf: Shelf, reel: ReelPlan, when: str, take: Row | None, name: str = "") -> None:
    """Log a record pass: just over a take (and perhaps beyond it) or anywhere, naming a take or none."""
    start, end = shelf.stretch(reel, when)
    tracks = shelf.tracks(reel)
    if take is not None:
        low, high = read_length(take["start"]), read_length(take["end"])
        if shelf.chance(0.3):
            high += shelf.rng.randint(1, 6) * METRE
        if fits(shelf, reel, when, low, high):
            start, end = low, high
        tracks = take["tracks"] if shelf.chance(0.8) else tracks
    whole = reel.thrown is None and shelf.chance(0.05)
    shelf.add(
        "passes.csv",
        reel=reel.name,
        date=when,
        kind="record",
        start="" if whole else metres(start),
        end="" if whole else metres(end),
        speed="" if shelf.chance(0.2) else shelf.rng.choice(SPEEDS),
        tracks=tracks,
        count=shelf.rng.choice(("", "", "1", "2")),
        take="no such take" if shelf.chance(0.04) else name,
        by=shelf.person(),
    )


def add_stray(shelf: Shelf, reel: ReelPlan, when: str, take: Row) -> None:
    """Run on past the end of a take, for about as long as a stray may be."""
    start = read_length(take["end"])
    end = start + shelf.rng.choice((19050, 38100, 38101, 76200, 10000, 20000, 30000, 120000))
    if fits(shelf, reel, when, start, end):
        shelf.add(
            "passes.csv", reel=reel.name, date=when, kind="record", start=metres(start), end=metres(end),
            speed="" if shelf.chance(0.15) else take["speed"], tracks=take["tracks"], count="", take="",
            by=shelf.person(),
        )  # fmt: skip


def add_transfers(shelf: Shelf, reel: ReelPlan, chain: Chain) -> None:
    """Transfer the reel whole, in two parts that together cover it, take by take, or track by track."""
    when = shelf.when(chain.phases[1])
    low, high = shelf.everything(reel, when)
    every = f"1-{reel.tracks}"
    style = shelf.rng.choice(("whole", "whole", "whole", "halves", "takes", "tracks", "random"))
    parts: list[tuple[int, int, str]] = [(low, high, every)]
    if style == "halves" and high - low > 2 * METRE:
        middle = shelf.place(low + METRE, high - METRE)
        parts = [(low, middle + shelf.rng.choice((0, 0, METRE // 2)), every), (middle, high, every)]
    elif style == "takes":
        places = {(read_length(take["start"]), read_length(take["end"])) for take in chain.takes}
        parts = [(start, end, every) for start, end in sorted(places)]
    elif style == "tracks":
        middle_track = shelf.rng.randint(1, reel.tracks - 1)
        parts = [(low, high, f"1-{middle_track}"), (low, high, f"{middle_track + 1}-{reel.tracks}")]
    elif style == "random":
        parts = [(*shelf.stretch(reel, when), shelf.tracks(reel, stated=True)) for _ in range(2)]
    for start, end, tracks in parts:
        if fits(shelf, reel, when, start, end):
            add_proof(shelf, reel, chain, when, start, end, tracks)


def add_proof(shelf: Shelf, reel: ReelPlan, chain: Chain, when: str, start: int, end: int, tracks: str) -> None:
    """A transfer with its listening, its copies and their checks."""
    name = f"T{shelf.number('transfer')}"
    chain.transfers.append(
        shelf.add(
            "transfers.csv",
            transfer=name,
            reel=reel.name,
            date=when,
            start=metres(start),
            end=metres(end),
            speed="15 ips",
            tracks=tracks,
            sample_rate_hz="96000",
            bit_depth="24",
            by=shelf.person(),
        )  # fmt: skip
    )
    proved = chain.phases[2]
    chain.listens.append(shelf.add("listens.csv", transfer=name, date=shelf.when(proved), by=shelf.person()))
    count = 3 if shelf.chance(0.5) else 2
    for number, medium in enumerate(shelf.rng.sample(("drive red", "drive blue", "cartridge four"), count), start=1):
        copy = {"transfer": name, "copy": f"c{number}"}
        place = "here" if number == 1 else "elsewhere"
        chain.copies.append(shelf.add("copies.csv", **copy, medium=medium, place=place, date=when, by=shelf.person()))
        chain.checks.append(add_check(shelf, copy, shelf.when(proved)))


def add_check(shelf: Shelf, copy: Row, when: str, method: str = "read", result: str = "pass") -> Row:
    """Check a copy; a real read that passes leaves the hash of its manifest."""
    proof = f"{shelf.rng.getrandbits(256):064x}" if method == "read" and result == "pass" else ""
    return shelf.add(
        "copy_checks.csv", transfer=copy["transfer"], copy=copy["copy"], date=when, method=method, result=result,
        manifest_sha256=proof, by=shelf.person(),
    )  # fmt: skip


def add_releases(shelf: Shelf, reel: ReelPlan, chain: Chain) -> None:
    """Get the word of whoever it belongs to: for each project that needs it, or for the whole reel."""
    for project in sorted({take["project"] for take in chain.takes}):
        if project in shelf.word_needed or not project or shelf.chance(0.25):
            given_for = "" if shelf.chance(0.4) else project
            chain.releases.append(add_release(shelf, reel, given_for, shelf.when(chain.phases[2])))


def add_release(shelf: Shelf, reel: ReelPlan, project: str, when: str) -> Row:
    """Release a project's recordings on a reel, or the whole reel."""
    return shelf.add(
        "releases.csv", reel=reel.name, project=project, date=when, granted_by="Dee Client", by=shelf.person()
    )


def spoil(shelf: Shelf, reel: ReelPlan, chain: Chain) -> None:
    """Break one link of a chain, or put something in its way."""
    rng = shelf.rng
    transfer, listen = (rng.choice(rows) if rows else None for rows in (chain.transfers, chain.listens))
    copy, check = (rng.choice(rows) if rows else None for rows in (chain.copies, chain.checks))
    way = rng.choice(WAYS_TO_SPOIL)
    if way == "listen" and listen:
        shelf.drop("listens.csv", listen)
    elif way == "listen-same-day" and listen and transfer:
        listen["date"] = transfer["date"]
    elif way == "track" and transfer:
        transfer["tracks"] = f"1-{reel.tracks - 1}" if shelf.chance(0.5) else f"{reel.tracks}"
    elif way == "short" and transfer:
        low, high = read_length(transfer["start"]), read_length(transfer["end"])
        if high - low > METRE:
            side = rng.choice(("start", "end"))
            transfer[side] = metres(shelf.place(low + METRE // 2, high - METRE // 2))
    elif way == "format" and transfer:
        transfer |= rng.choice(({"sample_rate_hz": "44100"}, {"sample_rate_hz": "48000"}, {"bit_depth": "16"}))
    elif way == "cooling" and transfer and shelf.chance(0.8):
        for row in chain.transfers:
            day = AS_OF - timedelta(days=rng.choice((13, 14, 4, 5, 29, 30)))
            when = day.isoformat()
            if fits(shelf, reel, when, read_length(row["start"]), read_length(row["end"])):
                row["date"] = when
        for row in chain.listens + chain.checks:
            row["date"] = (AS_OF - timedelta(days=rng.choice((0, 1, 2)))).isoformat()
    elif way == "punch-in":
        add_record_pass(shelf, reel, shelf.when(EVER), rng.choice(chain.takes) if chain.takes else None)
    elif way == "late-take":
        chain.takes.append(add_take(shelf, reel, transfer["date"] if transfer else shelf.when(EVER), chain))
    elif way == "stated" and check:
        check |= {"method": "stated", "manifest_sha256": ""}
    elif way == "no-hash" and check:
        check["manifest_sha256"] = ""
    elif way == "old-check" and check:
        check["date"] = (AS_OF - timedelta(days=rng.choice((364, 365, 366, 200, 201, 400)))).isoformat()
    elif way == "failed" and copy and check:
        when = check["date"] if shelf.chance(0.4) else shelf.when(chain.phases[2])
        add_check(shelf, copy, when, result="fail")
    elif way == "unchecked" and check:
        shelf.drop("copy_checks.csv", check)
    elif way == "stated-later" and copy:
        add_check(shelf, copy, shelf.when(LOOKED_AT), method="stated", result=rng.choice(("pass", "pass", "fail")))
    elif way == "medium" and copy:
        for row in chain.copies:
            if row["transfer"] == copy["transfer"]:
                row["medium"] = rng.choice(MEDIA[:2])
    elif way == "place" and copy:
        for row in chain.copies:
            if row["transfer"] == copy["transfer"]:
                row["place"] = "here"
    elif way == "release" and chain.releases:
        shelf.drop("releases.csv", rng.choice(chain.releases))
    elif way == "release-early" and chain.releases:
        rng.choice(chain.releases)["date"] = shelf.when(chain.phases[0])
    elif way == "unentered" and transfer:
        # Transfers of tape on which nothing was ever entered.
        when = shelf.when(EVER)
        add_proof(shelf, reel, chain, when, *shelf.stretch(reel, when), f"1-{reel.tracks}")
    elif way == "late-wipe":
        add_wipe(shelf, reel, shelf.when(PROVED if shelf.chance(0.7) else EVER))


WAYS_TO_SPOIL = (
    "listen", "listen-same-day", "track", "track", "short", "short", "format", "cooling", "cooling", "punch-in",
    "late-take", "stated", "no-hash", "old-check", "old-check", "failed", "failed", "unchecked", "stated-later",
    "medium", "place", "release", "release", "release-early", "unentered", "late-wipe", "late-wipe",
)  # fmt: skip
