"""A house's recordings, transfers, wipes and listenings laid out on its tape, before any reel is judged."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from .book import Book, Cell, Span
from .proof import lacks
from .texts import Row, read_tracks


@dataclass
class Recording:
    """A take or a record pass, with the tape and tracks it went over. It binds: `moment` is its end."""

    row: Row
    is_take: bool
    spans: list[Span]
    tracks: frozenset[int]
    moment: datetime


@dataclass
class Transfer:
    """A transfer with the tape and tracks it covers. It loosens: `moment` is its start."""

    row: Row
    spans: list[Span]
    tracks: frozenset[int]
    moment: datetime
    end_of_day: datetime


@dataclass
class Live:
    """One live cell of one track: the newest recording there, and what makes it free to go."""

    cell: Cell
    track: int
    newest: datetime
    records: list[Recording]  # the record passes tied for the newest
    owners: list[str] = field(default_factory=list)  # the takes it belongs to
    after: list[Transfer] = field(default_factory=list)  # transfers that cover it, made after
    free: bool = False
    overwrites: bool = False


@dataclass
class Ground:
    """All the facts of a house that lie on tape, laid out once for every reel's answer."""

    book: Book
    recordings: list[Recording]
    transfers: list[Transfer]
    wipes: list[tuple[Row, list[Span], datetime]]  # a wipe loosens: its start
    exposed: list[tuple[list[Span], frozenset[int], datetime]]  # stray fields bind: the end
    listened: list[tuple[list[Span], frozenset[int], datetime]]  # nothing heard: the start
    lacking: dict[tuple[str, str | None], set[str]] = field(default_factory=dict)

    def lacks(self, transfer: Transfer, project: str | None) -> set[str]:
        """What a transfer lacks for a project, worked out once."""
        key = (transfer.row["transfer"], project)
        if key not in self.lacking:
            self.lacking[key] = lacks(self.book, transfer.row, project)
        return self.lacking[key]


def survey(book: Book) -> Ground:
    """Lay every recording, transfer, wipe, exposure and listening of a house on its tape."""
    ground = Ground(book, [], [], [], [], [])
    for row in book.rows("takes.csv"):
        tracks = read_tracks(row.get("tracks", ""), book.track_count(row["reel"]))
        ground.recordings.append(Recording(row, True, book.spans(row), tracks, book.moment(row).end))
    for row in book.rows("passes.csv"):
        if row["kind"] == "record":
            tracks = read_tracks(row.get("tracks", ""), book.track_count(row["reel"]))
            ground.recordings.append(Recording(row, False, book.spans(row), tracks, book.moment(row).end))
    for row in book.rows("transfers.csv"):
        tracks = read_tracks(row["tracks"], book.track_count(row["reel"]))
        moment = book.moment(row)
        ground.transfers.append(Transfer(row, book.spans(row), tracks, moment.start, moment.end))
    for row in book.rows("wipes.csv"):
        ground.wipes.append((row, wiped_spans(book, row), book.moment(row).start))
    for row in book.rows("findings.csv"):
        tracks = read_tracks(row.get("tracks", ""), book.track_count(row["reel"]))
        if row["kind"] == "stray-field":
            ground.exposed.append((book.spans(row), tracks, book.moment(row).end))
        if row["kind"] == "listened" and row["severity"] == "0":
            ground.listened.append((book.spans(row), tracks, book.moment(row).start))
    return ground


def wiped_spans(book: Book, row: Row) -> list[Span]:
    """A bulk wipe takes the whole reel, a machine wipe its stretch."""
    if row["method"] == "bulk":
        return book.pieces_before(row["reel"], book.moment(row).start)
    return book.spans(row)


def newest_wipe(ground: Ground, cell: Cell) -> datetime | None:
    """The moment of the newest wipe over a cell."""
    return max((moment for _, spans, moment in ground.wipes if cell.under(spans)), default=None)


def named_take(ground: Ground, record: Recording) -> str:
    """The key of the take a record pass names: one entered on the same reel, else one known by that name alone."""
    reel, name = record.row["reel"], record.row["take"]
    for take in ground.recordings:
        if take.is_take and take.row["reel"] == reel and names(record.row, take.row):
            return take_key(take.row)
    return f"named|{reel}|{name}"


def names(record: Row, take: Row) -> bool:
    """Whether a pass's `take` names that take: by its take number, or as title/take."""
    return record.get("take", "") in (take["take"], f"{take['title']}/{take['take']}")


def take_key(row: Row) -> str:
    """What tells a take from another: the generated houses give no two the same."""
    return f"take|{row['reel']}|{row.get('project', '')}|{row['title']}|{row['take']}"


def project_of(key: str) -> str:
    """The project of a take by its key; a take known only by name has none."""
    return key.split("|")[2] if key.startswith("take|") else ""
