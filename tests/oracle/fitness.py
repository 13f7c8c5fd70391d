"""Is the tape fit to record on: the house's rules read place by place, for one reel and each grade."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal

from .book import Book, Cell, Span, cells, place_on, total
from .ground import names, wiped_spans
from .texts import Row, read_length, read_speed, read_tracks, travel

GRADES = ("critical", "standard", "scratch")
NEVER_ENDING = ("edge", "stretch")  # kinds that no later finding replaces
SPLICE_STATES = ("sound", "doubtful", "failed")  # from good to bad
ONE_INCH = read_length("1 in")
WATCHED_BINDER_DAYS = 365

Laid = list[tuple[Row, list[Span]]]


@dataclass
class Wear:
    """All facts of a house that tell on its tape, laid out once for every reel's answer."""

    book: Book
    passes: Laid
    takes: Laid
    wipes: Laid
    findings: Laid
    splices: list[tuple[Row, str, int]]  # row, tape, place
    responses: list[tuple[Row, str, int]]
    retirements: Laid
    finding_tracks: dict[int, frozenset[int]] = field(default_factory=dict)  # by the row's identity


def survey_wear(book: Book) -> Wear:
    """Lay every fact that tells on tape on the tape it meant."""

    def laid(file: str) -> Laid:
        return [(row, book.spans(row)) for row in book.rows(file)]

    wear = Wear(
        book,
        laid("passes.csv"),
        laid("takes.csv"),
        [(row, wiped_spans(book, row)) for row in book.rows("wipes.csv")],
        laid("findings.csv"),
        [(row, *book.point(row)) for row in book.rows("splices.csv")],
        [(row, *book.point(row)) for row in book.rows("response.csv")],
        [(row, book.pieces_before(row["reel"], book.moment(row).start)) for row in book.rows("retirements.csv")],
    )
    for row, _ in wear.findings:
        wear.finding_tracks[id(row)] = read_tracks(row.get("tracks", ""), book.track_count(row["reel"]))
    return wear


def wear_tenths(wear: Wear, cell: Cell) -> int:
    """Passes over a cell, in tenths of a pass."""
    tenths = 10 * int(wear.book.reels[cell.tape].get("passes_before") or 0)
    for row, spans in wear.passes:
        if cell.under(spans):
            # A wind is a tenth of a pass; the count left empty is one.
            tenths += int(row.get("count") or 1) * (1 if row["kind"] == "wind" else 10)
    for row, spans in wear.wipes:
        if cell.under(spans) and row["method"] == "machine":
            tenths += 10
    for row, spans in wear.takes:
        if cell.under(spans):
            # A take is a pass of its own where no record pass on the same reel names it.
            logged = any(
                item["kind"] == "record" and item["reel"] == row["reel"] and names(item, row) and cell.under(over)
                for item, over in wear.passes
            )
            tenths += 0 if logged else 10
    return tenths


def worst_severity(wear: Wear, cell: Cell, tracks: range) -> int:
    """The worst finding in force over a cell, on any track."""
    book = wear.book
    here = [row for row, spans in wear.findings if cell.under(spans)]
    worst = 0
    for track in tracks:
        on_track = [row for row in here if track in wear.finding_tracks[id(row)]]
        for row in on_track:
            if row["severity"] == "0" or int(row["severity"]) <= worst:
                continue
            same_kind = [other for other in on_track if other["kind"] == row["kind"]]
            # Damage counts from the end of its day, a finding of nothing from the start of its day.
            if row["kind"] == "inspection":
                # Only the newest inspection counts, of tied ones the worst.
                ended = any(finding_moment(book, other) > finding_moment(book, row) for other in same_kind)
            elif row["kind"] in NEVER_ENDING:
                ended = False
            else:
                ended = any(
                    other["severity"] == "0" and finding_moment(book, other) > finding_moment(book, row)
                    for other in same_kind
                )
            if not ended:
                worst = int(row["severity"])
    return worst


def finding_moment(book: Book, row: Row) -> datetime:
    """Damage binds (end of its day); inspections, listenings and findings of nothing loosen (start)."""
    if row["kind"] in ("inspection", "listened") or row["severity"] == "0":
        return book.moment(row).start
    return book.moment(row).end


def whole_reel_kind(book: Book, row: Row, tape: str) -> str | None:
    """The code of a finding that speaks for a whole reel, on a given tape; None for any other finding."""
    if row["severity"] == "0":
        return None
    if row["kind"] in ("sticky", "shedding", "mould"):
        return row["kind"]
    if row["kind"] == "vinegar" and book.formulation(tape).get("base", "") in ("", "acetate"):
        return "vinegar"
    return None


def inspections(wear: Wear, cell: Cell, tracks: range) -> list[Row]:
    """Inspections that looked at every track of a cell."""
    return [
        row
        for row, spans in wear.findings
        if row["kind"] == "inspection" and cell.under(spans) and wear.finding_tracks[id(row)] >= set(tracks)
    ]


def never_used(wear: Wear, cell: Cell) -> bool:
    """Whether a cell's tape arrived sealed and has seen no pass, take or wipe."""
    touched = any(cell.under(spans) for _, spans in wear.takes + wear.wipes)
    sealed = wear.book.reels[cell.tape].get("arrived_as") == "sealed"
    return sealed and not touched and wear_tenths(wear, cell) == 0


def heard_since_wipe(wear: Wear, cell: Cell, tracks: range) -> bool:
    """Whether each track of a cell was listened to, and found empty, strictly after the newest wipe there."""
    book = wear.book
    wipes = [book.moment(row).start for row, spans in wear.wipes if cell.under(spans)]
    if not wipes:
        return True
    for track in tracks:
        heard = [
            book.moment(row).start
            for row, spans in wear.findings
            if row["kind"] == "listened"
            and row["severity"] == "0"
            and cell.under(spans)
            and track in wear.finding_tracks[id(row)]
        ]
        if not any(moment > max(wipes) for moment in heard):
            return False
    return True


def batch_suspect(wear: Wear, cell: Cell, looked: list[Row]) -> bool:
    """Whether another reel's tape of the same making has a whole-reel fault newer than any inspection here."""
    book = wear.book
    batch = book.reels[cell.tape].get("batch", "")
    if not batch:
        return False
    faults = []
    for row, spans in wear.findings:
        for tape in {tape for tape, _, _ in spans}:
            same_making = (
                tape != cell.tape
                and book.reels[tape].get("batch", "") == batch
                and book.formulation(tape)["formulation"] == book.formulation(cell.tape)["formulation"]
            )
            if same_making and whole_reel_kind(book, row, tape):
                faults.append(book.moment(row).end)
    if not faults:
        return False
    return not any(book.moment(row).start > max(faults) for row in looked)


def response_fall(wear: Wear, pieces: list[Span]) -> Decimal | None:
    """The worst fall at 10 kHz of all pairs of checks on tape now on the reel, in dB; None without a pair."""
    book = wear.book
    groups: dict[tuple[object, ...], list[tuple[datetime, Decimal]]] = {}
    for row, tape, place in wear.responses:
        if Decimal(row["frequency_hz"]) == 10_000 and place_on(pieces, tape, place) is not None:
            key = (read_speed(row["speed"]), tape, place, row["machine"], row["track"])
            groups.setdefault(key, []).append((book.moment(row).start, Decimal(row["level_db"])))
    falls = []
    for checks in groups.values():
        if len(checks) < 2:
            continue
        first = min(moment for moment, _ in checks)
        newest = max(moment for moment, _ in checks)
        # Tied, the highest first level and the lowest newest level hold.
        highest = max(level for moment, level in checks if moment == first)
        lowest = min(level for moment, level in checks if moment == newest)
        falls.append(highest - lowest)
    return max(falls, default=None)


def splices_now(wear: Wear, pieces: list[Span]) -> list[tuple[int, bool]]:
    """Splices along the reel as it is: the reel place of each, and whether no grade crosses it."""
    book = wear.book
    standing = []
    for row, tape, place in wear.splices:
        # A later splice within an inch on the same tape replaces it; tied, the worse state stays.
        replaced = any(
            other_tape == tape
            and abs(other_place - place) <= ONE_INCH
            and (
                book.moment(other).start > book.moment(row).start
                or (
                    book.moment(other).start == book.moment(row).start
                    and SPLICE_STATES.index(other["state"]) > SPLICE_STATES.index(row["state"])
                )
            )
            for other, other_tape, other_place in wear.splices
        )
        at = place_on(pieces, tape, place)
        if at is not None and not replaced:
            standing.append((at, row["kind"] == "leader" or row["state"] != "sound"))
    # Where two pieces meet is a splice; one entered within an inch of it is that splice.
    joins = []
    at = 0
    for _, first, last in pieces[:-1]:
        at += last - first
        joins.append(at)
    found = [(join, any(hard and abs(place - join) <= ONE_INCH for place, hard in standing)) for join in joins]
    found += [(place, hard) for place, hard in standing if all(abs(place - join) > ONE_INCH for join in joins)]
    return sorted(found)


def judge_cell(wear: Wear, cell: Cell, tracks: range) -> dict[str, tuple[set[str], set[str]]]:
    """The codes that say no, and those that say unknown, for each grade at one cell."""
    book = wear.book
    tenths = wear_tenths(wear, cell)
    reuses = sum(cell.under(spans) for _, spans in wear.wipes)
    severity = worst_severity(wear, cell, tracks)
    looked = inspections(wear, cell, tracks)
    newest_look = min((book.age_days(row) for row in looked), default=None)
    heard = heard_since_wipe(wear, cell, tracks)
    suspect = batch_suspect(wear, cell, looked)
    unused = never_used(wear, cell)
    watched = book.formulation(cell.tape).get("binder_watch") == "yes"
    origin = book.reels[cell.tape]
    uncounted = origin.get("arrived_as") != "sealed" and not origin.get("passes_before")
    answers: dict[str, tuple[set[str], set[str]]] = {}
    for grade in GRADES:
        no: set[str] = set()
        unknown: set[str] = set()
        if tenths > 10 * int(book.rule(f"passes_{grade}")):
            no.add("too-many-passes")
        if reuses > int(book.rule(f"wipes_{grade}")):
            no.add("too-many-reuses")
        if severity > int(book.rule(f"severity_{grade}")):
            no.add("damaged")
        if grade != "scratch" and not unused:
            days = int(book.rule(f"inspection_days_{grade}"))
            old = newest_look is None or newest_look > days
            unknown |= {"not-inspected"} if old else set()
        if watched and (newest_look is None or newest_look > WATCHED_BINDER_DAYS):
            unknown.add("not-inspected")
        if not heard:
            unknown.add("wiped-not-heard")
        if suspect:
            unknown.add("batch-suspect")
        if grade != "scratch" and uncounted:
            unknown.add("passes-unknown")
        answers[grade] = (no, unknown)
    return answers


def fitness(wear: Wear, reel: str) -> tuple[dict[str, str], set[str]]:
    """Fitness of a reel for each grade (yes, no, unknown), and the codes met anywhere on it for any grade."""
    book = wear.book
    pieces = book.pieces_now(reel)
    tracks = range(1, book.track_count(reel) + 1)
    speed = read_speed(book.rule("usual_speed"))
    splices = splices_now(wear, pieces)
    guard = travel(book.rule("splice_guard_s"), speed)
    # Usable tape: after the larger of so many seconds and a length, before so many seconds from the tail.
    head = max(travel(book.rule("unused_head_s"), speed), read_length(book.rule("unused_head_length")))
    tail = total(pieces) - travel(book.rule("unused_tail_s"), speed)
    spans = [
        span for laid in (wear.passes, wear.takes, wear.wipes, wear.findings) for _, found in laid for span in found
    ]
    places = [head, tail] + [at + shift for at, _ in splices for shift in (-guard, 0, guard)]
    cut = cells(pieces, spans, places)

    codes: set[str] = set()
    always_no: set[str] = set()
    for _, found in wear.retirements:
        if any(cell.under(found) for cell in cut):
            always_no.add("retired")
    for row, found in wear.findings:
        for cell in cut:
            code = whole_reel_kind(book, row, cell.tape) if cell.under(found) else None
            if code:
                always_no.add(code)
    codes |= always_no
    fall = response_fall(wear, pieces)
    at_cells = [(cell, judge_cell(wear, cell, tracks)) for cell in cut]
    for _, by_grade in at_cells:
        for no, unknown in by_grade.values():
            codes |= no | unknown

    fit: dict[str, str] = {}
    for grade in GRADES:
        lost = fall is not None and fall > Decimal(book.rule(f"response_fall_{grade}"))
        if lost:
            codes.add("high-frequency-loss")
        if always_no or lost:
            fit[grade] = "no"
            continue
        shortest = read_length(book.rule("shortest_stretch"))
        sure: list[bool] = []
        possible: list[bool] = []
        for cell, by_grade in at_cells:
            no, unknown = by_grade[grade]
            usable = head <= cell.start and cell.end <= tail
            near = grade != "scratch" and any(at - guard <= cell.start < at + guard for at, _ in splices)
            possible.append(usable and not near and not no)
            sure.append(possible[-1] and not unknown)
        breaks = {at for at, hard in splices if hard}
        if longest(cut, sure, breaks) >= shortest:
            fit[grade] = "yes"
        elif longest(cut, possible, breaks) >= shortest:
            fit[grade] = "unknown"
        else:
            fit[grade] = "no"
    return fit, codes


def longest(cut: list[Cell], good: list[bool], breaks: set[int]) -> int:
    """The longest run of good cells that crosses no break, in tenths of a millimetre."""
    best = run = 0
    for cell, is_good in zip(cut, good, strict=True):
        if cell.start in breaks:
            run = 0
        run = run + cell.length if is_good else 0
        best = max(best, run)
    return best
