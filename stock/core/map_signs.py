"""The signs a reel's tape is drawn with, on the screens and in print: each of another shape, so that none needs colour.

Where a terminal cannot show them, plain ones stand for them, as wide and each different in its lane.
"""

from __future__ import annotations

from typing import Literal

Proof = Literal["none", "let-go", "proved", "unproved"]

PROOF: dict[Proof, str] = {"proved": "\u2550", "unproved": "\u2593", "let-go": "\u2591", "none": "\u00b7"}
"""How it stands with what is recorded at a place."""
PROOF_WORDS: dict[Proof, str] = {
    "proved": "proved",
    "unproved": "not proved",
    "let-go": "needs no proof",
    "none": "empty",
}
SPLICES = {"sound": "|", "doubtful": "!", "failed": "x"}
LEADER, ZERO, TIMECODE, HELD = "=", "Z", "S", "h"
UNUSED = "\u2571"
SHADES = "\u2581\u2582\u2583\u2584\u2585\u2586\u2587\u2588"
"""Wear, the more the higher."""
LEFT_END, RIGHT_END, ALONG = "\u251c", "\u2524", "\u2500"
"""A take's bar."""

ALL = "".join((*PROOF.values(), UNUSED, SHADES, LEFT_END, RIGHT_END, ALONG))
_PLAIN = str.maketrans(ALL, "+#d./" + ".:-=+*%@" + "[]_")


def splice(state: str, kind: str) -> str:
    """The sign of a splice: the worst that is said of it."""
    return LEADER if kind == "leader" and state == "sound" else SPLICES[state]


def plain(line: str) -> str:
    """A line of the map in signs that every terminal shows."""
    return line.translate(_PLAIN)
