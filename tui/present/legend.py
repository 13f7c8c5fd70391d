"""The signs of the tape map, each of another shape, and what they mean."""

from __future__ import annotations

from tui.present.line import Line, Piece
from tui.present.tape import Proof, Tape

PROOF_SIGNS: dict[Proof, tuple[str, str]] = {
    "none": ("·", "quiet"),
    "let-go": ("░", "let-go"),
    "proved": ("═", "proved"),
    "unproved": ("▓", "unproved"),
}
_PROOF_WORDS: dict[Proof, str] = {
    "proved": "proved",
    "unproved": "not proved",
    "let-go": "needs no proof",
    "none": "empty",
}
JOINT_SIGNS = {"sound": "|", "doubtful": "!", "failed": "x"}


def legend(tape: Tape, hidden: frozenset[str] = frozenset()) -> Line:
    """The signs on this map in words. hidden: lanes that are left out."""
    parts: list[tuple[str, str, str]] = []
    if "proof" not in hidden:
        states = {state for _, _, state in tape.proof}
        parts += [(*PROOF_SIGNS[state], words) for state, words in _PROOF_WORDS.items() if state in states]
    if not {"proof", "takes"} <= hidden:
        parts.append(("╱", "hatch", "unused"))
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
        parts.append(("|", "mark", "splice"))
    parts += [(JOINT_SIGNS[state], "no", f"{state} splice") for state in ("doubtful", "failed") if state in states_of]
    if any(joint.kind == "leader" for joint in tape.joints):
        parts.append(("=", "mark", "leader"))
    if tape.damage:
        parts.append(("1-3", "doubt", "finding"))
    if tape.zero_set:
        parts.append(("Z", "mark", "zero"))
    if tape.stripe is not None:
        parts.append(("S", "mark", "timecode"))
    return parts
