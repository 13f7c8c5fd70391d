"""The guarded wipe in words: which step is next, what each asks for, what stands against it."""

from __future__ import annotations

from stock.core.cautions import BY_CODE
from stock.desk.wiping import Standing, Step
from stock.edge.visible import safe
from tui.present.line import Line, Piece

STEPS: dict[Step, str] = {"permit": "1 permit", "erase": "2 erase", "listen": "3 listen"}


def steps_line(step: Step) -> Line:
    """The three steps, those done ticked, the next one marked by a sign."""
    pieces: list[Piece] = []
    order = list(STEPS)
    for each, words in STEPS.items():
        if pieces:
            pieces.append(Piece(" ── ", "quiet"))
        if each == step:
            pieces.append(Piece(f"▸ {words}", "mark"))
        else:
            is_done = order.index(each) < order.index(step)
            pieces.append(Piece(f"✓ {words}" if is_done else words, "yes" if is_done else "quiet"))
    return tuple(pieces)


def task_words(standing: Standing) -> str:
    """What the hand does now, in a sentence or two."""
    reel = safe(standing.answer.reel)
    if standing.step == "erase":
        return (
            f"{reel} may be wiped today, for as long as nothing is entered about it. Erase it now. When it is erased, "
            "say how, and read its number off its label once more."
        )
    if standing.step == "listen":
        return (
            "Erased is not verified silent. Play it at three places. Tick each place where nothing is heard; if "
            "something is left anywhere, say what, and erase it again."
        )
    if standing.answer.erasable != "yes":
        return f"{reel} may not be wiped. Under each reason stands what would change it."
    if standing.unread:
        names = safe(", ".join(standing.unread))
        return (
            f"No copy of {names} was read through in the last days, as a wipe asks: that is done first. Then read the "
            "number off the reel itself, not off the box, and play it at three places."
        )
    return (
        "With the reel in hand: read the number off its own label, not off the box, play it at three places, and type "
        "the title heard at each (`no title` where the track sheet has none)."
    )


def do_words(standing: Standing) -> str:
    """What the button that goes on says."""
    if standing.step == "permit":
        return "F2 Read a copy through" if standing.unread else "F2 Ask for the permit"
    return "F2 It is erased" if standing.step == "erase" else "F2 Enter what is heard"


def caution_lines(step: Step, method: str) -> list[tuple[str, str]]:
    """The cautions that belong to a step, title and words. method: how the reel is said to be erased, empty for not."""
    codes = {"permit": ("bulk-eraser", "heavy-reels"), "erase": ("bulk-eraser",), "listen": ()}[step]
    return [(BY_CODE[code].title, BY_CODE[code].says) for code in codes if method != "machine"]
