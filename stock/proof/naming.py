"""Which of the transfer's tracks a file holds: by its name or its own description, and never guessed in silence."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import PurePosixPath

from stock.core.tracks import numbers, spell
from stock.proof.facts import FileFacts, Remark, ToldBy
from stock.proof.remarks import remark

_SPELLED = re.compile(r"(?<![a-z])(?:track|trk|tr)[ _.\-#]*0*([0-9]{1,2})(?![0-9])", re.IGNORECASE)
_SHORT = re.compile(r"(?<![a-z0-9])t0*([0-9]{1,2})(?![a-z0-9])", re.IGNORECASE)
_LEADING = re.compile(r"0*([0-9]{1,2})(?:[ _.\-]+|$)")
_NEXT_NUMBER = re.compile(r"0*([0-9]{1,2})(?![0-9a-z])", re.IGNORECASE)

Tracks = tuple[int, ...]


def track_of(path: str, channels: int, description: str, transfer: str) -> tuple[Tracks, ToldBy] | None:
    """The tracks a file holds in the order of its channels, and what says so; None where that is not certain.

    A name tells by a number in front (`03 snare.wav`, behind the transfer's own name too: `LP-1_03_snare.wav`; two
    that follow one another for a pair of channels: `05-06 overheads.wav`), or by a track spelled out (`Track 3`,
    `_trk03`, `T03`). A description tells by a track spelled out. Two that differ tell nothing, nor does one track
    for several channels.
    """
    stem = PurePosixPath(path).stem.strip()
    told: set[Tracks] = {(int(number),) for number in _SPELLED.findall(stem)}
    leading = _leading(_without(transfer, stem), channels)
    if leading is not None:
        told.add(leading)
    if not told:
        told = {(int(number),) for number in _SHORT.findall(stem)}
    described: set[Tracks] = {(int(number),) for number in _SPELLED.findall(description)}
    if len(told | described) != 1:
        return None
    tracks = next(iter(told | described))
    if len(tracks) != channels or 0 in tracks:
        return None
    return tracks, "name" if told else "description"


def _without(transfer: str, stem: str) -> str:
    """A file's name without the name of its transfer in front and what parts the two."""
    if transfer and stem.casefold().startswith(transfer.casefold()):
        rest = stem[len(transfer) :]
        if rest[:1] in (" ", "_", "-", "."):
            return rest.lstrip(" _-.")
    return stem


def _leading(stem: str, channels: int) -> Tracks | None:
    """The track or pair of tracks a name begins with; an empty tuple where it begins with numbers that tell nothing."""
    found = _LEADING.match(stem)
    if found is None:
        return None
    first = int(found[1])
    second = _NEXT_NUMBER.match(stem, found.end())
    if second is None:
        return (first,)
    pair = (first, int(second[1]))
    return pair if channels == 2 and pair[1] == first + 1 else ()


def assign(
    files: tuple[FileFacts, ...], transfer: str, tracks: int, mapping: Mapping[str, Tracks] | None
) -> tuple[tuple[FileFacts, ...], list[Remark]]:
    """The files with the tracks they hold, and remarks on those that nothing tells.

    tracks: mask of the transfer's. mapping: a person's word, tracks in the order of channels, by path; it goes before
    anything else. One file of as many channels as the transfer has tracks holds them in order, and it is said so.
    """
    word = mapping or {}
    audio = [file for file in files if file.format is not None]
    remarks = [
        remark("file-missing", f"{path} is said to hold track {_spelled(named)} and is not there", path=path)
        for path, named in word.items()
        if path not in {file.path for file in audio}
    ]
    found: list[FileFacts] = []
    for file in files:
        if file.format is None:
            found.append(file)
            continue
        channels = file.format.channels
        told: tuple[Tracks, ToldBy] | None
        if file.path in word:
            told = (tuple(word[file.path]), "person")
        else:
            told = track_of(file.path, channels, file.bext.description if file.bext else "", transfer)
            if told is None and len(audio) == 1 and channels == tracks.bit_count():
                told = (tuple(numbers(tracks)), "order")
                says = f"{file.path} is taken to hold tracks {spell(tracks)} in the order of its channels"
                remarks.append(remark("interleaved", says, path=file.path))
        if told is None or len(told[0]) != channels:
            says = f"{file.path} has {channels} {_channels(channels)}, and nothing tells for certain which track"
            remarks.append(remark("track-unknown", says, path=file.path))
            found.append(file)
        else:
            found.append(file._replace(tracks=told[0], told_by=told[1]))
    return tuple(found), remarks


def _channels(count: int) -> str:
    return "channel" if count == 1 else "channels"


def _spelled(tracks: Tracks) -> str:
    return ",".join(map(str, tracks))
