"""What a proof found: facts of each file, remarks on them, and the report of the whole."""

from __future__ import annotations

from typing import Literal, NamedTuple

Severity = Literal["fail", "note"]
ToldBy = Literal["name", "description", "person", "order"]


class Stretch(NamedTuple):
    """A half-open stretch of a file, microseconds from its start."""

    start_us: int
    end_us: int


class Runs(NamedTuple):
    """Stretches of one kind: how many were found, and the first of them (a bounded number)."""

    found: int = 0
    first: tuple[Stretch, ...] = ()


class Channel(NamedTuple):
    """Levels of one channel. peak_db, rms_db: against full scale, None for exact silence. sound_us: time above silence.

    zeros: stretches of exact zeros with sound before and after them.
    """

    peak_db: float | None
    rms_db: float | None
    sound_us: int
    silent: Runs
    clipped: Runs
    zeros: Runs


class Bext(NamedTuple):
    """The broadcast extension of a file (EBU Tech 3285). time_reference: samples from midnight to its first sample."""

    description: str
    originator: str
    reference: str
    date: str
    time: str
    time_reference: int
    coding_history: str


class Format(NamedTuple):
    """How samples are kept, as the file's header says. frames: samples of one channel; bits: of one sample."""

    container: str
    coding: str
    channels: int
    rate_hz: int
    bits: int
    frames: int


class FileFacts(NamedTuple):
    """One file, read from end to end.

    path: relative to the folder, with slashes. digests: other hashes asked for, by algorithm. format, levels: None and
    empty where it is not audio or could not be decoded. tracks: the transfer's tracks it holds, in the order of its
    channels; told_by: what says so. Both None where nothing does.
    """

    path: str
    size_bytes: int
    sha256: str
    digests: dict[str, str]
    format: Format | None = None
    levels: tuple[Channel, ...] = ()
    bext: Bext | None = None
    tracks: tuple[int, ...] | None = None
    told_by: ToldBy | None = None

    @property
    def duration_us(self) -> int | None:
        """Playing time in microseconds, rounded down; None where it is not audio."""
        return None if self.format is None else self.format.frames * 1_000_000 // self.format.rate_hz


class Remark(NamedTuple):
    """One thing found. start_us, end_us: the stretch of the file it is about, where it is about one."""

    code: str
    severity: Severity
    says: str
    remedy: str
    path: str | None = None
    track: int | None = None
    start_us: int | None = None
    end_us: int | None = None


class Progress(NamedTuple):
    """How far a reading is. path: a file being read. left_s: at the pace so far, None before one is known."""

    path: str
    files_done: int
    files: int
    bytes_done: int
    bytes_total: int
    left_s: float | None


class Report(NamedTuple):
    """The proof of one copy. passed: it was read to the end, holds at least one audio file and nothing failed.

    manifest: one line per file, hash and path as RFC 8493 writes a payload manifest, by path; manifest_sha256: its
    hash. seconds: of this run; bytes_read: of this run.
    """

    files: tuple[FileFacts, ...]
    remarks: tuple[Remark, ...]
    passed: bool
    stopped: bool
    is_bag: bool
    manifest: str
    manifest_sha256: str
    bytes_read: int
    seconds: float
