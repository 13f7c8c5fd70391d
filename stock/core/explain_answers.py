"""Verdicts, grades of use, answers about one place before a take, and what a guarded wipe refuses, in plain words."""

from __future__ import annotations

from stock.core.explain import VERDICTS_EXPLAINED, Explained
from stock.core.verdict import Verdict

_VERDICTS: dict[Verdict, tuple[str, str]] = {
    "clear": (
        "Nothing stands in the way. The guarded steps of a wipe take the answer anew.",
        "whatever binds: a new take, a hold, a copy that falls due or fails, a fault found",
    ),
    "blank": (
        "Nothing stands in the way of recording on it.",
        "whatever binds: a take, a fault found, an inspection that falls due",
    ),
    "inspect": (
        "What is not known is not taken for good.",
        "look at the tape or listen to it, and enter what you find. What is found decides",
    ),
    "keep": (
        "Nobody can undo a wipe: one reason is enough, a doubt as much as a no.",
        "all its reasons about the recording have to end: ask why of the reel itself",
    ),
    "retire": (
        "A take on it might fail.",
        "seldom anything: ask why of the reel itself. Cutting a bad stretch out may leave enough that is fit",
    ),
}
VERDICTS_IN_FULL: dict[str, Explained] = {
    verdict: Explained(VERDICTS_EXPLAINED[verdict], *told) for verdict, told in _VERDICTS.items()
}

GRADES_EXPLAINED: dict[str, Explained] = {
    "critical": Explained(
        "The take that must not fail.",
        "It asks for the least wear, no fault, a young inspection, and stays clear of every splice.",
        "worn tape does not come back to it; an inspection, a listen or a fault cut out may",
        rules=(
            "passes_critical",
            "wipes_critical",
            "response_fall_critical",
            "severity_critical",
            "inspection_days_critical",
            "splice_guard_s",
        ),
    ),
    "standard": Explained(
        "An ordinary take.",
        "It bears more wear and slight faults, asks for an inspection not too old, and stays clear of every splice.",
        "worn tape does not come back to it; an inspection, a listen or a fault cut out may",
        rules=(
            "passes_standard",
            "wipes_standard",
            "response_fall_standard",
            "severity_standard",
            "inspection_days_standard",
            "splice_guard_s",
        ),
    ),
    "scratch": Explained(
        "Rehearsal, guide, effects: what may be lost.",
        "It bears the most wear, and may cross a few sound splices; doubtful ones it crosses no more than others do.",
        "what is unfit for scratch is fit for nothing",
        rules=(
            "passes_scratch",
            "wipes_scratch",
            "response_fall_scratch",
            "severity_scratch",
            "splices_scratch",
        ),
    ),
}

PLACES_EXPLAINED: dict[str, Explained] = {
    "yes": Explained(
        "The place lies in a stretch that is surely fit for the grade, and the take, where one was asked for, fits.",
        "Nothing that is recorded here speaks against it. The record knows only what was entered.",
        "anything that is found there",
    ),
    "no": Explained(
        "The place is outside every fit stretch, something is known against it there, or the take does not fit.",
        "A take there might fail, or run off the end.",
        "start at another place, use another reel, or a lesser grade. See each reason",
        rules=(
            "shortest_stretch",
            "unused_head_s",
            "unused_tail_s",
            "splice_guard_s",
        ),
    ),
    "unknown": Explained(
        "Nothing known is against the place, but something that ought to be known is not.",
        "What is not known is not taken for good.",
        "look at the tape there or listen to it, and enter what you find. What is found decides",
        rules=(
            "inspection_days_critical",
            "inspection_days_standard",
        ),
        enter=("finding",),
    ),
}

REFUSALS_EXPLAINED: dict[str, Explained] = {
    "wipe-refused": Explained(
        "The answer about the recording is not yes.",
        "There is no way round it for anybody: a wrong yes destroys work.",
        "every reason about the recording has to end. See them one by one",
    ),
    "answer-stale": Explained(
        "Something was entered, or another day began, after the answer that you looked at was given.",
        "What was shown need not hold any more.",
        "look at the answer as it is now, and ask again",
    ),
    "label-differs": Explained(
        "The number that was typed or scanned is not this reel's.",
        "The wrong tape in the box is how recordings are lost.",
        "read the number off the reel itself, not off the box. If it is another reel, put this one back",
    ),
    "heard-differs": Explained(
        "What was heard at a place is not what the record says is there.",
        "Either this is another tape, or the record is wrong: both are reasons to stop.",
        "play the tape there again and compare with the track sheet. If they differ, find out which tape this is",
    ),
    "second-person-needed": Explained(
        "A second person must be named, and none was, or it is the one who asks.",
        "Masters and safeties are not wiped by one person alone; the house may ask for two at every wipe.",
        "ask somebody to look at the label and the answer with you, and name them",
        rules=("second_person_always",),
    ),
    "reread-needed": Explained(
        "No copy of a transfer that the answer rests on was read from end to end shortly before.",
        "A wipe cannot be undone, so a copy is read once more first.",
        "read one copy through now. If it passes, ask again; if it fails, the reel is not clear",
        rules=("wipe_reread_days",),
        enter=("copy-check",),
    ),
    "no-permit": Explained(
        "There is no permit for this reel that is good now.",
        "A permit is good for its day, and ends when anything is entered about the reel.",
        "ask for a permit with the reel in your hand. It is given only where the answer is yes",
    ),
    "bulk-needed": Explained(
        "The reel was recorded with another number of tracks than the machine's heads have.",
        "Such heads leave strips of the old recording between their own tracks.",
        "erase it in bulk, away from recorded tape",
    ),
    "heads-unknown": Explained(
        "How many tracks the machine has is not entered.",
        "Whether its heads reach all that was recorded is not known.",
        "enter the machine with its tracks, name another, or erase the reel in bulk",
        enter=("machine",),
    ),
    "label-asked": Explained(
        "Tape was to be thrown away without the number on the reel's own label.",
        "Throwing tape away destroys what is on it as a wipe does.",
        "do it by Cut on the reel's page, or by `reelward cut`, which ask for the number",
        enter=("edit",),
    ),
    "unproved": Explained(
        "Tape was to be thrown away with something on it that may not go.",
        "Throwing tape away asks for the same proof as a wipe.",
        "the reasons about the recording that lie on that stretch have to end. See them one by one",
        enter=("edit",),
    ),
}
