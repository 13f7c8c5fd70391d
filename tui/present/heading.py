"""The two lines at the top of a reel's page: its verdict, and what kind of reel it is."""

from __future__ import annotations

from stock.core.custody import is_house, owners
from stock.core.measure import time_of
from stock.core.verdict import Advice
from stock.core.words import clock, feet
from stock.edge.visible import safe
from tui.present.line import Line, Piece
from tui.present.verdict import verdict_words


def verdict_line(advice: Advice, speed: int) -> Line:
    """Number and verdict: `M-0131  ✓ clear, standard, 28:40 at 15 ips`. speed: micrometres per second."""
    grade = advice.best_grade
    longest = advice.fit(grade).longest if grade else 0
    words = verdict_words(advice.verdict, grade or "", longest, speed)
    pieces = [Piece(safe(advice.reel), "strong"), Piece("  "), Piece(words, advice.verdict)]
    if advice.reasons and advice.verdict not in ("clear", "blank"):
        pieces.append(Piece(f"  {safe(advice.reasons[0].says)}", "quiet"))
    return tuple(pieces)


def about_line(advice: Advice, speed: int) -> Line:
    """Stock item, tracks, length, owner, shelf, role and note."""
    view = advice.view
    reel = view.reel
    whose = {owner or "nobody stated" for _, _, owner in owners(view)}
    mine = all(is_house(owner) for owner in whose)
    parts = [
        safe(reel.stock_item),
        f"{reel.tracks} track{'s' if reel.tracks != 1 else ''}",
        f"{feet(view.length)}, {clock(time_of(view.length, speed))}",
        "the house's" if mine else f"owner {safe(', '.join(sorted(whose)))}",
        f"shelf {safe(reel.shelf)}" if reel.shelf else "no shelf stated",
    ]
    if reel.role and reel.role != "session":
        parts.append(safe(reel.role))
    if len(view.layout.pieces) > 1:
        parts.append(f"{len(view.layout.pieces)} pieces")
    if reel.note:
        parts.append(safe(reel.note))
    return (Piece(" · ".join(part for part in parts if part), "quiet"),)
