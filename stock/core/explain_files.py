"""Every remark on the files of a copy as they are read, in plain words."""

from __future__ import annotations

from stock.core.explain import Explained

_FAILS = "The copy fails its check, and counts for nothing till one passes."
_NOTES = "It is a note: the check does not fail by it."

REMARKS_EXPLAINED: dict[str, Explained] = {
    "no-files": Explained(
        "The folder holds no audio file.",
        _FAILS,
        "name the folder that holds the transfer's files",
    ),
    "not-regular": Explained(
        "Something in the folder is a link or a device, not a file.",
        f"What it points to may change or go. {_FAILS}",
        "put the file itself in its place, or take it out of the folder",
    ),
    "name-unsafe": Explained(
        "A name has characters that cannot be seen, or that other systems do not keep.",
        f"The file may not be found again elsewhere. {_FAILS}",
        "give the file a plain name",
    ),
    "name-clash": Explained(
        "Two names differ in case or accents alone.",
        f"On some disks one of them takes the other's place. {_NOTES}",
        "give the files names that differ in more",
    ),
    "cannot-read": Explained(
        "A file or folder cannot be read, or there are far too many for one copy.",
        f"What was not read is not proved. {_FAILS}",
        "give this program leave to read it, or make the copy again",
    ),
    "not-audio": Explained(
        "A file that should be audio is none.",
        _FAILS,
        "make the copy again from one that is good, or transfer the tape again",
    ),
    "left-out": Explained(
        "A file that a file manager made was passed over.",
        _NOTES,
        "nothing needs doing",
    ),
    "other-file": Explained(
        "A file is no audio. It is hashed with the rest.",
        _NOTES,
        "nothing needs doing",
    ),
    "damaged": Explained(
        "A file's sound cannot be decoded from end to end.",
        _FAILS,
        "make the copy again from one that is good, or transfer the tape again",
    ),
    "truncated": Explained(
        "A file ends before its header says.",
        f"The end of the transfer is missing. {_FAILS}",
        "make the copy again from one that is good, or transfer the tape again",
    ),
    "header-lies": Explained(
        "A file's header does not fit what is in it, or was never closed.",
        f"Other programs may read less of it, or nothing. {_FAILS}",
        "export the file again with a program that closes its header, and prove that one",
    ),
    "shrank": Explained(
        "A file became shorter while it was read.",
        f"Something writes to the copy. {_FAILS}",
        "let nothing write to the copy while it is read, and prove it again",
    ),
    "changed": Explained(
        "A file was changed while it was read.",
        f"Something writes to the copy. {_FAILS}",
        "let nothing write to the copy while it is read, and prove it again",
    ),
    "track-unknown": Explained(
        "Nothing tells for certain which track a file holds.",
        f"A track that is not known is not proved. {_FAILS}",
        "say which track it holds, or name the file by its track: `03 snare.wav`",
    ),
    "interleaved": Explained(
        "One file holds several tracks, taken to be in order.",
        _NOTES,
        "say so if the channels are in another order",
    ),
    "track-missing": Explained(
        "A track that the transfer names is in no file.",
        f"It would be lost with the tape. {_FAILS}",
        "put right the record of the transfer, or the files",
        enter=("transfer",),
    ),
    "track-extra": Explained(
        "A file holds a track that the transfer does not name.",
        f"The files and the record are not of one thing. {_FAILS}",
        "put right the record of the transfer, or the files",
        enter=("transfer",),
    ),
    "track-twice": Explained(
        "A track is in more than one file.",
        _FAILS,
        "keep one file for each track",
    ),
    "lengths-differ": Explained(
        "The files of one transfer are not of one length.",
        f"Tracks that begin or end elsewhere do not run together. {_FAILS}",
        "export all tracks from one start to one end",
    ),
    "too-short": Explained(
        "A file plays shorter than the stretch of tape it is said to hold.",
        f"Part of the tape is not in it. {_FAILS}",
        "transfer the whole stretch, or put right the transfer's start and end",
        rules=(
            "proof_short_share",
            "proof_short_s",
        ),
        enter=("transfer",),
    ),
    "wrong-speed": Explained(
        "A file plays half or twice as long as the tape does at its speed.",
        f"The tape was played at another speed than the record says. {_FAILS}",
        "transfer at the tape's own speed, or put right the transfer's speed",
        rules=(
            "proof_short_share",
            "proof_short_s",
            "proof_long_s",
        ),
        enter=("transfer",),
    ),
    "long": Explained(
        "A file plays longer than the stretch of tape, by more than pre-roll and run-out usually take.",
        f"It may be of other tape. {_NOTES}",
        "nothing needs doing if pre-roll and run-out explain it",
        rules=("proof_long_s",),
    ),
    "rate-differs": Explained(
        "A file's sample rate is not the one the transfer is entered with.",
        f"The files and the record are not of one thing. {_FAILS}",
        "put right the record of the transfer, or the files",
        enter=("transfer",),
    ),
    "depth-differs": Explained(
        "A file's bit depth is not the one the transfer is entered with.",
        f"The files and the record are not of one thing. {_FAILS}",
        "put right the record of the transfer, or the files",
        enter=("transfer",),
    ),
    "rates-mixed": Explained(
        "The files are not all of one rate and depth.",
        f"They were not made in one transfer. {_FAILS}",
        "export all tracks at one rate and depth",
    ),
    "silent-in-use": Explained(
        "A track that the track sheet says is in use is silent throughout.",
        f"A dead channel sounds like this. {_FAILS}",
        "transfer that track again, or put right the track sheet",
        rules=(
            "proof_silence_db",
            "proof_least_sound_s",
        ),
        enter=(
            "take",
            "transfer",
        ),
    ),
    "silent-stretch": Explained(
        "A track in use is silent for longer than rests usually are.",
        f"It may be a rest, or a fault. {_NOTES}",
        "listen there",
        rules=(
            "proof_silence_db",
            "proof_silent_stretch_s",
        ),
    ),
    "clipped": Explained(
        "Several full-scale samples stand in a row.",
        f"The transfer may have been too loud. {_NOTES}",
        "listen there, and transfer at a lower level if it is heard",
        rules=("proof_clip_samples",),
    ),
    "zero-run": Explained(
        "Exact zeros stand inside programme.",
        f"Tape hisses: zeros were not on it, so the transfer may have dropped out. {_NOTES}",
        "listen there",
        rules=("proof_zero_run_s",),
    ),
    "start-differs": Explained(
        "Start times of the files differ from one another, or from the tape's stripe.",
        "Files that differ from one another do not run together, and the copy fails; against the stripe it is a note.",
        "see that the files belong to this tape, and that pre-roll explains the difference",
        rules=("proof_start_frames",),
    ),
    "no-start": Explained(
        "The tape has a timecode stripe, and a file does not say when it starts.",
        _NOTES,
        "nothing needs doing if the files were never stamped with a start time",
    ),
    "hash-differs": Explained(
        "A file is not the same as in the first copy, or as when it was hashed.",
        f"One of the two has changed. {_FAILS}",
        "make the copy again from one that is good, or transfer the tape again",
    ),
    "file-missing": Explained(
        "A file of the first copy, or one that is named, is not there.",
        f"What is not there is not proved. {_FAILS}",
        "make the copy again from one that is good, or transfer the tape again",
    ),
    "file-extra": Explained(
        "A file is there that the first copy does not have.",
        "Mostly it is a note; where it may hold sound of the transfer, the copy fails.",
        "see what it is, and take it out of the copy",
    ),
    "bag-invalid": Explained(
        "The folder is a bag, and does not keep the rules of one (RFC 8493).",
        f"A bag is good whole or not at all. {_FAILS}",
        "have the bag made again by whoever sent it",
    ),
    "resume-refused": Explained(
        "What an earlier, unfinished reading found could not be taken up again.",
        _NOTES,
        "nothing needs doing: the files are read from the beginning",
        rules=("proof_resume_s",),
    ),
    "resume-unsaved": Explained(
        "What was read so far could not be kept for later.",
        _NOTES,
        "name a place that can be written, or let the reading finish",
    ),
}
