"""Files made by independent tools, and what those tools say of them.

The ready-made ones are in `tests/data/audio` with the lines that made them; longer ones are made here where the tools
are installed (Debian packages ffmpeg, sox, alsa-utils), and skipped with that reason where they are not.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from stock.proof.examine import examine
from stock.proof.facts import Bext, FileFacts, Format
from tests.proof.waves import track_file, wanted

AUDIO = Path(__file__).parents[1] / "data" / "audio"
RECORDINGS = Path("/usr/share/sounds/alsa")

needs_ffmpeg = pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="needs the Debian package ffmpeg")
needs_sox = pytest.mark.skipif(shutil.which("sox") is None, reason="needs the Debian package sox")


def fact(folder: Path, path: Path) -> FileFacts:
    """The facts of a file, proved alone in a folder of its own."""
    copy = folder / f"copy of {path.name}"
    copy.mkdir()
    shutil.copy(path, copy)
    return examine(copy, wanted(3, seconds=0.2)).files[0]


def ran(*words: str) -> str:
    done = subprocess.run(words, check=True, capture_output=True, text=True, timeout=60)
    return done.stdout + done.stderr


@pytest.mark.parametrize(
    "name, shape",
    [
        ("bwf_48k.wav", Format("WAV", "PCM", 1, 48_000, 24, 9_600)),
        ("bwf_96k.wav", Format("WAV", "PCM", 1, 96_000, 24, 9_600)),
        ("rf64.wav", Format("RF64", "PCM", 1, 48_000, 24, 9_600)),
        ("ffmpeg.flac", Format("FLAC", "PCM", 1, 48_000, 24, 9_600)),
        ("ffmpeg.aiff", Format("AIFF", "PCM", 1, 48_000, 24, 9_600)),
        ("sox.wav", Format("WAV", "PCM", 1, 48_000, 24, 9_600)),
        ("sox.aiff", Format("AIFF", "PCM", 1, 48_000, 24, 9_600)),
        ("sox.flac", Format("FLAC", "PCM", 1, 48_000, 24, 9_600)),
        ("sox_pair.wav", Format("WAV", "PCM", 2, 48_000, 24, 4_800)),
    ],
)
def test_formats_are_read_as_made(tmp_path: Path, name: str, shape: Format) -> None:
    found = fact(tmp_path, AUDIO / name)
    assert found.format == shape
    assert all(channel.peak_db is not None and channel.sound_us > 90_000 for channel in found.levels)


@pytest.mark.parametrize("name", ["bwf_48k.wav", "rf64.wav", "ffmpeg.flac", "ffmpeg.aiff", "sox.wav", "sox.flac"])
def test_whole_files_pass(tmp_path: Path, name: str) -> None:
    shutil.copy(AUDIO / name, tmp_path / f"03 {name}")
    report = examine(tmp_path, wanted(3, seconds=0.2))
    assert report.passed
    assert [found.code for found in report.remarks] == []


def test_the_same_sound_has_the_same_levels_in_every_container(tmp_path: Path) -> None:
    wav, aiff, flac = (fact(tmp_path, AUDIO / f"sox.{kind}") for kind in ("wav", "aiff", "flac"))
    assert wav.levels == aiff.levels == flac.levels


def test_the_broadcast_extension_is_read_field_by_field(tmp_path: Path) -> None:
    """EBU Tech 3285: 01:00:00 is sample 172 800 000 at 48 kHz (written by ffmpeg)."""
    assert fact(tmp_path, AUDIO / "bwf_48k.wav").bext == Bext(
        "Track 3", "mixroom", "MR0003", "2026-03-01", "10:20:30", 172_800_000, "A=ANALOGUE"
    )


@pytest.mark.parametrize("name, sample", [("bwf_96k.wav", 345_600_000), ("bwf_late.wav", 5_000_000_000)])
def test_the_time_reference_has_64_bits(tmp_path: Path, name: str, sample: int) -> None:
    """EBU Tech 3285: 01:00:00 is sample 345 600 000 at 96 kHz; beyond 12:25:39 the high word is not 0."""
    bext = fact(tmp_path, AUDIO / name).bext
    assert bext is not None
    assert bext.time_reference == sample


@pytest.mark.parametrize("name, rate_hz", [("bwf_48k.wav", 48_000), ("bwf_96k.wav", 96_000)])
def test_a_start_at_one_hour_agrees_with_a_stripe_at_one_hour(tmp_path: Path, name: str, rate_hz: int) -> None:
    shutil.copy(AUDIO / name, tmp_path)
    seconds = 9_600 / rate_hz
    expected = wanted(3, seconds=seconds, sample_rate_hz=rate_hz, start_us=3_600_000_000, frame_rate="25")
    report = examine(tmp_path, expected)
    assert report.passed
    assert report.files[0].told_by == "description"
    assert [found.code for found in report.remarks] == []


def test_hashes_are_those_of_sha256sum(tmp_path: Path) -> None:
    for number, path in enumerate(sorted(AUDIO.glob("*.*")), 1):
        shutil.copy(path, tmp_path / f"{number:02d} {path.name}")
    report = examine(tmp_path, wanted(1))
    manifest = tmp_path.with_suffix(".sha256")
    manifest.write_text(report.manifest)
    done = subprocess.run(
        ["sha256sum", "--check", "--strict", "--quiet", str(manifest)], cwd=tmp_path, capture_output=True, timeout=60
    )
    assert done.returncode == 0, done.stderr
    assert len(report.files) == len(list(AUDIO.glob("*.*")))
    assert ran("sha256sum", str(manifest)).split()[0] == report.manifest_sha256


@needs_sox
def test_levels_agree_with_sox(tmp_path: Path) -> None:
    path = tmp_path / "01.wav"
    ran("sox", "-R", "-n", "-r", "48000", "-b", "24", "-c", "1", str(path), "synth", "7", "pinknoise", "vol", "0.3")
    told = ran("sox", str(path), "-n", "stats")
    channel = examine(tmp_path, wanted(1, seconds=7)).files[0].levels[0]
    for words, level_db in (("Pk lev dB", channel.peak_db), ("RMS lev dB", channel.rms_db)):
        found = re.search(rf"{words}\s+(-?[0-9.]+)", told)
        assert found is not None
        assert level_db == pytest.approx(float(found[1]), abs=0.006)


@needs_ffmpeg
@pytest.mark.parametrize(
    "name, words",
    [
        ("03.wav", ["-c:a", "pcm_s24le", "-rf64", "always", "-write_bext", "1", "-metadata", "time_reference=96000"]),
        ("03.flac", ["-c:a", "flac", "-sample_fmt", "s32", "-bits_per_raw_sample", "24"]),
        ("03.aiff", ["-c:a", "pcm_s24be"]),
    ],
)
def test_longer_files_of_ffmpeg_pass_and_fail_without_their_end(tmp_path: Path, name: str, words: list[str]) -> None:
    path = tmp_path / name
    noise = "anoisesrc=d=5:r=48000:a=0.2:seed=9"
    ran("ffmpeg", "-v", "error", "-f", "lavfi", "-i", noise, *words, str(path))
    report = examine(tmp_path, wanted(3, seconds=5))
    assert report.passed
    assert report.files[0].duration_us == 5_000_000
    path.write_bytes(path.read_bytes()[:-1000])
    cut = examine(tmp_path, wanted(3, seconds=5))
    assert not cut.passed
    assert {"truncated", "damaged"} & {found.code for found in cut.remarks}


@needs_ffmpeg
def test_a_file_written_to_a_pipe_was_never_closed(tmp_path: Path) -> None:
    words = ["-f", "lavfi", "-i", "anoisesrc=d=2:r=48000:seed=9", "-c:a", "pcm_s24le", "-f", "wav", "-"]
    done = subprocess.run(["ffmpeg", "-v", "error", *words], check=True, capture_output=True, timeout=60)
    (tmp_path / "03.wav").write_bytes(done.stdout)
    report = examine(tmp_path, wanted(3))
    assert not report.passed
    assert "header-lies" in {found.code for found in report.remarks}


@pytest.mark.skipif(not RECORDINGS.is_dir(), reason="needs the recordings of the Debian package alsa-utils")
def test_real_recordings_are_heard(tmp_path: Path) -> None:
    paths = sorted(RECORDINGS.glob("*.wav"))
    for path in paths:
        shutil.copy(path, tmp_path)
    report = examine(tmp_path, wanted(1))
    assert len(report.files) == len(paths) > 0
    for found in report.files:
        assert found.format is not None
        assert (found.format.rate_hz, found.format.bits) == (48_000, 16)
        assert found.levels[0].sound_us > 300_000
    assert {"damaged", "truncated", "header-lies", "not-audio"}.isdisjoint(found.code for found in report.remarks)


def test_own_test_files_are_read_alike_by_sox(tmp_path: Path) -> None:
    if shutil.which("soxi") is None:
        pytest.skip("needs the Debian package sox")
    assert ran("soxi", "-s", str(track_file(tmp_path, 1))).strip() == "96000"
