"""Which tracks a file holds, as it is typed."""

from __future__ import annotations

import pytest

from stock.edge.file_tracks import file_tracks, files_tracks
from stock.edge.problems import CellError


def test_files_and_their_tracks() -> None:
    assert file_tracks("lead vocal.wav=14") == ("lead vocal.wav", (14,))
    assert file_tracks("a=b.wav= 1, 2") == ("a=b.wav", (1, 2))
    assert files_tracks(" lead.wav=7; drums.wav=1,2; ") == {"lead.wav": (7,), "drums.wav": (1, 2)}
    assert files_tracks("") == {}


@pytest.mark.parametrize("text", ["lead.wav", "=7", "lead.wav=", "lead.wav=x", "lead.wav=1,,2", "lead.wav=-1", "a=²"])
def test_what_says_no_tracks_is_refused(text: str) -> None:
    with pytest.raises(CellError, match="the file, `=` and its tracks"):
        file_tracks(text)
