"""A file's track is what its name or description says for certain, or what a person says, and nothing else."""

from __future__ import annotations

import pytest

from stock.core.tracks import mask_of
from stock.proof.facts import Bext, FileFacts, Format
from stock.proof.naming import assign, track_of


@pytest.mark.parametrize(
    "name, track",
    [
        ("03 snare.wav", 3), ("3.wav", 3), ("03.wav", 3), ("03_snare.wav", 3), ("03-snare.wav", 3), ("3. snare.wav", 3),
        ("16 timecode.aiff", 16), ("snare_trk03.wav", 3), ("Track 3.wav", 3), ("track03_vox.flac", 3),
        ("TRK-12 gtr.wav", 12), ("T03.wav", 3), ("vox T07.wav", 7), ("LP-1_01_kick.wav", 1), ("lp-1 14 vox.wav", 14),
        ("LP-1_trk03.wav", 3), ("03 Track 3.wav", 3), ("03 snare 2.wav", 3), ("folder/05 bass.wav", 5),
        ("03 57.wav", None), ("2024-05-03 snare.wav", None), ("24-05-03 snare.wav", None), ("snare.wav", None),
        ("snare 03.wav", None), ("03 snare T05.wav", 3), ("03 Track 5.wav", None), ("Track 3 trk4.wav", None),
        ("Track 345.wav", None), ("345.wav", None), ("00 noise.wav", None), ("Soundtrack 3.wav", None),
        ("-3-.wav", None), ("take T2 T3.wav", None), ("03snare.wav", None), ("", None), ("track.wav", None),
        ("05-06 overheads.wav", None),
    ],
)  # fmt: skip
def test_names(name: str, track: int | None) -> None:
    assert track_of(name, 1, "", "LP-1") == (None if track is None else ((track,), "name"))


def test_a_pair_of_channels_takes_a_pair_of_numbers() -> None:
    assert track_of("05-06 overheads.wav", 2, "", "LP-1") == ((5, 6), "name")
    assert track_of("05-07 overheads.wav", 2, "", "LP-1") is None
    assert track_of("05 overheads.wav", 2, "", "LP-1") is None


def test_a_description_tells_where_the_name_does_not() -> None:
    assert track_of("vox.wav", 1, "Track 7", "LP-1") == ((7,), "description")
    assert track_of("07 vox.wav", 1, "Track 7, lead", "LP-1") == ((7,), "name")
    assert track_of("07 vox.wav", 1, "Track 8", "LP-1") is None
    assert track_of("vox.wav", 1, "made on 7 March", "LP-1") is None


def audio(path: str, channels: int = 1, description: str = "") -> FileFacts:
    bext = Bext(description, "", "", "", "", 0, "")
    return FileFacts(path, 1, "0" * 64, {}, Format("WAV", "PCM", channels, 48_000, 24, 1), (), bext)


def test_an_interleaved_file_holds_the_tracks_in_order_and_it_is_said() -> None:
    files, remarks = assign((audio("reel.wav", 3),), "LP-1", mask_of((2, 5, 9)), None)
    assert (files[0].tracks, files[0].told_by) == ((2, 5, 9), "order")
    assert [(found.code, found.severity) for found in remarks] == [("interleaved", "note")]
    assert "2,5,9" in remarks[0].says


def test_two_files_of_all_channels_are_not_told_apart() -> None:
    files, remarks = assign((audio("a.wav", 2), audio("b.wav", 2)), "LP-1", mask_of((1, 2)), None)
    assert [file.tracks for file in files] == [None, None]
    assert [(found.code, found.severity) for found in remarks] == [("track-unknown", "fail")] * 2


def test_a_persons_word_goes_before_the_name() -> None:
    files, remarks = assign((audio("03 snare.wav"),), "LP-1", mask_of((4,)), {"03 snare.wav": (4,)})
    assert (files[0].tracks, files[0].told_by) == ((4,), "person")
    assert remarks == []


@pytest.mark.parametrize("mapping, code", [({"x.wav": (1, 2)}, "track-unknown"), ({"y.wav": (1,)}, "file-missing")])
def test_a_persons_word_must_fit_the_files(mapping: dict[str, tuple[int, ...]], code: str) -> None:
    _, remarks = assign((audio("x.wav"),), "LP-1", mask_of((1, 3)), mapping)
    assert code in [found.code for found in remarks if found.severity == "fail"]
