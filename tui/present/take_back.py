"""What taking entries back would change, in lines: loudly where an answer would be looser."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from stock.core.moments import datetime_of
from stock.desk.undoing import Own, UndoSeen
from stock.edge.visible import safe
from tui.present.line import Line, Piece

LOOSER = "!! LOOSER"
_MOST = 12
"""Reels told of, at most; how many more there are is said."""


def own_line(own: Own, zone: ZoneInfo) -> Line:
    """A command in a line: when, what, and why it cannot go where it cannot."""
    when = datetime_of(own.at_us).astimezone(zone).strftime("%m-%d %H:%M")
    more = f"  and {len(own.says) - 1} more with it" if len(own.says) > 1 else ""
    ink = "quiet" if own.why_not else "plain"
    pieces = [Piece(f"{when}  ", "quiet"), Piece(safe(own.says[0]), ink), Piece(more, "quiet")]
    if own.why_not:
        pieces.append(Piece("  stays", "doubt"))
    return tuple(pieces)


def undo_lines(seen: UndoSeen) -> list[Line]:
    """What would be taken back, where it lies, and each reel whose answer would turn."""
    lines: list[Line] = [
        (Piece(f"#{entry} ", "quiet"), Piece(safe(says), "strong"))
        for entry, says in zip(seen.entries, seen.says, strict=True)
    ]
    if seen.why_not is not None:
        return [*lines, (Piece("✗ it stays: ", "no"), Piece(safe(seen.why_not), "no"))]
    for change in sorted(seen.changes, key=lambda change: (not change.loosens, change.reel))[:_MOST]:
        if change.loosens:
            lines.append((Piece(f"{LOOSER}: ", "no"), Piece(safe(change.says), "no")))
        else:
            lines.append((Piece("  "), Piece(safe(change.says))))
    if len(seen.changes) > _MOST:
        lines.append((Piece(f"  and {len(seen.changes) - _MOST} more reels", "doubt"),))
    if not seen.changes:
        lines.append((Piece("  no answer would change", "quiet"),))
    if seen.beyond:
        lines.append((Piece("  it may bear on other reels too, which were not looked at", "doubt"),))
    return lines
