"""Track sets as bit masks: track 1 is bit 0."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

MOST_TRACKS = 48


def mask_of(tracks: Iterable[int]) -> int:
    """The mask of the given track numbers (1 and up)."""
    mask = 0
    for track in tracks:
        mask |= 1 << (track - 1)
    return mask


def every(count: int) -> int:
    """The mask of tracks 1 to count."""
    return (1 << count) - 1


def numbers(mask: int) -> Iterator[int]:
    """The track numbers in a mask, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length()
        mask ^= low


def spell(mask: int) -> str:
    """A mask as people write it: `1-8,13`; empty for no track."""
    runs: list[str] = []
    first = last = 0
    for track in [*numbers(mask), 0]:
        if track == last + 1 and first:
            last = track
            continue
        if first:
            runs.append(str(first) if first == last else f"{first}-{last}")
        first = last = track
    return ",".join(runs)


def say(mask: int) -> str:
    """A mask in a sentence: `track 14`, `tracks 1-8,13`."""
    return f"track{'' if mask.bit_count() == 1 else 's'} {spell(mask)}"
