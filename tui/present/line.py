"""Lines of text for the screen: pieces with the name of the ink each is written in, cut and wrapped by cells."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rich.cells import cell_len, chop_cells

INKS = (
    "plain",
    "strong",
    "quiet",
    "take",
    "unlogged",
    "proved",
    "unproved",
    "let-go",
    "hatch",
    "wear",
    "mark",
    "no",
    "doubt",
    "note",
    "yes",
    "gone",
    "clear",
    "blank",
    "inspect",
    "keep",
    "retire",
)
"""Every ink; the widgets give each its colours."""


class Piece(NamedTuple):
    """Some text in one ink. cursor: whether it lies under the map's cursor."""

    text: str
    ink: str = "plain"
    cursor: bool = False


Line = tuple[Piece, ...]


class Block(NamedTuple):
    """Some lines that belong together. at: the reel place they are about, None where they are about none."""

    lines: tuple[Line, ...]
    at: int | None = None


def text_of(line: Line) -> str:
    """The words of a line."""
    return "".join(piece.text for piece in line)


def clip(line: Line, width: int) -> Line:
    """A line no wider than so many cells; what does not fit gives way to `…`."""
    if cell_len(text_of(line)) <= width:
        return line
    kept: list[Piece] = []
    room = max(width - 1, 0)
    for piece in line:
        part = piece.text
        if cell_len(part) > room:
            part = chop_cells(part, room)[0] if room else ""
            while cell_len(part) > room:
                part = part[:-1]
        kept.append(piece._replace(text=part))
        room -= cell_len(part)
        if part != piece.text:
            break
    return (*kept, Piece("…", "quiet")) if width > 0 else ()


def wrap(pieces: Iterable[Piece], width: int, indent: int = 0) -> list[Line]:
    """Pieces as lines no wider than so many cells, broken at spaces; later lines begin with an indent."""
    width = max(width, indent + 8)
    lines: list[list[Piece]] = [[]]
    used = 0
    for piece in pieces:
        for word in _words(piece.text):
            size = cell_len(word)
            if used + cell_len(word.rstrip(" ")) > width and used > indent:
                lines.append([Piece(" " * indent)] if indent else [])
                used = indent
                word = word.lstrip(" ")
                size = cell_len(word)
            while used + cell_len(word.rstrip(" ")) > width:
                head = chop_cells(word, width - used)[0]
                lines[-1].append(piece._replace(text=head))
                word = word[len(head) :]
                lines.append([Piece(" " * indent)] if indent else [])
                used = indent
                size = cell_len(word)
            lines[-1].append(piece._replace(text=word))
            used += size
    return [_joined(line) for line in lines]


def _words(text: str) -> list[str]:
    """The words of a text, each with the spaces behind it."""
    words: list[str] = []
    for part in text.split(" "):
        if words:
            words[-1] += " "
        words.append(part)
    return [word for word in words if word]


def _joined(line: list[Piece]) -> Line:
    out: list[Piece] = []
    for piece in line:
        if out and out[-1][1:] == piece[1:]:
            out[-1] = piece._replace(text=out[-1].text + piece.text)
        else:
            out.append(piece)
    if out:
        out[-1] = out[-1]._replace(text=out[-1].text.rstrip(" "))
    return tuple(piece for piece in out if piece.text)
