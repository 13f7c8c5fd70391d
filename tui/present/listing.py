"""The lines around the reel list in words: counts, what is shown, why nothing is, and the reel under the cursor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from stock.edge.visible import safe
from tui.present.row import Piece
from tui.present.verdict import SIGNS, verdict_sign, verdict_tone, verdict_words

if TYPE_CHECKING:
    from stock.desk.shelf import ShelfQuery, ShelfRow

FILTERS = {"verdict": "verdict", "owner": "owner", "stock_item": "stock item", "shelf": "shelf"}
"""What the list can be narrowed by, each with its words."""

ORDERS = {
    "reel": ("reel number", "by number"),
    "verdict": ("verdict, longest first", "by verdict"),
    "longest": ("longest fit stretch first", "longest first"),
    "wear": ("least passes first", "least worn first"),
    "owner": ("owner", "by owner"),
    "stock item": ("stock item", "by stock item"),
    "shelf": ("shelf", "by shelf"),
}
"""The orders of the list: their words in the dialog, and in the line above the list."""

CHOSEN, OPEN = "\u25cf", "\u25cb"
"""The signs of what is chosen and what is not, in the dialogs."""

NO_REELS = (
    "No reels are in this house yet.\n\n"
    "Load a folder of files:   reelward load FOLDER\n"
    "or enter a single reel:   reelward add reel ...\n\n"
    "To look around first:     reelward demo"
)


def count_pieces(counts: Mapping[str, int], chosen: str | None) -> list[tuple[Piece, str | None]]:
    """How many reels have each verdict, each count with the verdict it stands for; last all of them, with None."""
    pieces: list[tuple[Piece, str | None]] = []
    for verdict in SIGNS:
        count = counts.get(verdict, 0)
        if verdict or count:
            tone = verdict_tone(verdict) + (" chosen" if verdict and verdict == chosen else "")
            pieces.append((Piece(f"{verdict_sign(verdict)} {count}", tone), verdict or None))
    pieces.append((Piece(f"all {sum(counts.values())}", "" if chosen else "chosen"), None))
    return pieces


def value_words(column: str, value: str) -> str:
    """A value to narrow by, as it is shown; an empty one in words."""
    if column == "verdict":
        return verdict_sign(value)
    return safe(value) if value.strip() else "(not said)"


def filter_words(query: ShelfQuery) -> str:
    """What the list is narrowed by: `verdict keep, owner house`; empty where it is not."""
    parts = []
    for column, words in FILTERS.items():
        value = getattr(query, column)
        if value is not None:
            parts.append(f"{words} {value if column == 'verdict' else value_words(column, value)}")
    return ", ".join(parts)


def state_words(query: ShelfQuery, shown: int, total: int) -> str:
    """What the list shows, of how many, how narrowed, and in which order."""
    narrowed = filter_words(query)
    words = f"{shown} of {total}" if narrowed or query.words.strip() else f"{total} reel{'' if total == 1 else 's'}"
    if narrowed:
        words += f", only {narrowed} (Esc: all)"
    return f"{words}, {ORDERS[query.sort][1]}"


def working_words(done: int, total: int) -> str:
    """That verdicts are being worked out, and how far that is."""
    return f"working out verdicts: {done} of {total}" if total else "working out verdicts"


def empty_words(query: ShelfQuery, total: int) -> str:
    """Why nothing is listed, and what to do."""
    if not total:
        return NO_REELS
    narrowed, searched = filter_words(query), safe(query.words.strip())
    lines = ["Nothing found."]
    if searched:
        lines += ["", f"No reel has words that begin so: {searched}"]
    if narrowed:
        lines += ["", f"Only these are looked at: {narrowed}."]
    what = "the search" + (", once more the filter" if narrowed else "") if searched else "the filter"
    return "\n".join([*lines, "", f"Esc takes away {what}."])


def detail_pieces(row: ShelfRow, speed: int) -> tuple[list[Piece], str]:
    """The reel under the cursor: its verdict and standing on one line, and its weightiest reason for the next."""
    verdict = Piece(verdict_words(row.verdict, row.grade, row.longest, speed), verdict_tone(row.verdict))
    facts = [
        f"shelf {row.shelf}" if row.shelf else "",
        f"owner {row.owner.strip() or 'not said'}" if row.owner.strip().casefold() != "house" else "",
        f"{row.splices} splice{'' if row.splices == 1 else 's'}" if row.splices else "",
        row.formulation,
    ]
    standing = ", ".join(safe(fact) for fact in facts if fact)
    first = [Piece(f"{safe(row.reel)}  ", "reel"), verdict, Piece(f"  {standing}")]
    said = [row.says, f"on it: {row.projects}" if row.projects else "", row.note]
    return first, safe("; ".join(text for text in said if text))


def row_words(row: ShelfRow) -> str:
    """A reel in one line: its number, its verdict and the weightiest reason."""
    said = f", {row.says}" if row.says else ""
    grade = f", {row.grade}" if row.grade and row.verdict in ("clear", "blank") else ""
    return f"{row.reel}   {verdict_sign(row.verdict)}{grade}{said}"
