"""What happened to a reel, as a dated list: newest first, voided entries struck and said to be."""

from __future__ import annotations

import re
from collections.abc import Sequence

from stock.core.measure import time_of
from stock.core.spans import union
from stock.core.words import clock, stretch
from stock.desk.history import HistoryLine
from stock.edge.visible import safe
from tui.present.line import Block, Piece, wrap

_HASH = re.compile(r"\b[0-9a-f]{64}\b")
"""A hash in full is for machines: its beginning tells it apart."""
_WHEN = 17
_INDENT = 2


def newest_first(history: Sequence[HistoryLine]) -> list[HistoryLine]:
    """The lines in the order they are shown."""
    return list(reversed(history))


def history_blocks(shown: Sequence[HistoryLine], width: int, speed: int) -> list[Block]:
    """One block for each line, in the order given. speed: micrometres per second, for the places."""
    return [_block(line, width, speed) for line in shown]


def _block(line: HistoryLine, width: int, speed: int) -> Block:
    ink = "gone" if line.voided else "plain"
    pieces = [
        Piece(f"  {line.when or 'no date':<{_WHEN}}", "gone" if line.voided else "quiet"),
        Piece(f"{line.kind.name.replace('-', ' '):<10} ", "gone" if line.voided else "strong"),
        Piece(safe(_HASH.sub(_short, line.says)), ink),
    ]
    where = _where(line, speed)
    if where:
        pieces.append(Piece(f"  {where}", ink))
    if line.by:
        pieces.append(Piece(f"  {safe(line.by)}", "gone" if line.voided else "quiet"))
    pieces.append(Piece(f"  #{line.entry}", "quiet"))
    indent = _INDENT + _WHEN + 11 if width >= 90 else _INDENT + 4
    lines = wrap(pieces, width, indent)
    if line.note:
        lines += wrap((Piece(" " * indent), Piece(safe(line.note), "gone" if line.voided else "quiet")), width, indent)
    if line.voided:
        entry, reason, by = line.voided
        words = f"(voided: {safe(reason)}; by {safe(by)}, entry {entry})"
        lines += wrap((Piece(" " * indent), Piece(words, "doubt")), width, indent)
    return Block(tuple(lines), line.spans[0][0] if line.spans else None)


def _short(found: re.Match[str]) -> str:
    return f"{found[0][:8]}…"


def _where(line: HistoryLine, speed: int) -> str:
    """The places an entry lies at now."""
    if line.kind.placed == "no" or not line.spans:
        return ""
    words = [f"at {clock(time_of(lo, speed))}" for lo, hi in line.spans if lo == hi]
    words += [stretch(lo, hi, speed) for lo, hi in union(line.spans)]
    return ", ".join(words[:3]) + (" …" if len(words) > 3 else "")
