"""Which folders are on one medium, and whether a medium is there at all."""

from __future__ import annotations

from pathlib import Path

from stock.edge.visible import safe
from stock.proof.errors import NotReachable
from stock.proof.files import why


def same_medium(first: Path, second: Path) -> bool:
    """Whether two folders lie on one file system, and so count as one medium.

    Two file systems on one disk are not seen as one: where they are, a person has to say so. Raises NotReachable where
    either folder is not there.
    """
    return _device(first) == _device(second)


def reachable(folder: Path) -> bool:
    """Whether a copy's folder is there and not empty: an empty one may be where a medium is yet to be mounted."""
    try:
        return folder.is_dir() and next(folder.iterdir(), None) is not None
    except (OSError, ValueError):
        return False


def _device(folder: Path) -> int:
    try:
        return folder.stat().st_dev
    except (OSError, ValueError) as error:
        raise NotReachable(path=safe(str(folder)), says=why(error)) from error
