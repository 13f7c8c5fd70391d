"""Track masks against sets of track numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.tracks import MOST_TRACKS, every, mask_of, numbers, spell

TRACKS = st.sets(st.integers(1, MOST_TRACKS))


def read(words: str) -> set[int]:
    """Track numbers as people write them."""
    tracks: set[int] = set()
    for part in words.split(",") if words else []:
        first, _, last = part.partition("-")
        tracks.update(range(int(first), int(last or first) + 1))
    return tracks


@given(TRACKS, TRACKS)
def test_a_mask_is_a_set_of_tracks(first: set[int], second: set[int]) -> None:
    assert list(numbers(mask_of(first))) == sorted(first)
    assert mask_of(first) & mask_of(second) == mask_of(first & second)
    assert mask_of(first) | mask_of(second) == mask_of(first | second)
    assert mask_of(first) & ~mask_of(second) == mask_of(first - second)


@given(TRACKS)
def test_a_mask_is_spelled_in_the_fewest_parts(tracks: set[int]) -> None:
    words = spell(mask_of(tracks))
    assert read(words) == tracks
    runs = sum(track - 1 not in tracks for track in tracks)
    assert words.count(",") + 1 == runs if tracks else not words


@pytest.mark.parametrize(
    ("tracks", "words"),
    [((), ""), ((1,), "1"), ((1, 2), "1-2"), (range(1, 9), "1-8"), ((*range(1, 9), 13), "1-8,13"), ((24, 2), "2,24")],
)
def test_tracks_as_people_write_them(tracks: tuple[int, ...], words: str) -> None:
    assert spell(mask_of(tracks)) == words


@pytest.mark.parametrize("count", [0, 1, 16, 24, MOST_TRACKS])
def test_every_track_of_a_reel(count: int) -> None:
    assert list(numbers(every(count))) == list(range(1, count + 1))
