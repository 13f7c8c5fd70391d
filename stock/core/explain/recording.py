"""Every reason about the recording, in plain words: what is missing before what is on a reel may go."""

from __future__ import annotations

from functools import partial

from stock.core.explain.explanation import explanation

_about = partial(explanation, "recording")

_GIVE_UP = "Or a named person decides, after it was recorded, that it is discarded."
_COUNTS_ANEW = "A new transfer is proved from the beginning: heard, old enough, its copies read through."

RECORDING = (
    _about(
        "not-transferred",
        "A take is on this reel and no transfer was made of it since it was recorded.",
        "The tape is the only place where it exists: a wipe would lose it for good.",
        f"Transfer it and prove the transfer. {_COUNTS_ANEW} {_GIVE_UP}",
        rules="minimum_rate_hz minimum_bits cooling_days copies_needed media_needed elsewhere_needed copy_check_days",
        enter="transfer listen copy copy-check decision",
    ),
    _about(
        "partly-transferred",
        "Transfers made since hold part of the take; a stretch of some tracks is in none, or was recorded after them.",
        "That stretch exists on the tape alone. A punch-in after the transfer makes its stretch new.",
        f"Transfer the stretch that is missing and prove that transfer. {_COUNTS_ANEW} {_GIVE_UP}",
        rules="minimum_rate_hz minimum_bits cooling_days copies_needed media_needed elsewhere_needed copy_check_days",
        enter="transfer listen copy copy-check decision",
    ),
    _about(
        "tracks-missing",
        "Transfers made since hold the take, but not all its tracks.",
        "The tracks that were left out exist on the tape alone.",
        f"Transfer those tracks too and prove that transfer. {_COUNTS_ANEW} {_GIVE_UP}",
        rules="minimum_rate_hz minimum_bits cooling_days copies_needed media_needed elsewhere_needed copy_check_days",
        enter="transfer listen copy copy-check decision",
    ),
    _about(
        "format-too-low",
        "The transfer was made at a lower sample rate or bit depth than the house asks for.",
        "It does not hold all that the tape does, so it does not stand for the tape.",
        f"Transfer it again at the house's format. Files are not made better afterwards. {_COUNTS_ANEW}",
        rules="minimum_rate_hz minimum_bits",
        enter="transfer listen copy copy-check",
    ),
    _about(
        "not-heard",
        "Nobody is named as having listened to the transfer's files after it was made.",
        "A transfer can have run with a dead channel, a wrong speed or the wrong reel; only ears find that.",
        "Listen at head, middle and end of every track, and enter the listen with your name. What else is "
        "missing of the transfer stays missing.",
        enter="listen",
    ),
    _about(
        "cooling-off",
        "The transfer is younger than the house wants it to be before a wipe.",
        "Mistakes are mostly found within days, by those who use the files; till then the tape is kept.",
        "Only time: nothing that is entered makes it older. A project may have days of its own, or record "
        "through into files, which needs none.",
        rules="cooling_days",
        enter="project",
    ),
    _about(
        "too-few-copies",
        "The transfer has fewer good copies than the house asks for. A good copy was read from end to end since the "
        "transfer was made, lately enough, with the hash of its manifest kept, and has not failed since.",
        "One copy is lost with one disk.",
        "Read through the copies there are, or make another and prove it. A copy that was only said to be good "
        "counts for nothing.",
        rules="copies_needed copy_check_days",
        enter="copy copy-check",
    ),
    _about(
        "one-medium",
        "The good copies are on fewer different media than the house asks for.",
        "Copies on one medium are lost together.",
        "A good copy on another medium: made there, and read through there.",
        rules="media_needed copy_check_days",
        enter="copy copy-check",
    ),
    _about(
        "none-elsewhere",
        "Fewer of the good copies than the house asks for are kept in another place.",
        "Fire, water and theft take everything in one place.",
        "Take a copy elsewhere, enter it as there, and read it through; a bad copy elsewhere does not count.",
        rules="elsewhere_needed copy_check_days",
        enter="copy copy-check",
    ),
    _about(
        "copy-check-failed",
        "The newest check of a copy failed. A check that failed outlives every earlier one that passed.",
        "The copy is not what was transferred, or cannot be read: it counts for nothing.",
        "Make the copy again from a good one, or transfer the tape again, and prove it. As a note, enough other "
        "copies are good.",
        enter="copy copy-check",
    ),
    _about(
        "copy-only-stated",
        "Somebody said that the copy is good, but it was not read from end to end with its hash kept.",
        "A word is no reading: files rot unread.",
        "Read it through; if it passes it counts from then on. As a note, enough other copies are good.",
        enter="copy-check",
    ),
    _about(
        "copy-check-old",
        "The copy was good when it was last read through, but that is longer ago than the house allows.",
        "Files rot unread: a copy last read long ago may be none.",
        "Read it through again; if it passes it counts from then on. As a note, enough other copies are good.",
        rules="copy_check_days",
        enter="copy-check",
    ),
    _about(
        "copy-unchecked",
        "The copy was never checked since the transfer was made.",
        "Nobody knows whether its files are whole.",
        "Read it through; if it passes it counts from then on. As a note, enough other copies are good.",
        enter="copy-check",
    ),
    _about(
        "unlogged-recording",
        "Something was recorded, or transferred, of a stretch on which no take is entered.",
        "What it is nobody wrote down: it may be the take everyone looks for.",
        "Enter the take it is; that then asks for a proof of its own. If it was nothing, listen, and enter it as "
        "a take to discard, with your name. If the entry was of another reel, take the entry back. A short stray "
        "beside a take needs nothing.",
        rules="stray_s",
        enter="take decision void",
    ),
    _about(
        "on-hold",
        "Somebody asked that the reel be kept.",
        "A hold stands whatever is proved.",
        "Whoever made it ends it, or the last day of the hold passes. What else stands in the way stays.",
        enter="hold-end",
    ),
    _about(
        "no-release",
        "What is on the reel belongs to somebody else, or the reel is a master or safety, and no release was "
        "given since it was last recorded.",
        "It is not the house's to give up, however well it is copied.",
        "Ask whoever it belongs to. A release counts if it is given after the newest recording, for that project "
        "or the whole reel. Nobody but the owner can promise it.",
        enter="release project owner",
    ),
    _about(
        "reference-tape",
        "It is a reference tape, by which machines are aligned.",
        "It is never wiped: machines set by another one would not agree with the old tapes.",
        "Nothing, as long as the reel is entered as one.",
    ),
    _about(
        "not-here",
        "The newest move says that the reel is out, lost, or went back to its owner.",
        "A reel that is not in the house is not wiped, and what others did to it is not known here.",
        "Enter its return when it is back on the shelf.",
        enter="move",
    ),
    _about(
        "content-unknown",
        "The tape did not come sealed, and part of it was neither wiped here nor listened to.",
        "Whatever was on it when it came may still be there, and be somebody's only copy.",
        "Listen from end to end, all tracks, and enter a listened finding of severity 0 if there is nothing. "
        "What is heard decides: if there is something, enter it as what it is.",
        enter="finding take",
    ),
    _about(
        "stray-field",
        "The tape lay in a magnetic field, and was not listened to since.",
        "What is on it may be harmed, or a copy needed at once: nobody knows till it is heard. Recorded tape is "
        "harmed from about 10 Oe alternating, 50 Oe steady (IASA-TC 05, 3.7).",
        "Listen to that stretch on all its tracks and enter a listened finding of severity 0 if it is sound. "
        "What is heard decides.",
        enter="finding",
    ),
    _about(
        "set-not-clear",
        "Another reel was recorded locked to this one, and holds takes that may not go.",
        "Half of a locked pair is of no use without the other: the reels of a set go together.",
        "See to the other reel first: what stands in its way is told on its own page. Or this reel leaves the "
        "set once all its tape has been wiped after the set was made.",
        enter="set",
    ),
    _about(
        "wipe-unproved",
        "A wipe came in from a file, dated after this record was begun, without the certificate of a guarded wipe.",
        "It is a note. For the recording such a wipe did not happen; for the tape it counts as a reuse, not "
        "heard since.",
        "Wipe the reel by the guarded steps, if what is on it may go.",
        enter="wipe",
    ),
    _about(
        "overwritten",
        "A newer take lies over an older one. The sentence says whether the files of what went are proved.",
        "It is a note: what was there is gone, and a wipe makes no difference to it.",
        "Nothing brings back what was recorded over.",
    ),
    _about(
        "nothing-recorded",
        "Nothing was recorded on the reel since it was last wiped, or since it came sealed.",
        "It is a note: there is nothing to lose on it, as far as the record goes.",
        "Nothing needs doing.",
    ),
    _about(
        "worn-out",
        "The tape is fit for no grade of use any more, but what is on it is not safe yet.",
        "It is a note: the reel is kept for what is on it. Worn tape does not get better, so do not wait with "
        "the transfer.",
        "Transfer it, prove the transfer, then retire the reel.",
        enter="transfer retirement",
    ),
    _about(
        "void-loosened",
        "An entry was taken back, and the answer about the recording is looser without it than it was with it.",
        "It is a note: nothing stands in the way, but an entry taken back by mistake would be a wrong yes.",
        "Make sure that it was taken back by right; if it was not, enter it again.",
        enter="void",
    ),
)
