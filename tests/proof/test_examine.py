"""A copy proved as a whole: progress, stopping, taking up again, media, and what is not reachable."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from stock.proof.errors import NotReachable
from stock.proof.examine import examine
from stock.proof.expectation import Limits
from stock.proof.facts import Progress, Report
from stock.proof.media import reachable, same_medium
from tests.proof.waves import track_file, wanted

TRACKS = (1, 2, 3, 4)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    folder = tmp_path / "copy"
    for track in TRACKS:
        track_file(folder, track)
    return folder


def test_a_good_copy_passes(copy: Path) -> None:
    report = examine(copy, wanted(*TRACKS))
    assert report.passed
    assert report.remarks == ()
    assert [file.tracks for file in report.files] == [(1,), (2,), (3,), (4,)]
    assert report.bytes_read == sum(path.stat().st_size for path in copy.iterdir())


def test_progress_goes_up_to_the_whole(copy: Path) -> None:
    told: list[Progress] = []
    examine(copy, wanted(*TRACKS), told=told.append)
    total = sum(path.stat().st_size for path in copy.iterdir())
    assert told[-1][1:] == (4, 4, total, total, 0.0)
    assert [seen.bytes_done for seen in told] == sorted(seen.bytes_done for seen in told)


def stopped_after(files: int, copy: Path, kept: Path, **other: object) -> Report:
    """A reading that is stopped once so many files are done."""
    done = [0]

    def tell(progress: Progress) -> None:
        done[0] = progress.files_done

    return examine(copy, wanted(*TRACKS, **other), told=tell, stop=lambda: done[0] >= files, resume=kept)


def test_a_stopped_reading_is_no_pass_and_is_taken_up_where_it_was(copy: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept.json"
    report = stopped_after(2, copy, kept)
    assert report.stopped
    assert not report.passed
    again = examine(copy, wanted(*TRACKS), resume=kept)
    assert again.passed
    assert again.remarks == ()
    whole = examine(copy, wanted(*TRACKS))
    assert again.files == whole.files
    assert again.bytes_read + sum(file.size_bytes for file in report.files) == whole.bytes_read
    assert not kept.exists()


def test_stopping_before_anything_is_read(copy: Path, tmp_path: Path) -> None:
    report = examine(copy, wanted(*TRACKS), stop=lambda: True, resume=tmp_path / "kept.json")
    assert (report.files, report.passed, report.stopped, report.bytes_read) == ((), False, True, 0)


def test_a_file_that_changed_meanwhile_is_read_again(copy: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept.json"
    stopped = stopped_after(2, copy, kept)
    path = copy / stopped.files[0].path
    content = path.read_bytes()
    about = path.stat()
    path.write_bytes(content[:-3] + b"\1\2\3")
    os.utime(path, ns=(about.st_atime_ns, about.st_mtime_ns))
    again = examine(copy, wanted(*TRACKS), resume=kept)
    assert again.files[0].sha256 != stopped.files[0].sha256


@pytest.mark.parametrize(
    "damage",
    [
        lambda path: path.write_bytes(b""),
        lambda path: path.write_bytes(b"[1, 2"),
        lambda path: path.write_bytes(b"[]"),
        lambda path: path.write_bytes(os.urandom(500)),
        lambda path: path.write_text(path.read_text().replace("0", "1", 1)),
        lambda path: path.write_text(json.dumps({"sha256": "x", "body": {}})),
        lambda path: (path.unlink(), path.mkdir()),
        lambda path: (path.unlink(), os.mkfifo(path)),
    ],
)
def test_a_damaged_record_is_not_believed(copy: Path, tmp_path: Path, damage: Callable[[Path], object]) -> None:
    kept = tmp_path / "kept.json"
    stopped_after(2, copy, kept)
    damage(kept)
    report = examine(copy, wanted(*TRACKS), resume=kept)
    assert report.passed
    assert [found.code for found in report.remarks] == ["resume-refused"]
    assert report.bytes_read == sum(path.stat().st_size for path in copy.iterdir())


def test_a_record_of_another_hand_is_not_believed(copy: Path, tmp_path: Path) -> None:
    """A result altered in the record does not fit the record's own hash."""
    kept = tmp_path / "kept.json"
    digest = stopped_after(2, copy, kept).files[0].sha256
    kept.write_text(kept.read_text().replace(digest, "0" * 64))
    report = examine(copy, wanted(*TRACKS), resume=kept)
    assert [found.code for found in report.remarks] == ["resume-refused"]
    assert report.files[0].sha256 == digest


@pytest.mark.parametrize("limits", [Limits(silence_db=-60.0), Limits(resume_us=0)])
def test_a_record_of_other_limits_or_too_old_is_not_used(copy: Path, tmp_path: Path, limits: Limits) -> None:
    kept = tmp_path / "kept.json"
    stopped_after(2, copy, kept)
    report = examine(copy, wanted(*TRACKS, limits=limits), resume=kept)
    assert [found.code for found in report.remarks] == ["resume-refused"]


def test_a_record_of_another_folder_is_not_used(copy: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept.json"
    stopped_after(2, copy, kept)
    copy.rename(tmp_path / "other")
    report = examine(tmp_path / "other", wanted(*TRACKS), resume=kept)
    assert [found.code for found in report.remarks] == ["resume-refused"]


def test_where_nothing_can_be_kept_it_is_said(copy: Path, tmp_path: Path) -> None:
    report = examine(copy, wanted(*TRACKS), stop=lambda: True, resume=tmp_path / "none" / "kept.json")
    assert [found.code for found in report.remarks] == ["resume-unsaved"]


def test_a_reading_that_was_killed_is_taken_up(copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What ends the calling thread ends the reading, and keeps what was read."""
    kept = tmp_path / "kept.json"

    def tell(progress: Progress) -> None:
        if progress.files_done:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        examine(copy, wanted(*TRACKS), told=tell, resume=kept)
    again = examine(copy, wanted(*TRACKS), resume=kept)
    assert again.passed
    assert again.bytes_read < sum(path.stat().st_size for path in copy.iterdir())


@pytest.mark.parametrize("name", ["none", "file", "loop", "x" * 300, "nul\0"])
def test_a_folder_that_is_not_there_is_neither_failed_nor_passed(tmp_path: Path, name: str) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    with pytest.raises(NotReachable):
        examine(tmp_path / name, wanted(1))


def test_a_medium_taken_away_before_its_files_are_read(copy: Path) -> None:
    def take_away() -> bool:
        """Asked first once the files are listed, and before any is opened."""
        if copy.exists():
            away = copy.rename(copy.with_name("away"))
            for path in away.iterdir():
                path.unlink()
        return False

    with pytest.raises(NotReachable):
        examine(copy, wanted(*TRACKS), stop=take_away)


def test_the_persons_own_path_may_go_through_a_link(copy: Path, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(copy)
    assert examine(tmp_path / "link", wanted(*TRACKS)).passed


def test_two_folders_on_one_file_system_are_one_medium(copy: Path, tmp_path: Path) -> None:
    assert same_medium(copy, tmp_path)
    assert not same_medium(copy, Path("/proc"))
    with pytest.raises(NotReachable):
        same_medium(copy, tmp_path / "none")


def test_an_empty_folder_may_be_where_a_medium_is_yet_to_be_mounted(copy: Path, tmp_path: Path) -> None:
    assert reachable(copy)
    (tmp_path / "empty").mkdir()
    assert not reachable(tmp_path / "empty")
    assert not reachable(tmp_path / "none")
    assert not reachable(copy / "01 track.wav")


def test_nothing_heavy_is_imported_before_it_is_used() -> None:
    words = (
        "import sys, stock.proof.examine, stock.proof.bag, stock.proof.media;"
        "print([name for name in ('numpy', 'soundfile', 'bagit', 'pydantic', 'pint') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.strip() == "[]"


def test_nothing_is_written_to_the_copy(copy: Path) -> None:
    before = {path: path.stat() for path in copy.iterdir()}
    about = copy.stat()
    examine(copy, wanted(*TRACKS))
    assert {path: path.stat().st_mtime_ns for path in copy.iterdir()} == {p: s.st_mtime_ns for p, s in before.items()}
    assert copy.stat().st_mtime_ns == about.st_mtime_ns


def test_memory_does_not_grow_with_length(tmp_path: Path) -> None:
    """Peak memory of a process that proves 40 MB (2 GB at night) is that of one that proves 2 MB, and a few more."""
    words = [sys.executable, "-m", "tests.bench.bench_proof", "--peak"]
    peaks = []
    for gigabytes in ("0.002", "2" if os.environ.get("REELWARD_NIGHTLY") else "0.04"):
        done = subprocess.run(
            [*words, gigabytes], capture_output=True, text=True, check=True, timeout=600, cwd=Path(__file__).parents[2]
        )
        peaks.append(int(done.stdout.rsplit(" ", 2)[1]))
    assert peaks[1] < peaks[0] + 15
