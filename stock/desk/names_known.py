"""The names somebody may mean when looking for something: of reels, projects and clients."""

from __future__ import annotations

from typing import NamedTuple

from stock.desk.desk import Desk


class NamesKnown(NamedTuple):
    """Names in order, each once, as they were first written."""

    reels: list[str]
    projects: list[str]
    clients: list[str]


def names_known(desk: Desk) -> NamesKnown:
    """All names ever entered: finding one that was taken back does no harm."""
    with desk.store.reading() as reader:
        reels = [reel for (reel,) in reader.raw("SELECT DISTINCT reel FROM reels ORDER BY reel")]
        projects = [name for (name,) in reader.raw("SELECT project FROM projects UNION SELECT project FROM takes")]
        clients = [name for (name,) in reader.raw("SELECT DISTINCT client FROM projects")]
    return NamesKnown(reels, _once(projects), _once(clients))


def _once(names: list[str | None]) -> list[str]:
    kept: dict[str, str] = {}
    for name in names:
        if name is not None and name.strip():
            kept.setdefault(" ".join(name.split()).casefold(), name)
    return sorted(kept.values(), key=str.casefold)
