"""Proving copies: the files of a folder read against the record, and what was found recorded with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

from stock.core.house import House
from stock.core.kinds import BY_NAME
from stock.core.layout import Layout
from stock.core.measure import SECOND, Speed, time_of
from stock.core.moments import AsOf, Calendar, date_of
from stock.core.record import Record
from stock.core.timecode import RATES, frame_of
from stock.core.tracks import every
from stock.desk.desk import Desk, Receipt
from stock.desk.errors import DeskError
from stock.desk.ground import read_ground
from stock.desk.laying import Ground
from stock.desk.reading import rows_of, zone_in_force
from stock.proof.examine import examine
from stock.proof.expectation import Expectation, limits_of
from stock.proof.facts import Progress, Report
from stock.proof.media import reachable, same_medium
from stock.store.reader import Reader

_MOST_NOTE = 3_000


class NoSuchTransfer(DeskError):
    code = "no-such-transfer"
    wording = "there is no transfer {transfer}"
    remedy = "Enter the transfer first: `reelward add transfer`."


class OtherCopy(DeskError):
    code = "other-copy"
    wording = "copy {copy} of transfer {transfer} is entered as {medium}, {place}"
    remedy = "Give that medium and place, or another --copy."


class SameMedium(DeskError):
    code = "same-medium"
    wording = "{folder} lies on the same file system as copy {copy} on {medium}: two folders on one are one medium"
    remedy = (
        "Name that medium; or, if it is another medium all the same, say so with --own-medium: you are named for it."
    )


@dataclass(frozen=True)
class Proved:
    """A copy read. receipt: None where the reading was stopped, and nothing is recorded."""

    transfer: str
    copy: str
    report: Report
    receipt: Receipt | None


class DueCopy(NamedTuple):
    """A copy to be read again. last: the day of its newest real read, None for never; here: whether it can be read."""

    transfer: str
    copy: str
    medium: str
    place: str
    folder: str | None
    last: str | None
    due: bool
    here: bool


def prove(
    desk: Desk,
    transfer: str,
    folder: Path,
    *,
    medium: str,
    place: str,
    copy: str | None = None,
    mapping: Mapping[str, tuple[int, ...]] | None = None,
    own_medium: bool = False,
    told: Callable[[Progress], None] | None = None,
    stop: Callable[[], bool] | None = None,
) -> Proved:
    """Read every file of a copy from end to end, and record the copy, its files and the check.

    copy: its name, the medium's where none is given. own_medium: the person's word that a folder on one file system
    with another copy's is on a medium of its own. Raises NoSuchTransfer, OtherCopy, SameMedium, CannotEnter, and
    NotReachable where the folder is not there, which is neither a failed check nor a pass.
    """
    name = copy or medium
    with desk.store.reading() as reader:
        wanted = expectation_of(reader, desk.context().calendar, transfer, name)
        is_new = _is_new(reader, transfer, name, medium, place)
        has_files = bool(_files_of(reader, transfer, name))
        # of a copy that was read before, somebody has said which medium it is on
        if not own_medium and not has_files:
            _refuse_same_medium(reader, transfer, name, medium, folder)
    wanted = wanted._replace(limits=limits_of(desk.house(()).rules))
    resume = desk.store.path.with_name(f"{desk.store.path.stem}-{_plain(transfer)}-{_plain(name)}.reading")
    report = examine(folder, wanted, mapping=mapping, told=told, stop=stop, resume=resume)
    if report.stopped:
        return Proved(transfer, name, report, None)
    rows: list[tuple[str, dict[str, str]]] = []
    if is_new:
        where = {"transfer": transfer, "copy": name, "medium": medium, "place": place, "folder": str(folder.absolute())}
        rows.append(("copy", where))
    if report.passed and not has_files:
        for file in report.files:
            track = str(file.tracks[0]) if file.tracks is not None and len(file.tracks) == 1 else ""
            cells = {"transfer": transfer, "copy": name, "path": file.path, "bytes": str(file.size_bytes)}
            rows.append(("copy-file", {**cells, "sha256": file.sha256, "track": track}))
    check = {
        "transfer": transfer,
        "copy": name,
        "method": "read",
        "result": "pass" if report.passed else "fail",
        "manifest_sha256": report.manifest_sha256,
        "note": _note(report, own_medium),
    }
    rows.append(("copy-check", check))
    receipt = desk.add_all([(BY_NAME[kind], cells) for kind, cells in rows], f"prove {transfer} {name}")
    return Proved(transfer, name, report, receipt)


def due(desk: Desk, *, within_days: int = 30) -> list[DueCopy]:
    """The copies of transfers that are due to be read again, the longest ago first; those of reels wiped since too.

    due: its newest real read is older than the house's limit less `within_days`, or failed, or there is none.
    """
    with desk.store.reading() as reader:
        found = due_of(copies_house(reader, Calendar(zone_in_force(reader)), desk.as_of()), within_days)
        folders = {
            (t, c): f for t, c, f in reader.iterate('SELECT transfer, "copy", folder FROM copies ORDER BY entry')
        }
    told = [each._replace(folder=folders.get((each.transfer, each.copy))) for each in found]
    return [each._replace(here=bool(each.folder) and reachable(Path(each.folder or ""))) for each in told]


def copy_known(desk: Desk, transfer: str, copy: str) -> tuple[str, str, str, str] | None:
    """A copy's name, medium, place and folder by its newest entry that stands; None where there is none."""
    sql = 'SELECT entry, "copy", medium, place, folder FROM copies WHERE transfer = ? AND "copy" = ? ORDER BY entry'
    with desk.store.reading() as reader:
        voided = reader.voided()
        rows = [row for row in reader.raw(sql, (transfer, copy)) if row[0] not in voided]
    if not rows:
        return None
    _, name, medium, place, folder = rows[-1]
    return name, medium, place, folder or ""


def copies_house(reader: Reader, calendar: Calendar, as_of: AsOf) -> House:
    """The house as far as its copies go: rules, transfers, copies and their checks, read in bulk."""
    record = Record(made_us=reader.made_us, voided=reader.voided())
    for file in ("rules", "transfers", "copies", "copy_checks"):
        record.rows[file] = rows_of(reader, file)
    return House(record, calendar, as_of)


def due_of(house: House, within_days: int = 30) -> list[DueCopy]:
    """The copies that are due in a house, as `due` gives them but for folders and whether they can be read."""
    limit = house.rules.number("copy_check_days")
    found: list[DueCopy] = []
    for row in house.record.of("copies"):
        if row.entry in house.record.voided or not house.as_of.has(row.day, row.at_us):
            continue
        checks = [check for check in house.keyed("copy_checks", row.transfer) if check.copy == row.copy]
        reads = [
            (house.calendar.local_day(check.day, check.at_us) or 0, check.result)
            for check in checks
            if check.method == "read" and check.manifest_sha256
        ]
        last = max(reads, default=None)
        if last is None or last[1] == "fail" or house.as_of.day - last[0] > limit - within_days:
            day = date_of(last[0]).isoformat() if last is not None else None
            found.append(DueCopy(row.transfer, row.copy, row.medium, row.place, None, day, True, False))
    return sorted(found, key=lambda each: (each.last or "", each.transfer, each.copy))


def expectation_of(reader: Reader, calendar: Calendar, transfer: str, copy: str) -> Expectation:
    """What the record says that the files of a transfer must be."""
    voided = reader.voided()
    rows = [
        row
        for row in reader.raw(
            "SELECT entry, reel, speed, vary, tracks, sample_rate_hz, bit_depth, tape, lo, hi, day, at_us "
            "FROM transfers WHERE transfer = ? ORDER BY entry",
            (transfer,),
        )
        if row[0] not in voided
    ]
    if not rows:
        raise NoSuchTransfer(transfer=transfer)
    entry, reel, nominal, vary, tracks, rate_hz, bits, *place, day, at_us = rows[-1]
    pieces = [tuple(place), *reader.raw("SELECT tape, lo, hi FROM places WHERE entry = ? ORDER BY seq", (entry,))]
    speed = Speed(nominal, vary or 0)
    length = sum(hi - lo for _, lo, hi in pieces)
    made = calendar.loosens(day, at_us)
    in_use, names = _in_use(reader, calendar, voided, pieces, made)
    ground = read_ground(reader, calendar, voided)
    stripe = _stripe(ground, ground.layout(reel, made), reel, pieces[0], made, nominal)
    known = _files_of(reader, transfer, copy)
    first = known or _first_copy(reader, voided, transfer)
    return Expectation(
        transfer,
        tracks,
        in_use & tracks,
        names,
        rate_hz,
        bits,
        time_of(length, speed.actual),
        *stripe,
        first or None,
    )


def _in_use(
    reader: Reader, calendar: Calendar, voided: dict[int, int], pieces: list[Any], made: int
) -> tuple[int, dict[int, str]]:
    """The tracks the track sheet says are in use on a stretch, and their names: of takes recorded before a moment."""
    mask = 0
    names: dict[int, str] = {}
    for tape, lo, hi in pieces:
        sql = "SELECT entry, day, at_us, tracks, track_names FROM takes WHERE tape = ? AND lo < ? AND hi > ?"
        for entry, day, at_us, tracks, track_names in reader.iterate(sql, (tape, hi, lo)):
            if entry in voided or calendar.loosens(day, at_us) > made or tracks is None:
                continue
            mask |= tracks
            for part in (track_names or "").split("; "):
                number, _, name = part.partition(" ")
                if name and number.isdecimal():
                    names[int(number)] = name
    return mask & every(48), names


def _stripe(
    ground: Ground, layout: Layout, reel: str, piece: Any, made: int, nominal: int
) -> tuple[int | None, str | None]:
    """The stripe's time since midnight where a transfer begins, microseconds, and its rate; None without a stripe."""
    marks = [m for m in ground.stripes.get(reel, ()) if m.moment <= made and m.start_code and m.rate]
    if not marks:
        return None, None
    mark = max(marks)
    at, start = layout.project_point(mark.tape, mark.place), layout.project_point(piece[0], piece[1])
    if at is None or start is None or start < at:
        return None, None
    rate = mark.rate or ""
    code_us = Fraction(frame_of(mark.start_code or "", rate)) / RATES[rate].run * SECOND
    return round(code_us) + time_of(start - at, nominal), rate


def _files_of(reader: Reader, transfer: str, copy: str) -> dict[str, str]:
    """The hashes recorded of a copy's files, by path."""
    sql = 'SELECT path, sha256, entry FROM copy_files WHERE transfer = ? AND "copy" = ? ORDER BY entry'
    voided = reader.voided()
    return {
        path: sha256 for path, sha256, entry in reader.iterate(sql, (transfer, copy)) if sha256 and entry not in voided
    }


def _first_copy(reader: Reader, voided: dict[int, int], transfer: str) -> dict[str, str]:
    """The hashes of the first copy of a transfer that has some."""
    sql = 'SELECT entry, "copy" FROM copies WHERE transfer = ? ORDER BY entry'
    for entry, copy in reader.raw(sql, (transfer,)):
        files = _files_of(reader, transfer, copy) if entry not in voided else {}
        if files:
            return files
    return {}


def _is_new(reader: Reader, transfer: str, copy: str, medium: str, place: str) -> bool:
    voided = reader.voided()
    sql = 'SELECT entry, medium, place FROM copies WHERE transfer = ? AND "copy" = ?'
    there = [row for row in reader.iterate(sql, (transfer, copy)) if row[0] not in voided]
    for _, as_medium, as_place in there:
        if (_folded(as_medium), as_place) != (_folded(medium), place):
            raise OtherCopy(copy=copy, transfer=transfer, medium=as_medium, place=as_place)
    return not there


def _refuse_same_medium(reader: Reader, transfer: str, copy: str, medium: str, folder: Path) -> None:
    voided = reader.voided()
    sql = 'SELECT entry, "copy", medium, folder FROM copies WHERE transfer = ? ORDER BY entry'
    for entry, other, other_medium, other_folder in reader.iterate(sql, (transfer,)):
        if entry in voided or other == copy or not other_folder or _folded(other_medium) == _folded(medium):
            continue
        there = Path(other_folder)
        if reachable(there) and reachable(folder) and same_medium(folder, there):
            raise SameMedium(folder=folder, copy=other, medium=other_medium)


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _plain(text: str) -> str:
    """A name as part of a file's name."""
    return "".join(each if each.isalnum() or each in "-_" else "_" for each in text)[:60]


def _note(report: Report, own_medium: bool) -> str:
    """What the check is remembered by: that a person stated the medium, and the first remarks."""
    said = ["stated to be a medium of its own"] if own_medium else []
    said += [f"{remark.code}: {remark.says}" for remark in report.remarks if remark.severity == "fail"]
    said += [f"{remark.code}: {remark.says}" for remark in report.remarks if remark.severity == "note"]
    text = "; ".join(said)
    return text if len(text) <= _MOST_NOTE else text[: _MOST_NOTE - 1] + "\u2026"
