"""Verdicts, grades of use, and the answers about one place, in plain words."""

from __future__ import annotations

from functools import partial

from stock.core.explain.explanation import explanation

_verdict, _grade, _trust = (partial(explanation, of) for of in ("verdict", "grade", "trust"))

VERDICTS = (
    _verdict(
        "clear",
        "All that is recorded on it may go, and the tape is surely fit for some grade of use.",
        "Nothing stands in the way. It still goes through the guarded steps of a wipe, which take the answer anew.",
        "Anything that binds: a new take, a hold, a copy that falls due or fails, a fault found.",
        enter="wipe",
    ),
    _verdict(
        "blank",
        "Nothing is recorded on it, and the tape is surely fit for some grade of use.",
        "Nothing stands in the way of recording on it.",
        "Anything that binds: a take, a fault found, an inspection that falls due.",
    ),
    _verdict(
        "inspect",
        "There is nothing to lose on it, but whether the tape is fit for any grade is not known.",
        "What is not known is not taken for good.",
        "Look at the tape or listen to it, and enter what you find. What is found decides.",
        rules="inspection_days_* binder_watch_days",
        enter="finding",
    ),
    _verdict(
        "keep",
        "Something on it may not go, or nobody knows whether it may.",
        "Nobody can undo a wipe: one reason is enough, a doubt as much as a no.",
        "All its reasons about the recording have to end: see each of them.",
    ),
    _verdict(
        "retire",
        "There is nothing to lose on it, and the tape is fit for no grade, or was retired.",
        "A take on it might fail.",
        "Seldom anything: see its reasons about the tape. Cutting a bad stretch out may leave enough that is fit.",
        enter="retirement edit",
    ),
)

GRADE = (
    _grade(
        "critical",
        "The take that must not fail.",
        "It asks for the least wear, no fault, a young inspection, and stays clear of every splice.",
        "Worn tape does not come back to it; an inspection, a listen or a fault cut out may.",
        rules="passes_critical wipes_critical response_fall_critical severity_critical inspection_days_critical "
        "splice_guard_s",
    ),
    _grade(
        "standard",
        "An ordinary take.",
        "It bears more wear and slight faults, asks for an inspection not too old, and stays clear of every splice.",
        "Worn tape does not come back to it; an inspection, a listen or a fault cut out may.",
        rules="passes_standard wipes_standard response_fall_standard severity_standard inspection_days_standard "
        "splice_guard_s",
    ),
    _grade(
        "scratch",
        "Rehearsal, guide, effects: what may be lost.",
        "It bears the most wear, and may cross a few sound splices; doubtful ones it crosses no more than others do.",
        "What is unfit for scratch is fit for nothing.",
        rules="passes_scratch wipes_scratch response_fall_scratch severity_scratch splices_scratch",
    ),
)

TRUST = (
    _trust(
        "yes",
        "The place lies in a stretch that is surely fit for the grade, and the take, where one was asked for, fits.",
        "Nothing that is recorded here speaks against it. The record knows only what was entered.",
        "Anything that is found there.",
    ),
    _trust(
        "no",
        "The place is outside every fit stretch, something is known against it there, or the take does not fit.",
        "A take there might fail, or run off the end.",
        "Start at another place, use another reel, or a lesser grade. See each reason.",
        rules="shortest_stretch unused_head_s unused_tail_s splice_guard_s",
    ),
    _trust(
        "unknown",
        "Nothing known is against the place, but something that ought to be known is not.",
        "What is not known is not taken for good.",
        "Look at the tape there or listen to it, and enter what you find. What is found decides.",
        rules="inspection_days_*",
        enter="finding",
    ),
)
