"""What a proof refuses outright: not a failed check, because nothing was read."""

from __future__ import annotations

from typing import ClassVar


class ProofError(Exception):
    """A refusal. code: stable word. wording: a template filled from the keywords given. remedy: what to do."""

    code: ClassVar[str] = "proof"
    wording: ClassVar[str] = "{says}"
    remedy: ClassVar[str] = "Try again."

    def __init__(self, **about: object) -> None:
        self.about = about
        super().__init__(self.wording.format(**about))


class NotReachable(ProofError):
    """A folder that is not there (a medium not mounted, or taken away): neither a failed check nor a pass."""

    code = "not-reachable"
    wording = "there is no folder to read at {path}: {says}"
    remedy = "Mount the medium, or check the path."


class CannotBag(ProofError):
    """A folder that is not made into a bag; nothing in it was moved."""

    code = "cannot-bag"
    wording = "{path} is not made into a bag: {says}"
    remedy = "Put that right, and name the folder of one copy."


class BaggingBroke(ProofError):
    """A bag that was begun and not finished: the files are all in the folder, some of them moved."""

    code = "bagging-broke"
    wording = "making {path} a bag broke off: {says}"
    remedy = "The files are whole, in `data` or a folder beside it: move them back, put the cause right, and try again."
