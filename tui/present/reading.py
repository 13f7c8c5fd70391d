"""How far a reading of copies is, in words."""

from __future__ import annotations

from stock.core.words import clock
from stock.edge.visible import safe
from stock.proof.facts import Progress

BAR = "\u2588", "\u2591"


def progress_words(progress: Progress, cells: int = 20) -> str:
    """A bar, the share, the file and the time left: `████░░░░ 34 %, file 3 of 16, 2:10 left, 03 snare.wav`."""
    share = progress.bytes_done / max(progress.bytes_total, 1)
    full = round(share * cells)
    bar = BAR[0] * full + BAR[1] * (cells - full)
    left = f", {clock(int(progress.left_s * 1_000_000))} left" if progress.left_s is not None else ""
    file = f", file {min(progress.files_done + 1, progress.files)} of {progress.files}"
    path = f", {safe(progress.path)}" if progress.path else ""
    return f"{bar} {int(share * 100)} %{file}{left}{path}"
