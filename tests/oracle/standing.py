"""What stands against wiping a reel apart from its takes' proof: word, holds, whereabouts, doubts about content."""

from __future__ import annotations

from datetime import datetime

from .book import Book, Cell, Span
from .ground import Ground, Live, newest_wipe, project_of
from .texts import Row, same_words


def owner_is_house(book: Book, facts: list[tuple[Row, list[Span]]], cell: Cell) -> bool:
    """Whether a cell's tape is the house's own: by its newest owner fact, else as its reel was entered."""
    newest: tuple[datetime, bool] | None = None  # moment, not the house's
    for row, spans in facts:
        if cell.under(spans):
            other = same_words(row["owner"]) != "house"
            moment = book.moment(row).end if other else book.moment(row).start
            if newest is None or (moment, other) > newest:
                newest = (moment, other)
    if newest is not None:
        return not newest[1]
    return same_words(book.reels[cell.tape].get("owner", "")) == "house"


def project_needs_word(book: Book, project: str) -> bool:
    """Whether a project's recordings go only by somebody's word; one that nobody entered does."""
    for row in book.rows("projects.csv"):
        if project and row["project"] == project:
            if row.get("release_needed") == "no":
                return False
            if row.get("release_needed") == "yes":
                return True
            return same_words(row.get("client", "")) not in ("", "house")
    return True


def word_missing(ground: Ground, reel: str, lives: list[Live]) -> bool:
    """Whether a word is needed for something live and is not there."""
    book = ground.book
    owners = [(row, whole_reel(book, row)) for row in book.rows("owners.csv")]
    # A release loosens: it counts, and meets the tape on its reel, at the start of its day.
    releases = [(row, whole_reel(book, row), book.moment(row).start) for row in book.rows("releases.csv")]
    projects = {project_of(key) for live in lives for key in live.owners}
    for project in projects:
        its = [live for live in lives if any(project_of(key) == project for key in live.owners)]
        needed = (
            any(not owner_is_house(book, owners, live.cell) for live in its)
            or book.reels[reel].get("role") in ("master", "safety")
            or project_needs_word(book, project)
        )
        newest = max(live.newest for live in its)
        valid = [
            spans for row, spans, moment in releases if row.get("project", "") in ("", project) and moment > newest
        ]
        if needed and not all(any(live.cell.under(spans) for spans in valid) for live in its):
            return True
    for live in lives:
        if not live.owners and not owner_is_house(book, owners, live.cell):
            given = [
                moment
                for row, spans, moment in releases
                if not row.get("project") and live.cell.under(spans) and moment > live.newest
            ]
            if not given:
                return True
    return False


def whole_reel(book: Book, row: Row) -> list[Span]:
    """The tape on a row's reel at its moment."""
    return book.pieces_before(row["reel"], book.moment(row).start)


def held(book: Book, cut: list[Cell]) -> bool:
    """Whether a hold that is begun, not run out and not ended lies on any of the tape."""
    for row in book.rows("holds.csv"):
        begun = book.moment(row)
        if row.get("until") and row["until"] < book.as_of.isoformat():
            continue
        ended = any(
            end["hold"] == row["hold"] and book.moment(end).start > begun.end for end in book.rows("hold_ends.csv")
        )
        # The tape the reel held at the start and at the end of that day.
        spans = book.pieces_before(row["reel"], begun.start) + book.pieces_after(row["reel"], begun.end)
        if not ended and any(cell.under(spans) for cell in cut):
            return True
    return False


def away(book: Book, reel: str) -> bool:
    """Whether the newest move took the reel away; tied, it did."""
    newest: tuple[datetime, bool] | None = None
    for row in book.rows("moves.csv"):
        if row["reel"] == reel:
            gone = row["kind"] in ("out", "lost", "returned")
            moment = book.moment(row).end if gone else book.moment(row).start
            if newest is None or (moment, gone) > newest:
                newest = (moment, gone)
    return newest is not None and newest[1]


def content_unknown(ground: Ground, cut: list[Cell], tracks: range) -> bool:
    """Whether tape that did not arrive sealed has a place neither wiped here nor listened to."""
    for cell in cut:
        if ground.book.reels[cell.tape].get("arrived_as") == "sealed" or newest_wipe(ground, cell) is not None:
            continue
        for track in tracks:
            if not any(track in heard and cell.under(spans) for spans, heard, _ in ground.listened):
                return True
    return False


def stray_field(ground: Ground, cut: list[Cell], tracks: range) -> bool:
    """Whether a place was exposed to a stray field and not listened to since."""
    for cell in cut:
        for spans, exposed, moment in ground.exposed:
            for track in tracks:
                if track in exposed and cell.under(spans):
                    since = [
                        start
                        for heard_spans, heard, start in ground.listened
                        if track in heard and cell.under(heard_spans) and start > moment
                    ]
                    if not since:
                        return True
    return False
