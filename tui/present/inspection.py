"""An inspection, point by point: what each severity looks like, and the findings that the answers become."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from stock.edge.visible import safe
from tui.present.line import Piece
from tui.present.readout import Said

Cells = dict[str, str]

SEVERITIES = ("none", "slight", "marked", "severe")


class Point(NamedTuple):
    """One point to look at. kind: of the finding. looks: what 0 to 3 look like (common practice).

    local: whether it has a place on the tape; start, end: the place it usually has. reel_wide: whether from 1 on it
    speaks for the whole reel.
    """

    name: str
    kind: str
    looks: tuple[str, str, str, str]
    local: bool = False
    start: str = ""
    end: str = ""
    reel_wide: bool = False


class Rated(NamedTuple):
    """An answer: a severity from 0 to 3, and where."""

    severity: int
    start: str = ""
    end: str = ""


POINTS = (
    Point(
        "edges",
        "edge",
        ("flat and whole", "a nick or a light curl", "curled or scalloped, an edge track dips", "torn or folded over"),
        True,
    ),
    Point(
        "pack",
        "pack",
        ("even and firm", "a few strands stand out", "steps, spokes or slipped layers", "windows or folds, loose"),
    ),
    Point(
        "splices",
        "other",
        ("all hold, none bleeds", "dry at a corner", "opening, or adhesive bleeds", "come apart"),
        True,
    ),
    Point(
        "leader",
        "other",
        ("sound", "short or creased", "its splice is doubtful", "gone, or torn off"),
        True,
        "0 ft",
        "25 ft",
    ),
    Point(
        "head end",
        "crease",
        ("smooth", "light creases", "chewed", "crumpled or torn"),
        True,
        "0 ft",
        "40 ft",
    ),
    Point(
        "stretch",
        "stretch",
        ("none seen", "slightly wavy", "wavy, pitch sways", "narrowed or curled in"),
        True,
    ),
    Point(
        "shed",
        "shedding",
        ("guides stay clean", "a trace on the guides", "dust after one pass", "flakes, or it drags and squeals"),
        reel_wide=True,
    ),
    Point(
        "smell",
        "vinegar",
        ("none", "faint vinegar", "plain vinegar", "sharp, the tape cups or warps"),
        reel_wide=True,
    ),
    Point(
        "mould",
        "mould",
        ("none", "a few specks", "patches", "spread over the pack"),
        reel_wide=True,
    ),
)


def missing(rated: Mapping[str, Rated]) -> list[str]:
    """The points not answered yet."""
    return [point.name for point in POINTS if point.name not in rated]


def findings_of(reel: str, rated: Mapping[str, Rated], standing: Collection[str]) -> list[Cells]:
    """The findings an inspection becomes, all points answered: itself, and one for each fault.

    standing: kinds of findings that stand on the reel; a bad pack that is there no more is ended by one of severity 0.
    """
    looked = ", ".join(f"{point.name} {rated[point.name].severity}" for point in POINTS)
    found: list[Cells] = [{"reel": reel, "kind": "inspection", "severity": "0", "note": looked}]
    for point in POINTS:
        answer = rated[point.name]
        if not answer.severity and not (point.kind == "pack" and "pack" in standing):
            continue
        cells = {"reel": reel, "kind": point.kind, "severity": str(answer.severity)}
        if point.local:
            cells |= {"start": answer.start, "end": answer.end}
        if point.kind == "other":
            cells["note"] = point.name
        found.append({name: text for name, text in cells.items() if text})
    return found


def sick(rated: Mapping[str, Rated]) -> list[Point]:
    """The points at which the reel is found to be sick as a whole."""
    return [point for point in POINTS if point.reel_wide and rated[point.name].severity]


def isolate_lines(reel: str, faults: Sequence[str], others: Sequence[str]) -> list[Said]:
    """What to do with a sick reel at once, and which other reels of its batch to look at."""
    look = safe(", ".join(others)) if others else "no other reel is recorded with its batch"
    return [
        Said("now", (Piece(f"Keep {safe(reel)} apart from other tape, and do not play it.", "no"),)),
        Said("why", (Piece(f"Found at inspection: {', '.join(faults)}. It is fit for no grade."),)),
        Said("look at", (Piece(look, "strong" if others else "quiet"),)),
        Said(
            "",
            (
                Piece(
                    "Until they are inspected nobody knows whether they are fit. Treatment is a specialist's work.",
                    "quiet",
                ),
            ),
        ),
    ]
