"""The inks of the tape map's signs, and what the signs mean."""

from __future__ import annotations

from stock.core.map_signs import LEADER, PROOF, PROOF_WORDS, SPLICES, TIMECODE, UNUSED, ZERO, Proof
from tui.present.line import Line, Piece
from tui.present.tape import Tape

PROOF_INKS: dict[Proof, str] = {"none": "quiet", "let-go": "let-go", "proved": "proved", "unproved": "unproved"}


def legend(tape: Tape, hidden: frozenset[str] = frozenset()) -> Line:
    """The signs on this map in words. hidden: lanes that are left out."""
    parts: list[tuple[str, str, str]] = []
    if "proof" not in hidden:
        states = {state for _, _, state in tape.proof}
        parts += [(PROOF[state], PROOF_INKS[state], words) for state, words in PROOF_WORDS.items() if state in states]
    if not {"proof", "takes"} <= hidden:
        parts.append((UNUSED, "hatch", "unused"))
    if "marks" not in hidden:
        parts += _marks(tape)
    pieces: list[Piece] = []
    for sign, ink, words in parts:
        pieces += [Piece(sign, ink), Piece(f" {words}  ", "quiet")]
    return tuple(pieces)


def _marks(tape: Tape) -> list[tuple[str, str, str]]:
    """The signs in the lane of marks."""
    parts: list[tuple[str, str, str]] = []
    states_of = {joint.state for joint in tape.joints if joint.kind != "leader" or joint.state != "sound"}
    if "sound" in states_of:
        parts.append((SPLICES["sound"], "mark", "splice"))
    parts += [(SPLICES[state], "no", f"{state} splice") for state in ("doubtful", "failed") if state in states_of]
    if any(joint.kind == "leader" for joint in tape.joints):
        parts.append((LEADER, "mark", "leader"))
    if tape.damage:
        parts.append(("1-3", "doubt", "finding"))
    if tape.zero_set:
        parts.append((ZERO, "mark", "zero"))
    if tape.stripe is not None:
        parts.append((TIMECODE, "mark", "timecode"))
    return parts
