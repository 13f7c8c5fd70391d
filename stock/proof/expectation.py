"""What the house knows about a transfer before its files are read, and the limits they are held to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from stock.core.measure import HOUR, MINUTE, SECOND
from stock.core.rules import Rules


class Limits(NamedTuple):
    """The limits a proof holds files to: house rules, each explained in `stock.core.rules` under `proof_`.

    short_share_ppm: millionths. silence_db: RMS of a window, steady offset taken off, against full scale. Times are in
    microseconds.
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


def limits_of(rules: Rules) -> Limits:
    """The limits of the house rules in force."""
    return Limits(
        short_share_ppm=rules.number("proof_short_share") * 1_000,
        short_us=rules.number("proof_short_s"),
        long_us=rules.number("proof_long_s"),
        silence_db=-rules.number("proof_silence_db") / 1_000,
        least_sound_us=rules.number("proof_least_sound_s"),
        silent_stretch_us=rules.number("proof_silent_stretch_s"),
        clip_samples=max(rules.number("proof_clip_samples"), 1),
        # half of it is a window of the measuring, which is kept in memory
        zero_run_us=min(max(rules.number("proof_zero_run_s"), 1), SECOND),
        start_frames=rules.number("proof_start_frames"),
        resume_us=rules.number("proof_resume_s"),
    )


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
