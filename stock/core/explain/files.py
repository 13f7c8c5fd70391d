"""Every remark on the files of a copy as they are read, in plain words."""

from __future__ import annotations

from functools import partial

from stock.core.explain.explanation import explanation

_about = partial(explanation, "files")

_FAILS = "The copy fails its check, and counts for nothing till one passes."
_NOTES = "It is a note: the check does not fail by it."

FILES = (
    _about("no-files", "The folder holds no audio file.", _FAILS, "Name the folder that holds the transfer's files."),
    _about(
        "not-regular",
        "Something in the folder is a link or a device, not a file.",
        f"What it points to may change or go. {_FAILS}",
        "Put the file itself in its place, or take it out of the folder.",
    ),
    _about(
        "name-unsafe",
        "A name has characters that cannot be seen, or that other systems do not keep.",
        f"The file may not be found again elsewhere. {_FAILS}",
        "Give the file a plain name.",
    ),
    _about(
        "name-clash",
        "Two names differ in case or accents alone.",
        f"On some disks one of them takes the other's place. {_NOTES}",
        "Give the files names that differ in more.",
    ),
    _about(
        "cannot-read",
        "A file or folder cannot be read, or there are far too many for one copy.",
        f"What was not read is not proved. {_FAILS}",
        "Give this program leave to read it, or make the copy again.",
    ),
    _about(
        "not-audio",
        "A file that should be audio is none.",
        _FAILS,
        "Make the copy again from one that is good, or transfer the tape again.",
    ),
    _about("left-out", "A file that a file manager made was passed over.", _NOTES, "Nothing needs doing."),
    _about("other-file", "A file is no audio. It is hashed with the rest.", _NOTES, "Nothing needs doing."),
    _about(
        "damaged",
        "A file's sound cannot be decoded from end to end.",
        _FAILS,
        "Make the copy again from one that is good, or transfer the tape again.",
    ),
    _about(
        "truncated",
        "A file ends before its header says.",
        f"The end of the transfer is missing. {_FAILS}",
        "Make the copy again from one that is good, or transfer the tape again.",
    ),
    _about(
        "header-lies",
        "A file's header does not fit what is in it, or was never closed.",
        f"Other programs may read less of it, or nothing. {_FAILS}",
        "Export the file again with a program that closes its header, and prove that one.",
    ),
    _about(
        "shrank",
        "A file became shorter while it was read.",
        f"Something writes to the copy. {_FAILS}",
        "Let nothing write to the copy while it is read, and prove it again.",
    ),
    _about(
        "changed",
        "A file was changed while it was read.",
        f"Something writes to the copy. {_FAILS}",
        "Let nothing write to the copy while it is read, and prove it again.",
    ),
    _about(
        "track-unknown",
        "Nothing tells for certain which track a file holds.",
        f"A track that is not known is not proved. {_FAILS}",
        "Say which track it holds, or name the file by its track: `03 snare.wav`.",
    ),
    _about(
        "interleaved",
        "One file holds several tracks, taken to be in order.",
        _NOTES,
        "Say so if the channels are in another order.",
    ),
    _about(
        "track-missing",
        "A track that the transfer names is in no file.",
        f"It would be lost with the tape. {_FAILS}",
        "Put right the record of the transfer, or the files.",
        enter="transfer",
    ),
    _about(
        "track-extra",
        "A file holds a track that the transfer does not name.",
        f"The files and the record are not of one thing. {_FAILS}",
        "Put right the record of the transfer, or the files.",
        enter="transfer",
    ),
    _about("track-twice", "A track is in more than one file.", _FAILS, "Keep one file for each track."),
    _about(
        "lengths-differ",
        "The files of one transfer are not of one length.",
        f"Tracks that begin or end elsewhere do not run together. {_FAILS}",
        "Export all tracks from one start to one end.",
    ),
    _about(
        "too-short",
        "A file plays shorter than the stretch of tape it is said to hold.",
        f"Part of the tape is not in it. {_FAILS}",
        "Transfer the whole stretch, or put right the transfer's start and end.",
        rules="proof_short_share proof_short_s",
        enter="transfer",
    ),
    _about(
        "wrong-speed",
        "A file plays half or twice as long as the tape does at its speed.",
        f"The tape was played at another speed than the record says. {_FAILS}",
        "Transfer at the tape's own speed, or put right the transfer's speed.",
        rules="proof_short_share proof_short_s proof_long_s",
        enter="transfer",
    ),
    _about(
        "long",
        "A file plays longer than the stretch of tape, by more than pre-roll and run-out usually take.",
        f"It may be of other tape. {_NOTES}",
        "Nothing needs doing if pre-roll and run-out explain it.",
        rules="proof_long_s",
    ),
    _about(
        "rate-differs",
        "A file's sample rate is not the one the transfer is entered with.",
        f"The files and the record are not of one thing. {_FAILS}",
        "Put right the record of the transfer, or the files.",
        enter="transfer",
    ),
    _about(
        "depth-differs",
        "A file's bit depth is not the one the transfer is entered with.",
        f"The files and the record are not of one thing. {_FAILS}",
        "Put right the record of the transfer, or the files.",
        enter="transfer",
    ),
    _about(
        "rates-mixed",
        "The files are not all of one rate and depth.",
        f"They were not made in one transfer. {_FAILS}",
        "Export all tracks at one rate and depth.",
    ),
    _about(
        "silent-in-use",
        "A track that the track sheet says is in use is silent throughout.",
        f"A dead channel sounds like this. {_FAILS}",
        "Transfer that track again, or put right the track sheet.",
        rules="proof_silence_db proof_least_sound_s",
        enter="take transfer",
    ),
    _about(
        "silent-stretch",
        "A track in use is silent for longer than rests usually are.",
        f"It may be a rest, or a fault. {_NOTES}",
        "Listen there.",
        rules="proof_silence_db proof_silent_stretch_s",
    ),
    _about(
        "clipped",
        "Several full-scale samples stand in a row.",
        f"The transfer may have been too loud. {_NOTES}",
        "Listen there, and transfer at a lower level if it is heard.",
        rules="proof_clip_samples",
    ),
    _about(
        "zero-run",
        "Exact zeros stand inside programme.",
        f"Tape hisses: zeros were not on it, so the transfer may have dropped out. {_NOTES}",
        "Listen there.",
        rules="proof_zero_run_s",
    ),
    _about(
        "start-differs",
        "Start times of the files differ from one another, or from the tape's stripe.",
        "Files that differ from one another do not run together, and the copy fails; against the stripe it is a note.",
        "See that the files belong to this tape, and that pre-roll explains the difference.",
        rules="proof_start_frames",
    ),
    _about(
        "no-start",
        "The tape has a timecode stripe, and a file does not say when it starts.",
        _NOTES,
        "Nothing needs doing if the files were never stamped with a start time.",
    ),
    _about(
        "hash-differs",
        "A file is not the same as in the first copy, or as when it was hashed.",
        f"One of the two has changed. {_FAILS}",
        "Make the copy again from one that is good, or transfer the tape again.",
    ),
    _about(
        "file-missing",
        "A file of the first copy, or one that is named, is not there.",
        f"What is not there is not proved. {_FAILS}",
        "Make the copy again from one that is good, or transfer the tape again.",
    ),
    _about(
        "file-extra",
        "A file is there that the first copy does not have.",
        "Mostly it is a note; where it may hold sound of the transfer, the copy fails.",
        "See what it is, and take it out of the copy.",
    ),
    _about(
        "bag-invalid",
        "The folder is a bag, and does not keep the rules of one (RFC 8493).",
        f"A bag is good whole or not at all. {_FAILS}",
        "Have the bag made again by whoever sent it.",
    ),
    _about(
        "resume-refused",
        "What an earlier, unfinished reading found could not be taken up again.",
        _NOTES,
        "Nothing needs doing: the files are read from the beginning.",
        rules="proof_resume_s",
    ),
    _about(
        "resume-unsaved",
        "What was read so far could not be kept for later.",
        _NOTES,
        "Name a place that can be written, or let the reading finish.",
    ),
)
