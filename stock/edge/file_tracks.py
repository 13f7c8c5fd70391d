"""Which tracks a file holds, as a person types it: `lead vocal.wav=14`, `drums.wav=1,2`."""

from __future__ import annotations

from stock.edge.problems import CellError

_EXPECTED = "the file, `=` and its tracks"


def file_tracks(text: str) -> tuple[str, tuple[int, ...]]:
    """A file's path and the tracks in the order of its channels. Raises CellError."""
    path, sign, numbers = text.rpartition("=")
    parts = [part.strip() for part in numbers.split(",")]
    if not sign or not path.strip() or not all(part.isascii() and part.isdecimal() for part in parts):
        raise CellError.of(text, "does not say which tracks a file holds", _EXPECTED, "`lead.wav=7`")
    return path.strip(), tuple(int(part) for part in parts)


def files_tracks(text: str) -> dict[str, tuple[int, ...]]:
    """Several of them, with `;` between: empty for none. Raises CellError."""
    return dict(file_tracks(part) for part in text.split(";") if part.strip())
