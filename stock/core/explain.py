"""Every code an answer can give, in plain words: what it means, why it stands in the way, what changes it.

No sentence here promises more than the rules give: what changes a reason takes that reason away, and others may stand.
"""

from __future__ import annotations

from typing import NamedTuple

from stock.core.picking.candidates import PICK_CODES
from stock.core.reasons import RECORDING_CODES, TAPE_CODES
from stock.core.rules import GRADES
from stock.core.verdict import Verdict


class Explained(NamedTuple):
    """One code. means: what it says. why: why that matters. changes: what takes it away, empty where nothing does.

    rules: the house rules it rests on. enter: the kinds of fact that bear on it, as they are entered.
    """

    means: str
    why: str
    changes: str = ""
    rules: tuple[str, ...] = ()
    enter: tuple[str, ...] = ()


def _graded(stem: str) -> tuple[str, ...]:
    return tuple(f"{stem}_{grade}" for grade in GRADES)


EXPLAINED: dict[str, Explained] = {
    "not-transferred": Explained(
        "A take on the tape, or part of it, is in no transfer made after it was recorded.",
        "The tape may be the only place where it exists: a wipe would lose it for good.",
        "transfer it, hear the files, and prove the copies; or let a named person decide to discard it",
        enter=("transfer", "listen", "copy", "decision"),
    ),
    "partly-transferred": Explained(
        "A transfer made after the recording holds some of the take, but not the stretch told.",
        "What was punched in later, or lies before or after the transfer, exists on the tape alone.",
        "transfer the missing stretch, and prove that transfer",
        enter=("transfer", "listen", "copy"),
    ),
    "tracks-missing": Explained(
        "The transfer holds the stretch, but not all tracks that were recorded there.",
        "A track that was not copied exists on the tape alone, whatever the others are.",
        "transfer the tracks named, and prove that transfer",
        enter=("transfer", "listen", "copy"),
    ),
    "format-too-low": Explained(
        "The files were made at a lower rate or depth than the house asks for.",
        "A poor copy is no stand-in for the tape: once wiped, a better one can never be made.",
        "transfer it again at the house's rate and depth or better",
        ("minimum_rate_hz", "minimum_bits"),
        ("transfer",),
    ),
    "not-heard": Explained(
        "Nobody is named as having listened to the files at head, middle and end of every track since they were made.",
        "Hashes prove that files are unchanged, not that the transfer was any good.",
        "listen to the files, and enter the listen under your name",
        enter=("listen",),
    ),
    "cooling-off": Explained(
        "The transfer is younger than it must be before a tape may go: the house's days, or the project's own.",
        "Faults of a transfer tend to be found in the first days, while the tape can still be played again.",
        "wait as many days as are told",
        ("cooling_days",),
    ),
    "too-few-copies": Explained(
        "There are fewer good copies of the transfer than the house asks for.",
        "A single disk fails, is lost or is overwritten; then nothing is left.",
        "make another copy and prove it, or prove one that is there",
        ("copies_needed", "copy_check_days"),
        ("copy", "copy-check"),
    ),
    "one-medium": Explained(
        "The good copies lie on too few different media.",
        "What takes one disk takes every copy on it.",
        "make a copy on another medium, and prove it",
        ("media_needed", "copy_check_days"),
        ("copy", "copy-check"),
    ),
    "none-elsewhere": Explained(
        "No good copy, or too few, lie in another place.",
        "Fire, water and theft take all that is in one house.",
        "take a copy to another place, enter it as elsewhere, and prove it",
        ("elsewhere_needed", "copy_check_days"),
        ("copy", "copy-check"),
    ),
    "copy-check-failed": Explained(
        "The newest reading of the copy failed: a file is gone, changed or cannot be read.",
        "The copy is no proof of anything until it reads whole again.",
        "see what became of the files, put back a good copy, and prove it",
        enter=("copy-check",),
    ),
    "copy-only-stated": Explained(
        "Somebody stated that the copy is good, but it was not read.",
        "A statement has no hash, and a person can be wrong about which disk it was.",
        "mount the medium and prove the copy by reading it",
        enter=("copy-check",),
    ),
    "copy-check-old": Explained(
        "The copy was read through and passed, but longer ago than the house allows.",
        "Disks fail in silence: what was whole then may not be whole today.",
        "read it through again",
        ("copy_check_days",),
        ("copy-check",),
    ),
    "copy-unchecked": Explained(
        "No check of the copy is entered since the transfer was made.",
        "Nobody knows that what was written can be read.",
        "prove the copy by reading it",
        enter=("copy-check",),
    ),
    "unlogged-recording": Explained(
        "Something is recorded there that no take tells of, or a transfer was made of what nobody entered.",
        "Nobody knows what it is, so nobody can know that it may go.",
        "play it, and enter what it is as a take, which asks for its own proof; void a transfer of another reel",
        ("stray_s",),
        ("take", "decision", "transfer"),
    ),
    "on-hold": Explained(
        "Somebody gave their word that what is on this tape may not go.",
        "A hold binds whatever else is proved.",
        "ask who holds it; it ends by an entry, or after its last day where it has one",
        enter=("hold-end",),
    ),
    "no-release": Explained(
        "Whoever the recording belongs to has not said, since it was last recorded, that it may go.",
        "A client's tape, a master or a safety, and the projects that ask for it, need that word besides all proof.",
        "ask them, and enter the release with who granted it",
        enter=("release",),
    ),
    "reference-tape": Explained(
        "The reel is a reference tape: machines are aligned by it.",
        "It is never recorded on, and never wiped.",
    ),
    "not-here": Explained(
        "The reel is out, lost or returned.",
        "What is not in the house cannot be wiped in it, and nobody knows what happens to it meanwhile.",
        "enter its return, or that it was found",
        enter=("move",),
    ),
    "content-unknown": Explained(
        "It did not come sealed, and that stretch was neither wiped nor listened to here.",
        "A used tape may carry somebody's only recording.",
        "listen to it from end to end, all tracks; a listen with nothing against it (severity 0) ends this",
        enter=("finding", "take"),
    ),
    "stray-field": Explained(
        "It was exposed to a stray magnetic field, and nobody has listened to it since.",
        "What is on it, or how well it records, is not known until it is heard.",
        "listen to that stretch, all tracks it was on; a later listen with nothing against it (severity 0) ends this",
        enter=("finding",),
    ),
    "set-not-clear": Explained(
        "Another reel recorded locked to this one has something live that may not go.",
        "One reel of a set without the other is half a recording.",
        "see to the other reels of the set first",
    ),
    "wipe-unproved": Explained(
        "A wipe was loaded from a file and has no certificate of this house.",
        "A line in a file proves no wipe: it ends nothing.",
        "wipe it here, in the guarded steps, if what is on it may go",
    ),
    "overwritten": Explained(
        "A take was recorded over: it is not on the tape any more.",
        "It is told so that nobody looks for it here; where it was lost unproved, that is said.",
    ),
    "nothing-recorded": Explained(
        "Nothing is recorded on it since its last wipe, or ever.",
        "There is nothing to lose on it.",
    ),
    "worn-out": Explained(
        "The tape is fit for no grade any more, but what is on it is not safe yet.",
        "Worn tape gets no better: each further pass risks what is on it.",
        "transfer it and prove the transfer, then retire it",
        enter=("transfer", "retirement"),
    ),
    "void-loosened": Explained(
        "An entry was voided, and without it this answer is looser than it was.",
        "A void by mistake would make a tape look safer than it is.",
        "make sure that it was void by right; if not, enter the fact again",
    ),
    "too-many-passes": Explained(
        "Some of the tape has been over the heads more often than this grade bears.",
        "Every pass rubs oxide off and dulls the top. No published figure was found: the limit is the house's own.",
        "use it for a grade that bears it, or use a stretch that is less worn",
        _graded("passes"),
    ),
    "passes-unknown": Explained(
        "It did not come sealed, and nobody said how many passes it had before.",
        "A tape of unknown wear may be nearly worn out.",
        "enter the passes it had before, if anybody knows them; without that it serves for scratch at most",
    ),
    "too-many-reuses": Explained(
        "It was wiped for reuse more often than this grade bears; of one to be picked: it would be, wiped once more.",
        "Each reuse stands for a whole working life of passes, winds and handling.",
        "use it for a grade that bears it",
        _graded("wipes"),
    ),
    "high-frequency-loss": Explained(
        "The 10 kHz response has fallen since its first check by more than this grade bears.",
        "What the tape has lost at the top, it does not give back.",
        "use it for a grade that bears it; rule out heads, azimuth and level first: the newest check counts",
        _graded("response_fall"),
        ("response",),
    ),
    "too-many-splices": Explained(
        "Splices leave no stretch long enough between them for this grade.",
        "A splice can part, or be heard, in the take that must not fail.",
        "use a stretch without splices, or scratch",
        ("splice_guard_s", "shortest_stretch", "unused_head_s", "unused_head_length", "unused_tail_s"),
        ("edit",),
    ),
    "splice-doubtful": Explained(
        "A splice is doubtful or has failed.",
        "No grade crosses it: it may part under tension.",
        "make the splice anew, and enter it as sound at its place",
        enter=("splice",),
    ),
    "damaged": Explained(
        "A finding in the stretch is worse than this grade bears.",
        "Damage is heard, or grows.",
        "use a stretch without it, or have it cut out; what is mended is entered again with severity 0, but edges and "
        "stretched tape do not mend",
        _graded("severity"),
        ("finding", "edit"),
    ),
    "not-inspected": Explained(
        "Nobody has looked at the tape lately enough for this grade.",
        "What was fit a year ago may have gone sticky, or been dropped.",
        "inspect it, point by point, and enter what you find",
        ("inspection_days_critical", "inspection_days_standard", "binder_watch_days"),
        ("finding",),
    ),
    "wiped-not-heard": Explained(
        "It was wiped, and nobody has listened to it since.",
        "An eraser that was weak, or a track it missed, leaves the old recording under the new one.",
        "listen to it, all tracks; a later listen with nothing against it (severity 0) ends this",
        enter=("finding",),
    ),
    "batch-suspect": Explained(
        "Another reel of its batch has a fault of the binder or base, or mould.",
        "What happened to one reel of a batch tends to happen to the others.",
        "inspect this one, and enter what you find",
        enter=("finding",),
    ),
    "sticky": Explained(
        "Its binder is sticky.",
        "Playing it can strip the recording off the base.",
        "nothing that is entered here: do not play it, treatment is a specialist's work",
    ),
    "shedding": Explained(
        "It sheds oxide.",
        "Each pass takes signal off the tape and soils the heads.",
        "nothing that is entered here: do not play it, treatment is a specialist's work",
    ),
    "vinegar": Explained(
        "It smells of vinegar: an acetate base is breaking down.",
        "It shrinks and grows brittle, and its vapour harms other tape.",
        "nothing that is entered here: isolate it, ask a specialist",
    ),
    "mould": Explained(
        "There is mould on it.",
        "It spreads, and it harms people.",
        "nothing that is entered here: isolate it, do not open it in the studio, ask a specialist",
    ),
    "too-short": Explained(
        "No unbroken stretch of usable tape that nothing else bars is as long as the shortest useful one.",
        "A reel too short for a take is found out when the take runs off its end.",
        "join it to other tape, or retire it",
        ("shortest_stretch", "unused_head_s", "unused_head_length", "unused_tail_s"),
        ("edit", "retirement"),
    ),
    "retired": Explained(
        "It was retired.",
        "A retired reel is never recorded on again.",
    ),
    "wrong-width": Explained("It is not of the width asked for.", "It does not run on that machine."),
    "wrong-formulation": Explained(
        "It is not of a formulation that is allowed.", "Bias and level are set for one formulation."
    ),
    "mixed-formulation": Explained(
        "It holds tape of several formulations.", "Level and sound would change at the join."
    ),
    "reel-too-large": Explained("It is larger than the machine takes.", "It does not fit the machine's spindle."),
    "size-unknown": Explained(
        "Nobody entered how large its stock item's reel is.",
        "Whether it fits the machine is not known, and that counts as no.",
        "enter the reel size of the stock item",
        enter=("stock-item",),
    ),
    "not-ours": Explained("It is not the tape of the owner named.", "A client's tape is for that client's work."),
    "reserved": Explained(
        "It is kept for another project.", "Somebody counts on finding it.", "ask for whom it is kept", (),
        ("reservation",),
    ),
    "not-clear": Explained(
        "What is on it may not be wiped, or nobody knows that it may.",
        "See its own reasons: each of them has to go.",
        "ask why of the reel itself",
    ),
    "other-project": Explained(
        "What is on it is not all of the project named.", "A part-used reel is shared within one project only."
    ),
    "other-speed": Explained(
        "It is recorded at another speed.", "Takes of two speeds on one reel are played wrongly sooner or later."
    ),
    "other-tracks": Explained(
        "It is recorded with another number of tracks.", "The heads of another format read across its tracks."
    ),
    "unfit-grade": Explained(
        "No stretch of it is surely fit for the grade asked for.",
        "A take that must not fail is not trusted to tape that may fail it.",
        "ask why of the reel itself; or ask for a lower grade",
    ),
    "no-room": Explained(
        "No free stretch of it is long enough, with the guards the house keeps.",
        "A take that runs off the end of the tape is lost.",
        "ask for shorter takes, or for fewer on one reel",
        ("shortest_stretch", "slate_s", "overrun_share", "overrun_s", "gap_s", "tones_s", "guard_s", "guard_share"),
    ),
}  # fmt: skip

VERDICTS_EXPLAINED: dict[Verdict, str] = {
    "clear": "All that is recorded on it may go, and the tape is fit for some grade: it may be wiped, in the guarded "
    "steps.",
    "blank": "Nothing is recorded on it, and the tape is fit for some grade.",
    "inspect": "Nothing is to be lost on it, but whether the tape is fit is not known.",
    "keep": "Something on it may not go, or nobody knows that it may: do not wipe it.",
    "retire": "Nothing is to be lost on it, and the tape is fit for no grade any more, or retired.",
}


def codes_explained() -> frozenset[str]:
    """Every code there may be an explanation asked for."""
    return frozenset((*RECORDING_CODES, *TAPE_CODES, *PICK_CODES))
