"""What the session log refuses, or asks about first."""

from __future__ import annotations

from collections.abc import Sequence

from stock.core.session import Concern
from stock.desk.errors import DeskError


class StillRunning(DeskError):
    code = "still-running"
    answers_no = True
    wording = "take {take} still runs on reel {reel}"
    remedy = "End it first: `reelward log stop`."


class NothingRuns(DeskError):
    code = "nothing-runs"
    answers_no = True
    wording = "no take runs on reel {reel}"
    remedy = "See `reelward log status` for the takes that run."


class NoTakeYet(DeskError):
    code = "no-take-yet"
    wording = "nothing was recorded on reel {reel} yet"
    remedy = "Start a take first: `reelward log start`."


class NeverRecord(DeskError):
    code = "never-record"
    answers_no = True
    wording = "reel {reel} is never recorded on: it is reference tape"
    remedy = "Take another reel: `reelward pick`."


class AsksFirst(DeskError):
    """concerns: what needs a yes, and what is only said."""

    code = "asks-first"
    answers_no = True
    wording = "nothing was started on reel {reel}: {says}"
    remedy = "If that is meant, say so: `log start --yes`."

    def __init__(self, reel: str, found: Sequence[Concern]) -> None:
        super().__init__(reel=reel, says="; ".join(concern.says for concern in found if concern.ask))
        self.concerns = tuple(found)
