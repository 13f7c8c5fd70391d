"""What the house knows about a transfer before its files are read, and the limits they are held to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from stock.core.measure import HOUR, MINUTE, SECOND


class Limits(NamedTuple):
    """The limits a proof holds files to. All of them are the house's own: no published figure was found.

    short_share_ppm, short_us: how much shorter than the tape's own time files may be, the larger of a share
    (millionths) and a time: a counter is good to a fraction of a percent, and a take is lost by more than a second.
    long_us: files longer by more are remarked on: pre-roll and run-out explain a minute, not more.
    silence_db: sound quieter than this (RMS of a window, steady offset taken off, against full scale) counts as
    silence: the hiss of a track in use lies above it at common transfer levels, an unplugged channel below it.
    least_sound_us: a track that sounds for less is silent throughout: a click is not a recording.
    silent_stretch_us: a silent stretch so long is remarked on. clip_samples: so many full-scale samples in a row are
    a clipped run: a single one may be a true peak. zero_run_us: exact zeros for so long inside programme are a
    dropout of the transfer: tape is never so quiet. start_frames: how far a file's own start time may be from the
    stripe's. resume_us: an unfinished reading older than this is begun anew.
    """

    short_share_ppm: int = 5_000
    short_us: int = SECOND
    long_us: int = MINUTE
    silence_db: float = -70.0
    least_sound_us: int = SECOND // 5
    silent_stretch_us: int = 20 * SECOND
    clip_samples: int = 3
    zero_run_us: int = SECOND // 100
    start_frames: int = 1
    resume_us: int = 24 * HOUR


class Expectation(NamedTuple):
    """A transfer as it stands in the record.

    tracks, in_use: masks of the tracks transferred, and of those the track sheet says are in use. track_names: what
    the sheet calls them. tape_us: playing time of the stretch at its actual speed. start_us: the stripe's time at the
    start of the stretch, since midnight, and frame_rate its rate (a key of `stock.core.timecode.RATES`); both None
    without a stripe. first_copy: SHA-256 by path of the copy proved before, None where this is the first.
    """

    transfer: str
    tracks: int
    in_use: int
    track_names: Mapping[int, str]
    sample_rate_hz: int
    bit_depth: int
    tape_us: int
    start_us: int | None = None
    frame_rate: str | None = None
    first_copy: Mapping[str, str] | None = None
    limits: Limits = Limits()
