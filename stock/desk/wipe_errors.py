"""What the guarded wipe refuses: each error owns its code, its wording and its remedy."""

from __future__ import annotations

from stock.desk.errors import DeskError


class WipeRefused(DeskError):
    code = "wipe-refused"
    answers_no = True
    wording = "reel {reel} may not be wiped: {says}"
    remedy = "See `reelward advise` for the reasons; a transfer, a discard, a release or an ended hold may change it."


class AnswerStale(DeskError):
    code = "answer-stale"
    answers_no = True
    wording = "the answer for reel {reel} is not what was shown: {says}"
    remedy = "Look at the reel's answer as it is now, and ask again."


class LabelDiffers(DeskError):
    code = "label-differs"
    wording = "the number typed, {label}, is not {reel}"
    remedy = (
        "Read the number on the reel's own label, not on the box: the wrong tape in the box is the classic accident."
    )


class HeardDiffers(DeskError):
    code = "heard-differs"
    answers_no = True
    wording = "at {place} the record says other than {heard}"
    remedy = "Play the tape there again and compare with the track sheet; if they differ, this may be another tape."


class SecondPersonNeeded(DeskError):
    code = "second-person-needed"
    answers_no = True
    wording = "a second person, other than {who}, must be named for reel {reel}"
    remedy = "Ask somebody to look at the label and the answer with you, and name them."


class RereadNeeded(DeskError):
    code = "reread-needed"
    answers_no = True
    wording = "no copy of transfer {transfer} was read through in the last {days} days"
    remedy = "Read one copy through again now (`reelward prove`), then ask again."


class NoPermit(DeskError):
    code = "no-permit"
    answers_no = True
    wording = "there is no permit for reel {reel} that is good now: {says}"
    remedy = "Ask for a permit: `reelward wipe permit`."


class BulkNeeded(DeskError):
    code = "bulk-needed"
    answers_no = True
    wording = (
        "reel {reel} was recorded with {tracks} tracks and machine {machine} has {heads}: its heads do not reach it all"
    )
    remedy = "Erase it in bulk."


class HeadsUnknown(DeskError):
    code = "heads-unknown"
    wording = "whether the heads of {machine} reach all that was recorded on reel {reel} is not known"
    remedy = "Name a machine whose number of tracks is entered, or erase the reel in bulk."
