"""The codes a proof speaks in: how severe each is, and what a person can do about it."""

from __future__ import annotations

from typing import NamedTuple

from stock.proof.facts import Remark, Severity


class _Kind(NamedTuple):
    severity: Severity
    remedy: str


_AGAIN = "make the copy again from one that is good, or transfer the tape again"
_RECORD = "put right the record of the transfer, or the files"

KINDS: dict[str, _Kind] = {
    "no-files": _Kind("fail", "name the folder that holds the transfer's audio files"),
    "not-regular": _Kind("fail", "put the file itself in its place, or take it out of the folder"),
    "name-unsafe": _Kind("fail", "give the file a plain name"),
    "name-clash": _Kind("note", "give the files names that differ in more than case or accents"),
    "cannot-read": _Kind("fail", "give this program leave to read it, or make the copy again"),
    "not-audio": _Kind("fail", _AGAIN),
    "left-out": _Kind("note", "nothing needs doing: a file manager made it"),
    "other-file": _Kind("note", "nothing needs doing: it is hashed with the rest"),
    "damaged": _Kind("fail", _AGAIN),
    "truncated": _Kind("fail", _AGAIN),
    "header-lies": _Kind("fail", "export the file again with a program that closes its header, and prove that one"),
    "shrank": _Kind("fail", "let nothing write to the copy while it is read, and prove it again"),
    "changed": _Kind("fail", "let nothing write to the copy while it is read, and prove it again"),
    "track-unknown": _Kind("fail", "say which track it holds, or name the file by its track: `03 snare.wav`"),
    "interleaved": _Kind("note", "say so if the channels are in another order"),
    "track-missing": _Kind("fail", _RECORD),
    "track-extra": _Kind("fail", _RECORD),
    "track-twice": _Kind("fail", "keep one file for each track"),
    "lengths-differ": _Kind("fail", "export all tracks from one start to one end"),
    "too-short": _Kind("fail", "transfer the whole stretch, or put right the transfer's start and end"),
    "wrong-speed": _Kind("fail", "transfer at the tape's own speed, or put right the transfer's speed"),
    "long": _Kind("note", "nothing needs doing if pre-roll and run-out explain it"),
    "rate-differs": _Kind("fail", _RECORD),
    "depth-differs": _Kind("fail", _RECORD),
    "rates-mixed": _Kind("fail", "export all tracks at one rate and depth"),
    "silent-in-use": _Kind("fail", "transfer that track again, or put right the track sheet"),
    "silent-stretch": _Kind("note", "listen there"),
    "clipped": _Kind("note", "listen there, and transfer at a lower level if it is heard"),
    "zero-run": _Kind("note", "listen there: the transfer may have dropped out"),
    "start-differs": _Kind("note", "see that the files belong to this tape, and that pre-roll explains the difference"),
    "no-start": _Kind("note", "nothing needs doing if the files were never stamped with a start time"),
    "hash-differs": _Kind("fail", _AGAIN),
    "file-missing": _Kind("fail", _AGAIN),
    "file-extra": _Kind("note", "see what it is, and take it out of the copy"),
    "bag-invalid": _Kind("fail", "have the bag made again by whoever sent it"),
    "resume-refused": _Kind("note", "nothing needs doing: the files are read from the beginning"),
    "resume-unsaved": _Kind("note", "name a place that can be written, or let the reading finish"),
}


def remark(
    code: str,
    says: str,
    *,
    path: str | None = None,
    track: int | None = None,
    start_us: int | None = None,
    end_us: int | None = None,
    severity: Severity | None = None,
) -> Remark:
    """A remark with its code's own severity (unless another is given) and remedy."""
    kind = KINDS[code]
    return Remark(code, severity or kind.severity, says, kind.remedy, path, track, start_us, end_us)
