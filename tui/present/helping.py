"""The page of help: what every key does by place, what the verdicts mean, what to beware of."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from textwrap import wrap

from rich.cells import cell_len

from stock.core.cautions import Caution
from tui.keys import KEYS, Key
from tui.present.row import Piece, fitted
from tui.present.verdict import MEANINGS, verdict_sign, verdict_tone

_INDENT = 2
_KEY_CELLS = 11
_WORDS_CELLS = 15
_PLACES = {
    "everywhere": "Keys everywhere",
    "shelf": "Keys in the reel list",
    "reel list": "Keys in the reel list",
    "filter": "Keys in the filter",
    "buying": "Keys where tape is bought",
    "order line": "Keys on a line set by hand",
    "orders": "Keys among the orders",
    "receiving": "Keys where reels are received",
    "rules": "Keys among the house rules",
    "rule": "Keys where a house rule is changed",
    "tape map": "Keys on the tape map",
    "reel": "Keys on a reel's page",
    "history": "Keys in a reel's history",
    "machine": "Keys at the machine, in the session log",
}
_MOUSE = (
    ("click a reel", "puts the cursor on it; a double click opens it"),
    ("click a count", "lists only the reels of that verdict"),
    ("click a heading", "orders the list by it"),
    ("click a key", "in the bottom line: does what the key does"),
    ("wheel", "scrolls"),
)


def help_lines(width: int, display: Callable[[Key], str], cautions: Sequence[Caution]) -> Iterator[list[Piece]]:
    """The lines of the page, folded to a width in cells. display: how a key is written."""
    for title, keys in groupby(KEYS, lambda key: _PLACES.get(key.where, f"Keys in the {key.where}")):
        yield [Piece(title, "sorted")]
        for key in keys:
            shown = (Piece(fitted(display(key), _KEY_CELLS), "key"), Piece(fitted(key.words, _WORDS_CELLS)))
            yield from _hung(shown, key.tooltip, width, "quiet")
        yield []
    yield [Piece("Mouse", "sorted")]
    for what, does in _MOUSE:
        yield from _hung((Piece(fitted(what, _KEY_CELLS + _WORDS_CELLS)),), does, width, "quiet")
    yield []
    yield [Piece("Verdicts", "sorted")]
    for verdict, meaning in MEANINGS.items():
        sign = Piece(fitted(verdict_sign(verdict), _KEY_CELLS), verdict_tone(verdict))
        yield from _hung((sign,), meaning, width)
    yield []
    yield [Piece("Beware", "sorted")]
    for caution in cautions:
        yield [Piece(" " * _INDENT), Piece(caution.title, "reel")]
        yield from _hung((), caution.says, width)
        yield []


def _hung(first: Sequence[Piece], text: str, width: int, tone: str = "") -> Iterator[list[Piece]]:
    """A text after some pieces, its further lines below its first."""
    left = _INDENT + sum(cell_len(piece.text) for piece in first)
    lines = wrap(text, max(10, width - left)) or [""]
    yield [Piece(" " * _INDENT), *first, Piece(lines[0], tone)]
    for line in lines[1:]:
        yield [Piece(" " * left), Piece(line, tone)]
