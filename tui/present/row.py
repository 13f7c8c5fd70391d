"""A reel of the list as one line: which columns a width bears, and what stands in each."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len, set_cell_size

from stock.core.measure import FOOT, time_of
from stock.core.words import clock
from stock.edge.visible import safe
from tui.present.verdict import verdict_sign, verdict_tone

if TYPE_CHECKING:
    from stock.desk.shelf import ShelfRow

REPORT_WIDTH = 160
"""What a line is made for that is to be copied, saved or printed."""

GAP = 1
"""Cells between two columns, and before the first."""

_SAID_MOST = 400
"""No column is wider: more of a text is not looked at."""


class Column(NamedTuple):
    """One column. width: cells, 0 for what is left over. from_width: the narrowest list it is shown in. sort: the order
    that a click on its head asks for, empty for none. right: whether its texts end on one line."""

    name: str
    head: str
    width: int
    from_width: int = 0
    sort: str = ""
    right: bool = False


class Piece(NamedTuple):
    """A stretch of one line: its text, and the name of its colour (empty for the usual one)."""

    text: str
    tone: str = ""


COLUMNS = (
    Column("verdict", "verdict", 9, sort="verdict"),
    Column("reel", "reel", 8, sort="reel"),
    Column("grade", "grade", 8),
    Column("longest", "longest", 7, sort="longest", right=True),
    Column("feet", "feet", 5, right=True),
    Column("tracks", "trk", 3, right=True),
    Column("stock_item", "stock item", 10, sort="stock item"),
    Column("passes", "passes", 6, sort="wear", right=True),
    Column("splices", "splices", 7, 110, right=True),
    Column("owner", "owner", 8, 110, sort="owner"),
    Column("shelf", "shelf", 9, 110, sort="shelf"),
    Column("on_it", "on it", 18, 150),
    Column("why", "why", 0, 150),
    Column("on_it_or_why", "on it, or why", 0),
)
_WIDER = {"reel": 4, "stock_item": 6, "owner": 8, "shelf": 6, "on_it": 10}
"""What columns grow by where there is room, and from how wide a list."""
_ROOMY = 190


def columns_for(width: int) -> tuple[Column, ...]:
    """The columns of a list so wide, each with the width it gets; the last takes what is left."""
    shown = [column for column in COLUMNS if width >= column.from_width]
    if any(column.name == "why" for column in shown):
        shown.pop()
    if width >= _ROOMY:
        shown = [column._replace(width=column.width + _WIDER.get(column.name, 0)) for column in shown]
    taken = sum(column.width + GAP for column in shown[:-1]) + GAP
    shown[-1] = shown[-1]._replace(width=max(0, min(width - taken, _SAID_MOST)))
    return tuple(shown)


def fitted(text: str, width: int, *, right: bool = False) -> str:
    """A text in just so many cells, however wide its characters are; what does not fit ends in an ellipsis."""
    shown = safe(text[: _SAID_MOST * 2])
    taken = cell_len(shown)
    if taken > width:
        return set_cell_size(shown, max(0, width - 1)) + "\u2026" if width else ""
    return " " * (width - taken) + shown if right else shown + " " * (width - taken)


def wear_words(wear: int) -> str:
    """Passes from tenths of a pass, their units below each other: `12  `, `57.2`."""
    whole, tenth = divmod(wear, 10)
    return f"{whole}.{tenth}" if tenth else f"{whole}  "


def text_of(pieces: Iterable[Piece]) -> str:
    """The words of a line."""
    return "".join(piece.text for piece in pieces)


def head_pieces(columns: tuple[Column, ...], sort: str) -> list[Piece]:
    """The heads of the columns; the one that orders the list is marked."""
    pieces = [Piece(" " * GAP)]
    for column in columns:
        marked = bool(sort) and column.sort == sort
        text = f"{column.head}\u25be" if marked else column.head
        pieces += [Piece(fitted(text, column.width, right=column.right), "sorted" if marked else ""), Piece(" " * GAP)]
    return pieces


def column_at(columns: tuple[Column, ...], x: int) -> Column | None:
    """The column at a cell of the line, None between two."""
    left = GAP
    for column in columns:
        if left <= x < left + column.width:
            return column
        left += column.width + GAP
    return None


def row_pieces(row: ShelfRow, columns: tuple[Column, ...], speed: int) -> list[Piece]:
    """One reel as a line of just the columns' width. speed: micrometres per second, for the times."""
    pieces = [Piece(" " * GAP)]
    tone = verdict_tone(row.verdict)
    for column in columns:
        text = _TEXTS[column.name](row, speed)
        own = tone if column.name == "verdict" else _TONES.get(column.name, "")
        pieces += [Piece(fitted(text, column.width, right=column.right), own), Piece(" " * GAP)]
    return pieces


def on_it(row: ShelfRow) -> str:
    """What is on a reel: the projects whose takes are, else what its label says."""
    return row.projects or row.note


def _on_it_or_why(row: ShelfRow, _speed: int) -> str:
    return on_it(row) if row.verdict in ("clear", "blank", "") else row.says or on_it(row)


def _longest(row: ShelfRow, speed: int) -> str:
    return clock(time_of(row.longest, speed)) if row.longest else ""


def _owner(row: ShelfRow, _speed: int) -> str:
    owner = row.owner.strip()
    if not owner:
        return "not said"
    return "" if owner.casefold() == "house" else owner


_TEXTS: dict[str, Callable[[ShelfRow, int], str]] = {
    "verdict": lambda row, _: verdict_sign(row.verdict),
    "reel": lambda row, _: row.reel,
    "grade": lambda row, _: row.grade,
    "longest": _longest,
    "feet": lambda row, _: str(row.length // FOOT),
    "tracks": lambda row, _: str(row.tracks),
    "stock_item": lambda row, _: row.stock_item,
    "passes": lambda row, _: wear_words(row.wear) if row.verdict else "",
    "splices": lambda row, _: str(row.splices) if row.splices else "",
    "owner": _owner,
    "shelf": lambda row, _: row.shelf,
    "on_it": lambda row, _: on_it(row),
    "why": lambda row, _: row.says,
    "on_it_or_why": _on_it_or_why,
}
_TONES = {"reel": "reel", "why": "quiet", "on_it_or_why": "quiet", "splices": "quiet", "feet": "quiet"}
