"""What the desk refuses: each error owns its code, its wording and its remedy."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from stock.edge.problems import Problem


class DeskError(Exception):
    """A refusal. code: stable word for callers. wording: filled from the keywords given. remedy: what to do."""

    code: ClassVar[str] = "desk"
    wording: ClassVar[str] = "{says}"
    remedy: ClassVar[str] = ""
    answers_no: ClassVar[bool] = False
    """Whether the house was asked rightly and the answer is no, rather than wrong use."""

    def __init__(self, **about: object) -> None:
        self.about = about
        super().__init__(self.wording.format(**about))


class NoSuchReel(DeskError):
    code = "no-such-reel"
    wording = "there is no reel {reel}{near}"
    remedy = "See `reelward reels` for the numbers there are."


class NotDirectly(DeskError):
    code = "not-directly"
    wording = "{kind} is not entered so: {says}"


class LabelAsked(DeskError):
    code = "label-asked"
    wording = "tape of reel {reel} is not thrown away so: the number on the reel's own label is asked for"
    remedy = "Throw it away by Cut on the reel's page, or by `reelward cut`."


class Unproved(DeskError):
    code = "unproved"
    answers_no = True
    wording = "tape of reel {reel} may not be thrown away: {reasons}"
    remedy = "Throwing tape away asks for the same proof as a wipe: see `reelward advise` for what is missing."


class DoesNotFit(DeskError):
    code = "does-not-fit"
    answers_no = True
    wording = "it cannot be joined there: {says}"
    remedy = "Join it into a larger reel of that width, or join less."


class CannotEnter(DeskError):
    """A fact that cannot be entered. problems: all that is wrong, by column."""

    code = "cannot-enter"
    wording = "{says}"
    remedy = "Nothing was entered; mend it and enter it again."

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(says="; ".join(_words(problem) for problem in problems))
        self.problems = tuple(problems)


def _words(problem: Problem) -> str:
    expected = (
        f" ({problem.expected} was expected)" if problem.expected and problem.expected not in problem.says else ""
    )
    return f"{problem.column}: {problem.says}{expected}"
