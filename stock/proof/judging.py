"""The files of a copy held against the record of the transfer and against one another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from stock.core.measure import SECOND
from stock.core.timecode import RATES
from stock.core.tracks import numbers
from stock.core.words import clock
from stock.edge.visible import safe
from stock.proof.expectation import Expectation
from stock.proof.facts import Channel, FileFacts, Format, Remark, Severity, Stretch
from stock.proof.manifest import in_payload
from stock.proof.remarks import remark

_DAY_US = 24 * 3600 * SECOND
_SAID = 5
"""How many places of one kind are said for each track; the rest are counted."""


def judge(files: tuple[FileFacts, ...], wanted: Expectation) -> list[Remark]:
    """Everything that is wrong with, or to be known of, the files as a copy of the transfer."""
    audio = [(file, file.format) for file in files if file.format is not None]
    return [
        *_tracks(files, wanted),
        *_formats(audio, wanted),
        *_lengths(audio, wanted),
        *_levels(files, wanted),
        *_starts(audio, wanted),
        *_first_copy(files, wanted),
    ]


def _named(track: int, wanted: Expectation) -> str:
    name = wanted.track_names.get(track)
    return f"track {track}, {safe(name)}," if name else f"track {track}"


def _tracks(files: tuple[FileFacts, ...], wanted: Expectation) -> Iterator[Remark]:
    holders: dict[int, list[str]] = {}
    for file in files:
        for track in file.tracks or ():
            holders.setdefault(track, []).append(file.path)
    for track in numbers(wanted.tracks):
        if track not in holders:
            yield remark("track-missing", f"{_named(track, wanted)} is in no file", track=track)
    for track, paths in sorted(holders.items()):
        if not wanted.tracks >> (track - 1) & 1:
            says = f"{paths[0]} holds track {track}, which the transfer does not name"
            yield remark("track-extra", says, path=paths[0], track=track)
        if len(paths) > 1:
            yield remark("track-twice", f"track {track} is in {' and in '.join(paths)}", path=paths[1], track=track)


def _formats(audio: list[tuple[FileFacts, Format]], wanted: Expectation) -> Iterator[Remark]:
    for file, shape in audio:
        if shape.rate_hz != wanted.sample_rate_hz:
            says = f"{file.path} has {shape.rate_hz} samples a second; the transfer says {wanted.sample_rate_hz}"
            yield remark("rate-differs", says, path=file.path)
        if shape.bits != wanted.bit_depth:
            says = f"{file.path} has {shape.bits} bits a sample; the transfer says {wanted.bit_depth}"
            yield remark("depth-differs", says, path=file.path)
    kinds = sorted({(shape.rate_hz, shape.bits) for _, shape in audio})
    if len(kinds) > 1:
        listed = " and ".join(f"{rate_hz} Hz, {bits} bit" for rate_hz, bits in kinds)
        yield remark("rates-mixed", f"the files are not of one kind: {listed}")


def _lengths(audio: list[tuple[FileFacts, Format]], wanted: Expectation) -> Iterator[Remark]:
    if len({(shape.frames, shape.rate_hz) for _, shape in audio}) > 1:
        usual = max(Counter(shape.frames for _, shape in audio).items(), key=lambda counted: counted[::-1])[0]
        for file, shape in audio:
            if shape.frames != usual:
                says = f"{file.path} has {shape.frames} samples, the others {usual}"
                yield remark("lengths-differ", says, path=file.path)
    for file, _ in audio:
        found = _duration(file, wanted)
        if found is not None:
            yield found


def _duration(file: FileFacts, wanted: Expectation) -> Remark | None:
    """What is to be said of how long a file plays, against the tape's own time."""
    limits, tape_us, played_us = wanted.limits, wanted.tape_us, file.duration_us
    assert played_us is not None
    for wrong_us, words in ((tape_us // 2, "half"), (2 * tape_us, "twice")):
        # Pre-roll and run-out make the file longer; on a short stretch they must not pass for another speed.
        more_us = max(_slack(wrong_us, wanted), min(limits.long_us, wrong_us // 20))
        if wrong_us - _slack(wrong_us, wanted) <= played_us <= wrong_us + more_us and tape_us > 4 * limits.short_us:
            says = f"{file.path} plays {clock(played_us)}, {words} the {clock(tape_us)} of the tape at its speed"
            return remark("wrong-speed", says, path=file.path)
    if tape_us - played_us > _slack(tape_us, wanted):
        says = f"{file.path} plays {clock(played_us)}; the stretch of tape plays {clock(tape_us)}"
        return remark("too-short", says, path=file.path)
    if played_us - tape_us > limits.long_us:
        says = f"{file.path} plays {clock(played_us - tape_us)} longer than the stretch of tape"
        return remark("long", says, path=file.path)
    return None


def _slack(time_us: int, wanted: Expectation) -> int:
    return max(time_us * wanted.limits.short_share_ppm // 1_000_000, wanted.limits.short_us)


def _levels(files: tuple[FileFacts, ...], wanted: Expectation) -> Iterator[Remark]:
    for file in files:
        tracks = file.tracks or (None,) * len(file.levels)
        for number, (track, channel) in enumerate(zip(tracks, file.levels, strict=False), 1):
            subject = f"{file.path} (channel {number})" if track is None else _named(track, wanted).rstrip(",")
            used = track is not None and bool(wanted.in_use >> (track - 1) & 1)
            yield from _silence(file, channel, track, subject, used, wanted)
            for code, runs, words in (
                ("clipped", channel.clipped, "is at full scale, clipped,"),
                ("zero-run", channel.zeros, "is exactly zero inside programme"),
            ):
                yield from _places(code, file, track, subject, words, runs.first, runs.found)


def _silence(
    file: FileFacts, channel: Channel, track: int | None, subject: str, used: bool, wanted: Expectation
) -> Iterator[Remark]:
    limits, end_us = wanted.limits, file.duration_us or 0
    if channel.sound_us < min(limits.least_sound_us, end_us):
        if used:
            says = f"{subject} is silent throughout, and the track sheet says that it is in use"
            yield remark("silent-in-use", says, path=file.path, track=track)
    elif used:
        named = wanted.track_names.get(track or 0)
        sheet = f"; the track sheet says {safe(named)}" if named else ""
        subject = f"track {track}"
        yield from _places(
            "silent-stretch", file, track, subject, "is silent", channel.silent.first, channel.silent.found, sheet
        )


def _places(
    code: str,
    file: FileFacts,
    track: int | None,
    subject: str,
    words: str,
    first: tuple[Stretch, ...],
    count: int,
    after: str = "",
) -> Iterator[Remark]:
    end_us = file.duration_us or 0
    for place in first[:_SAID]:
        where = _where(place, end_us)
        yield remark(
            code,
            f"{subject} {words} {where}{after}",
            path=file.path,
            track=track,
            start_us=place.start_us,
            end_us=place.end_us,
        )
    if count > _SAID:
        yield remark(code, f"{subject} {words} at {count - _SAID} more places", path=file.path, track=track)


def _where(place: Stretch, end_us: int) -> str:
    begin, end = clock(place.start_us), "the end" if place.end_us >= end_us else clock(place.end_us)
    return f"at {begin}" if begin == end else f"from {begin} to {end}"


def _starts(audio: list[tuple[FileFacts, Format]], wanted: Expectation) -> Iterator[Remark]:
    """Start times of the files against one another, and against the stripe where there is one."""
    starts = {
        file.path: file.bext.time_reference * SECOND // shape.rate_hz
        for file, shape in audio
        if file.bext is not None and file.bext.time_reference
    }
    if len(set(starts.values())) > 1:
        usual = Counter(starts.values()).most_common(1)[0][0]
        for path, start_us in starts.items():
            if start_us != usual:
                says = f"{path} says it starts at {clock(start_us)} and the others at {clock(usual)}"
                yield remark("start-differs", says, path=path, severity="fail")
    if wanted.start_us is None or wanted.frame_rate is None:
        return
    tolerance_us = wanted.limits.start_frames * SECOND / RATES[wanted.frame_rate].run
    for file, _ in audio:
        if file.path not in starts:
            yield remark("no-start", f"{file.path} does not say when it starts; the tape has a stripe", path=file.path)
            continue
        off_us = (starts[file.path] - wanted.start_us + _DAY_US // 2) % _DAY_US - _DAY_US // 2
        if abs(off_us) > tolerance_us:
            sense = "after" if off_us > 0 else "before"
            says = (
                f"{file.path} starts at {clock(starts[file.path])}, {abs(off_us) / SECOND:.3f} s {sense} "
                f"the stripe at the start of the stretch"
            )
            yield remark("start-differs", says, path=file.path)


def _first_copy(files: tuple[FileFacts, ...], wanted: Expectation) -> Iterator[Remark]:
    if wanted.first_copy is None:
        return
    first = in_payload(wanted.first_copy)
    here = in_payload({file.path: file for file in files})
    for path, digest in sorted(first.items()):
        file = here.get(path)
        if file is None:
            yield remark("file-missing", f"{safe(path)} is in the first copy and not in this one", path=safe(path))
        elif file.sha256 != digest.lower():
            says = f"{file.path} is not what it is in the first copy: their hashes differ"
            yield remark("hash-differs", says, path=file.path)
    for path, file in sorted(here.items()):
        if path not in first:
            says = f"{file.path} is in this copy and not in the first"
            severity: Severity = "note" if file.format is None else "fail"
            yield remark("file-extra", says, path=file.path, severity=severity)
