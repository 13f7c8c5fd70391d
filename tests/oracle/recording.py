"""May the recording go: the house's rules read track by track, place by place, for one reel."""

from __future__ import annotations

from dataclasses import dataclass

from .book import Cell, cells
from .ground import Ground, Live, newest_wipe, project_of
from .lives import live_cells, proved_by
from .proof import copy_faults
from .standing import away, content_unknown, held, stray_field, whole_reel, word_missing
from .texts import Row, read_speed, travel

Code = tuple[str, str]  # code, severity


def take_reasons(ground: Ground, key: str, lives: list[Live]) -> set[Code]:
    """The reasons of one take, from all its live cells."""
    codes: set[Code] = set()
    project = project_of(key)
    # What is bad about the copies of a transfer that proves the take is only noted.
    for live in lives:
        for transfer in live.after:
            if not ground.lacks(transfer, project):
                codes.update((code, "note") for code in copy_faults(ground.book, transfer.row))
    needy = [live for live in lives if not live.free]
    if not needy:
        return codes
    if not any(live.after for live in lives):
        codes.add(("not-transferred", "no"))
        return codes
    touched_tracks = {live.track for live in lives if live.after}
    for live in needy:
        if not live.after:
            missing = "partly-transferred" if live.track in touched_tracks else "tracks-missing"
            codes.add((missing, "no"))
        elif proved_by(ground, live, project) is None:
            for transfer in live.after:
                bad = ground.lacks(transfer, project) | copy_faults(ground.book, transfer.row)
                codes.update((code, "no") for code in bad)
    return codes


def unlogged(ground: Ground, lives: list[Live]) -> bool:
    """Whether live cells in no take are left that are neither free nor a short stray beside a take."""
    stray_s = ground.book.rule("stray_s")
    by_track: dict[int, list[Live]] = {}
    for live in lives:
        by_track.setdefault(live.track, []).append(live)
    for track_lives in by_track.values():
        # `lives` are in reel order, so runs of touching cells come one after the other.
        runs: list[list[Live]] = []
        for live in track_lives:
            if live.owners or live.free:
                continue
            if runs and runs[-1][-1].cell.end == live.cell.start:
                runs[-1].append(live)
            else:
                runs.append([live])
        for run in runs:
            start, end = run[0].cell.start, run[-1].cell.end
            beside = any(live.owners and (live.cell.end == start or live.cell.start == end) for live in track_lives)
            speeds = [record.row.get("speed", "") for live in run for record in live.records]
            if not beside or not all(speeds):
                return True
            slowest = min(read_speed(speed) for speed in speeds)
            if end - start > travel(stray_s, slowest):
                return True
    return False


def never_entered(ground: Ground, cut: list[Cell], lives: list[Live]) -> bool:
    """Whether a transfer since the last wipe covers only tape with nothing live on any track."""
    live_places = {live.cell.start for live in lives}
    for transfer in ground.transfers:
        stretch = [cell for cell in cut if cell.under(transfer.spans)]
        if any(cell.start in live_places for cell in stretch):
            continue
        for cell in stretch:
            wiped = newest_wipe(ground, cell)
            if wiped is None or transfer.end_of_day >= wiped:
                return True
    return False


@dataclass
class RecordingAnswer:
    """A reel's codes, what is live on it and its cells."""

    codes: set[Code]
    lives: list[Live]
    cut: list[Cell]

    @property
    def erasable(self) -> str:
        """No when any reason is no, else unknown when any is doubt, else yes."""
        severities = {severity for _, severity in self.codes}
        return "no" if "no" in severities else "unknown" if "doubt" in severities else "yes"


def own_answer(ground: Ground, reel: str) -> RecordingAnswer:
    """A reel's own answer, what other reels of its sets say left out."""
    book = ground.book
    spans = [span for item in ground.recordings + ground.transfers for span in item.spans]
    spans += [span for _, found, _ in ground.wipes for span in found]
    spans += [span for found, _, _ in ground.exposed + ground.listened for span in found]
    for file in ("releases.csv", "owners.csv", "holds.csv"):
        for row in book.rows(file):
            spans += whole_reel(book, row) + book.pieces_after(row["reel"], book.moment(row).end)
    cut = cells(book.pieces_now(reel), spans, [])
    lives = live_cells(ground, reel, cut)
    tracks = range(1, book.track_count(reel) + 1)
    codes: set[Code] = set()
    for key in {key for live in lives for key in live.owners}:
        codes |= take_reasons(ground, key, [live for live in lives if key in live.owners])
    if any(live.overwrites for live in lives):
        codes.add(("overwritten", "note"))
    if unlogged(ground, lives) or never_entered(ground, cut, lives):
        codes.add(("unlogged-recording", "doubt"))
    if held(book, cut):
        codes.add(("on-hold", "no"))
    if word_missing(ground, reel, lives):
        codes.add(("no-release", "no"))
    if book.reels[reel].get("role") == "reference":
        codes.add(("reference-tape", "no"))
    if away(book, reel):
        codes.add(("not-here", "no"))
    if content_unknown(ground, cut, tracks):
        codes.add(("content-unknown", "doubt"))
    if stray_field(ground, cut, tracks):
        codes.add(("stray-field", "doubt"))
    return RecordingAnswer(codes, lives, cut)


def still_member(ground: Ground, row: Row, answer: RecordingAnswer) -> bool:
    """A reel leaves a set once every place of its tape was wiped strictly after the set; from an undated one, never."""
    if not row.get("date"):
        return True
    bound = ground.book.moment(row).end
    return not all((wiped := newest_wipe(ground, cell)) is not None and wiped > bound for cell in answer.cut)


def add_sets(ground: Ground, answers: dict[str, RecordingAnswer]) -> None:
    """Add set-not-clear where another member of a set has a live take and may not go by its own answer."""
    erasable = {reel: answer.erasable for reel, answer in answers.items()}
    members = [row for row in ground.book.rows("sets.csv") if still_member(ground, row, answers[row["reel"]])]
    for row in members:
        for other in members:
            if other["set"] == row["set"] and other["reel"] != row["reel"]:
                has_take = any(live.owners for live in answers[other["reel"]].lives)
                if has_take and erasable[other["reel"]] != "yes":
                    answers[row["reel"]].codes.add(("set-not-clear", "no"))
