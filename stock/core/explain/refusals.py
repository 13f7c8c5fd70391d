"""What a guarded wipe refuses and why a reel is not picked, in plain words."""

from __future__ import annotations

from functools import partial

from stock.core.explain.explanation import explanation

_wipe, _pick = partial(explanation, "wipe"), partial(explanation, "pick")

WIPE = (
    _wipe(
        "wipe-refused",
        "The answer about the recording is not yes.",
        "There is no way round it for anybody: a wrong yes destroys work.",
        "Every reason about the recording has to end. See them one by one.",
    ),
    _wipe(
        "answer-stale",
        "Something was entered, or another day began, after the answer that you looked at was given.",
        "What was shown need not hold any more.",
        "Look at the answer as it is now, and ask again.",
    ),
    _wipe(
        "label-differs",
        "The number that was typed or scanned is not this reel's.",
        "The wrong tape in the box is how recordings are lost.",
        "Read the number off the reel itself, not off the box. If it is another reel, put this one back.",
    ),
    _wipe(
        "heard-differs",
        "What was heard at a place is not what the record says is there.",
        "Either this is another tape, or the record is wrong: both are reasons to stop.",
        "Play the tape there again and compare with the track sheet. If they differ, find out which tape this is.",
    ),
    _wipe(
        "second-person-needed",
        "A second person must be named, and none was, or it is the one who asks.",
        "Masters and safeties are not wiped by one person alone; the house may ask for two at every wipe.",
        "Ask somebody to look at the label and the answer with you, and name them.",
        rules="second_person_always",
    ),
    _wipe(
        "reread-needed",
        "No copy of a transfer that the answer rests on was read from end to end shortly before.",
        "A wipe cannot be undone, so a copy is read once more first.",
        "Read one copy through now. If it passes, ask again; if it fails, the reel is not clear.",
        rules="wipe_reread_days",
        enter="copy-check",
    ),
    _wipe(
        "no-permit",
        "There is no permit for this reel that is good now.",
        "A permit is good for its day, and ends when anything is entered about the reel.",
        "Ask for a permit with the reel in your hand. It is given only where the answer is yes.",
    ),
    _wipe(
        "bulk-needed",
        "The reel was recorded with another number of tracks than the machine's heads have.",
        "Such heads leave strips of the old recording between their own tracks.",
        "Erase it in bulk, away from recorded tape.",
        enter="wipe",
    ),
    _wipe(
        "heads-unknown",
        "How many tracks the machine has is not entered.",
        "Whether its heads reach all that was recorded is not known.",
        "Enter the machine with its tracks, name another, or erase the reel in bulk.",
        enter="machine wipe",
    ),
    _wipe(
        "label-asked",
        "Tape was to be thrown away without the number on the reel's own label.",
        "Throwing tape away destroys what is on it as a wipe does.",
        "Do it by Cut on the reel's page, or by `reelward cut`, which ask for the number.",
        enter="edit",
    ),
    _wipe(
        "unproved",
        "Tape was to be thrown away with something on it that may not go.",
        "Throwing tape away asks for the same proof as a wipe.",
        "The reasons about the recording that lie on that stretch have to end. See them one by one.",
        enter="edit",
    ),
)

PICK = (
    _pick(
        "wrong-width",
        "Its tape is not of the width asked for, or of several.",
        "The machine's heads and guides take one width.",
        "Nothing: ask for another width.",
    ),
    _pick(
        "wrong-formulation",
        "Its tape is not of a formulation that is named, or that the project is on already.",
        "Machines are aligned for one formulation; another sounds different.",
        "Name its formulation as allowed, if the project can bear it.",
    ),
    _pick(
        "mixed-formulation",
        "It holds tape of several formulations.",
        "No alignment suits all of it.",
        "Cut it apart where the tapes are joined.",
        enter="edit",
    ),
    _pick(
        "reel-too-large",
        "The reel is larger than the machine takes.",
        "It cannot be threaded.",
        "Use a machine that takes it.",
    ),
    _pick(
        "size-unknown",
        "How large its stock item's reel is was never entered.",
        "It is not taken to fit.",
        "Enter the stock item with its reel's size.",
        enter="stock-item",
    ),
    _pick(
        "not-ours",
        "Its tape belongs to somebody else than the owner asked for.",
        "What is not the house's is not recorded on without asking.",
        "Ask for reels of that owner, or enter whose tape it is now.",
        enter="owner",
    ),
    _pick(
        "reserved",
        "It is kept for another project.",
        "Whoever kept it counts on it.",
        "Ask them; the reservation ends on its last day, or is taken back.",
        enter="reservation void",
    ),
    _pick(
        "not-clear",
        "What is on it may not be wiped; the codes beside this one say why.",
        "It may not be recorded over.",
        "All its reasons about the recording have to end. Part-used reels may serve the project they are used "
        "for, after the last recording.",
    ),
    _pick(
        "other-project",
        "What is on it is not all of the project asked for.",
        "A part-used reel goes on with its own project alone.",
        "Ask for the project that is on it.",
    ),
    _pick(
        "other-speed",
        "What is on it was recorded at another speed.",
        "Two speeds on one reel are a trap for whoever plays it.",
        "Ask for the speed that is on it.",
    ),
    _pick(
        "other-tracks",
        "It is recorded with another number of tracks.",
        "Heads of another format do not read or erase it.",
        "Ask for the format that is on it.",
    ),
    _pick(
        "unfit-grade",
        "Its tape is not fit for the grade asked for, or nobody knows; the codes beside this one say why.",
        "A take on it might fail.",
        "See its reasons about the tape; ask for a lesser grade.",
        rules="passes_* wipes_* severity_* inspection_days_*",
    ),
    _pick(
        "no-room",
        "No free and fit stretch of it is long enough for the shortest of the takes.",
        "A take that runs off the end, or into what must stay, is lost.",
        "Shorter takes, or a lower speed. Tones, slate, gaps and room to run over are counted.",
        rules="slate_s overrun_share overrun_s gap_s tones_s guard_s guard_share unused_head_s unused_tail_s",
    ),
    _pick(
        "too-many-reuses",
        "It must be wiped first, and that takes it past the house's limit of reuses for the grade.",
        "Each reuse can leave a trace of what was there.",
        "Ask for a lesser grade; wipes are not undone.",
        rules="wipes_*",
    ),
)
