"""The two answers about a reel, with every reason and what would change it."""

from __future__ import annotations

from stock.core.measure import Speed, time_of
from stock.core.reasons import ABOUT, Reason
from stock.core.rules import GRADES
from stock.core.tracks import spell
from stock.core.verdict import Advice
from stock.core.words import clock, speed_words, stretch
from stock.edge.visible import safe
from tui.present.line import Block, Line, Piece, wrap
from tui.present.tape import track_list

SIGNS = {"no": "✗", "doubt": "?", "note": "·"}
_ANSWER_INK = {"yes": "yes", "no": "no", "unknown": "doubt"}
_INDENT = 4


def answer_blocks(advice: Advice, width: int, speed: int) -> list[Block]:
    """Both answers as blocks: a heading each, then a block for each reason. speed: micrometres per second."""
    recording = [reason for reason in advice.reasons if reason.about == "recording"]
    tape = [reason for reason in advice.reasons if reason.about == "tape"]
    blocks = [Block((_erasable(advice),))]
    blocks += [_reason(reason, width, speed) for reason in recording]
    if not recording:
        blocks.append(_plain("everything recorded on it is proved, decided or released", width))
    blocks.append(Block(((), *_fit(advice, speed, width))))
    blocks += [_reason(reason, width, speed) for reason in tape]
    if not tape:
        blocks.append(_plain("nothing stands against it for any grade", width))
    return blocks


def reasons_by_block(advice: Advice) -> list[Reason | None]:
    """The reason of each of the answers' blocks; None for headings and where nothing stands against it."""
    found: list[Reason | None] = []
    for about in ABOUT:
        mine = [reason for reason in advice.reasons if reason.about == about]
        found.append(None)
        found.extend(mine or [None])
    return found


def _erasable(advice: Advice) -> Line:
    return Piece("May the recording go?  ", "strong"), Piece(advice.erasable, _ANSWER_INK[advice.erasable])


def _fit(advice: Advice, speed: int, width: int) -> list[Line]:
    pieces = [Piece("Is the tape fit?  ", "strong")]
    for grade in GRADES:
        fit = advice.fit(grade)
        pieces += [Piece(f"{grade} "), Piece(fit.answer, _ANSWER_INK[fit.answer])]
        if fit.answer == "yes":
            pieces.append(Piece(f" {clock(time_of(fit.longest, speed))}", "quiet"))
        pieces.append(Piece("   "))
    return wrap((*pieces, Piece(f"at {speed_words(Speed(speed))}", "quiet")), width, _INDENT)


def _reason(reason: Reason, width: int, speed: int) -> Block:
    lines = wrap(
        (Piece(f"  {SIGNS[reason.severity]} ", reason.severity), Piece(safe(reason.says)), *_where(reason, speed)),
        width,
        _INDENT,
    )
    if reason.remedy:
        lines += wrap((Piece("    → "), Piece(safe(reason.remedy), "quiet")), width, _INDENT + 2)
    return Block(tuple(lines), reason.lo)


def _where(reason: Reason, speed: int) -> tuple[Piece, ...]:
    """The stretch and tracks of a reason, and the entries it rests on, where the sentence does not say."""
    parts = []
    if reason.lo is not None and reason.hi is not None:
        where = stretch(reason.lo, reason.hi, speed)
        if where not in reason.says:
            parts.append(where)
    if reason.tracks is not None and f"track {spell(reason.tracks)}" not in reason.says:
        parts.append(track_list(reason.tracks))
    if reason.facts:
        shown = ", ".join(map(str, reason.facts[:4]))
        parts.append(f"{'entry' if len(reason.facts) == 1 else 'entries'} {shown}{' …' if reason.facts[4:] else ''}")
    return (Piece(f"  [{'; '.join(parts)}]", "quiet"),) if parts else ()


def _plain(words: str, width: int) -> Block:
    return Block(tuple(wrap((Piece(f"  · {words}", "quiet"),), width, _INDENT)))
