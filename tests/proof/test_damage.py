"""Broken input of every kind: a failed check with a plain reason, never an exception, a hang or a pass."""

from __future__ import annotations

import hashlib
import os
import struct
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from stock.proof import reading
from stock.proof.examine import examine
from stock.proof.expectation import Limits
from stock.proof.facts import Report
from stock.proof.files import Folder
from tests.proof.waves import bext, chunk, form, packed, samples, track_file, wanted, wave

AUDIO = Path(__file__).parents[1] / "data" / "audio"
SOUND = packed(samples())
GOOD = wave(SOUND, bext_chunk := chunk(b"bext", bext(0)))
WIDE = (
    b"RF64" + struct.pack("<I", 0xFFFFFFFF) + b"WAVE"
    + chunk(b"ds64", struct.pack("<QQQI", len(SOUND) + 4 + 36 + 24 + 8, len(SOUND), len(SOUND) // 3, 0))
    + chunk(b"fmt ", form()) + b"data" + struct.pack("<I", 0xFFFFFFFF) + SOUND
)  # fmt: skip


def proved(folder: Path) -> Report:
    """The report on a folder that should hold track 1, within a time that no honest reading takes."""
    found: list[Report | BaseException] = []

    def run() -> None:
        try:
            found.append(examine(folder, wanted(1)))
        except BaseException as error:
            found.append(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(60)
    assert found, "the proof hangs"
    assert isinstance(found[0], Report), found[0]
    return found[0]


def codes(report: Report) -> set[str]:
    return {found.code for found in report.remarks if found.severity == "fail"}


def must_fail(folder: Path, *expected: str) -> Report:
    report = proved(folder)
    assert not report.passed
    assert codes(report) & set(expected), report.remarks
    for found in report.remarks:
        assert found.says and found.remedy
        assert found.says.isprintable()
        assert "Error" not in found.says and "Traceback" not in found.says
    return report


def test_the_whole_files_pass(tmp_path: Path) -> None:
    for number, content in enumerate((GOOD, WIDE)):
        folder = tmp_path / str(number)
        folder.mkdir()
        (folder / "01.wav").write_bytes(content)
        report = proved(folder)
        assert report.passed, report.remarks


CUTS = sorted({0, 1, 3, 4, 7, 8, 11, 12, 15, 20, 30, 100, 500, 621, 640, 650, 657, 658, 659, 660, 700}) + [
    len(GOOD) * n // 8 for n in range(1, 8)
] + [len(GOOD) - n for n in (1000, 100, 4, 3, 2, 1)]  # fmt: skip


@pytest.mark.parametrize("size", CUTS)
def test_truncated(tmp_path: Path, size: int) -> None:
    assert len(CUTS) >= 30
    (tmp_path / "01.wav").write_bytes(GOOD[:size])
    must_fail(tmp_path, "truncated", "not-audio")


@pytest.mark.parametrize("size", [13, 30, 48, 60, 79, 85, 90, len(WIDE) // 2, len(WIDE) - 1])
def test_truncated_wide(tmp_path: Path, size: int) -> None:
    (tmp_path / "01.wav").write_bytes(WIDE[:size])
    must_fail(tmp_path, "truncated")


LIES: dict[str, bytes] = {
    "whole too small": wave(SOUND, size=100),
    "whole too large": wave(SOUND, size=len(SOUND) + 1000),
    "whole zero": wave(SOUND, size=0),
    "sound zero": b"RIFF" + struct.pack("<I", len(SOUND) + 36) + b"WAVE" + chunk(b"fmt ", form())
    + b"data\0\0\0\0" + SOUND,
    "sound unstated": b"RIFF\xff\xff\xff\xffWAVE" + chunk(b"fmt ", form()) + b"data\xff\xff\xff\xff" + SOUND,
    "sound too large": GOOD.replace(b"data" + struct.pack("<I", len(SOUND)), b"data" + struct.pack("<I", 1 << 30)),
    "sound too small": GOOD.replace(b"data" + struct.pack("<I", len(SOUND)), b"data" + struct.pack("<I", 300)),
    "half a frame": wave(SOUND[:-1]),
    "no sound": wave(b""),
    "no channels": wave(SOUND, shape=form(channels=0)),
    "65535 channels": wave(SOUND, shape=form(channels=65_535, block=3)),
    "no rate": wave(SOUND, shape=form(rate_hz=0)),
    "mad rate": wave(SOUND, shape=form(rate_hz=2_000_000_000, block=1)),
    "no bits": wave(SOUND, shape=form(bits=0)),
    "19 bits": wave(SOUND, shape=form(bits=19)),
    "wrong frame": wave(SOUND, shape=form(block=4)),
    "two formats": wave(SOUND, chunk(b"fmt ", form(channels=2))),
    "two sounds": wave(SOUND, after=chunk(b"data", SOUND[:300])),
    "short format": wave(SOUND, shape=b"\1\0\1\0"),
    "coded": wave(SOUND, shape=form(code=17)),
    "no format": b"RIFF" + struct.pack("<I", len(SOUND) + 12) + b"WAVE" + chunk(b"data", SOUND),
    "no ds64": b"RF64\xff\xff\xff\xffWAVE" + chunk(b"fmt ", form()) + chunk(b"data", SOUND),
    "short bext": wave(SOUND, chunk(b"bext", b"x" * 100)),
    "garbage behind": GOOD + b"\0garbage" * 20,
    "endless chunks": b"RIFF" + struct.pack("<I", 80_004) + b"WAVE" + b"junk\0\0\0\0" * 10_000,
    "not samples": wave(struct.pack("<96000f", *[float("nan")] * 96_000), shape=form(bits=32, code=3)),
}  # fmt: skip


@pytest.mark.parametrize("kind", LIES)
def test_headers_that_lie(tmp_path: Path, kind: str) -> None:
    (tmp_path / "01.wav").write_bytes(LIES[kind])
    must_fail(tmp_path, "header-lies", "truncated", "damaged", "not-audio")


@pytest.mark.parametrize(
    "content",
    [
        b"", b"\0" * 50_000, b"just words, renamed\n" * 100, os.urandom(4096), b"RIFF\0\0\0\0AVI " + b"\0" * 100,
        b"ID3\4\0\0\0\0\0\0" + b"\xff\xfb\x90\0" * 500, b"OggS" + b"\0" * 500, b"FORM\0\0\0\x10AIFF", b"fLaC",
        b"FORM" + struct.pack(">I", 100) + b"AIFFCOMM" + struct.pack(">IhIh", 18, 1, 9, 24) + b"\0" * 90,
        b"fLaC\x80\0\0\x22" + b"\0" * 34, b"fLaC\x00\0\0\x22" + b"\xff" * 3000,
    ],
)  # fmt: skip
@pytest.mark.parametrize("name", ["01.wav", "01.flac"])
def test_what_is_no_audio(tmp_path: Path, content: bytes, name: str) -> None:
    (tmp_path / name).write_bytes(content)
    must_fail(tmp_path, "not-audio", "truncated", "header-lies", "damaged")


@pytest.mark.parametrize("name", ["ffmpeg.flac", "sox.flac", "ffmpeg.aiff", "sox.aiff"])
@pytest.mark.parametrize("share", [0.001, 0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99, 0.9995])
def test_truncated_flac_and_aiff(tmp_path: Path, name: str, share: float) -> None:
    content = (AUDIO / name).read_bytes()
    (tmp_path / f"01 {name}").write_bytes(content[: int(len(content) * share)])
    must_fail(tmp_path, "truncated", "damaged", "header-lies")


@pytest.mark.parametrize("share", [n / 30 for n in range(8, 30)])
def test_a_flipped_bit_in_flac_is_found_without_a_first_copy(tmp_path: Path, share: float) -> None:
    """Each FLAC frame carries a check of its own (RFC 9639); the padding at the head of the file does not."""
    content = bytearray((AUDIO / "ffmpeg.flac").read_bytes())
    content[int(len(content) * share)] ^= 16
    (tmp_path / "01.flac").write_bytes(content)
    must_fail(tmp_path, "damaged")


def test_sound_that_is_not_all_there_is_named_with_how_much(tmp_path: Path) -> None:
    (tmp_path / "01.wav").write_bytes(GOOD[:-3000])
    report = must_fail(tmp_path, "truncated")
    assert f"promises {len(SOUND)} bytes of sound and {len(SOUND) - 3000} are there" in report.remarks[0].says


def test_a_folder_in_place_of_a_file(tmp_path: Path) -> None:
    (tmp_path / "01 kick.wav").mkdir()
    must_fail(tmp_path, "track-missing")


def beside(folder: Path) -> Path:
    """A whole file in the folder: what is broken beside it must fail the copy all the same."""
    return track_file(folder, 1)


@pytest.mark.parametrize(
    "make",
    [
        lambda path: path.symlink_to(path.parent / "01 track.wav"),
        lambda path: path.symlink_to(path),
        lambda path: path.symlink_to("/nowhere/at/all"),
        lambda path: path.symlink_to(path.parent),
        lambda path: path.symlink_to("/dev/zero"),
        lambda path: os.mkfifo(path),
    ],
    ids=["link", "link to itself", "dangling link", "link to its folder", "link to a device", "pipe"],
)
def test_links_and_pipes_are_not_opened(tmp_path: Path, make: Callable[[Path], None]) -> None:
    beside(tmp_path)
    make(tmp_path / "02.wav")
    report = must_fail(tmp_path, "not-regular")
    assert [found.path for found in report.files] == ["01 track.wav"]


def test_two_links_in_a_loop(tmp_path: Path) -> None:
    beside(tmp_path)
    (tmp_path / "02.wav").symlink_to(tmp_path / "03.wav")
    (tmp_path / "03.wav").symlink_to(tmp_path / "02.wav")
    must_fail(tmp_path, "not-regular")


@pytest.mark.skipif(os.geteuid() != 0, reason="needs root to make a device")
def test_devices_are_not_opened(tmp_path: Path) -> None:
    beside(tmp_path)
    try:
        os.mknod(tmp_path / "02.wav", 0o020666, os.makedev(1, 5))
    except PermissionError:
        pytest.skip("devices cannot be made here")
    must_fail(tmp_path, "not-regular")


@pytest.mark.parametrize("name", ["02\x1b[31m.wav", "02\n.wav", "02\r.wav", "02\x07.wav", "02\u202e.wav", "02\\.wav"])
def test_names_that_cannot_be_seen(tmp_path: Path, name: str) -> None:
    beside(tmp_path)
    (tmp_path / name).write_bytes(GOOD)
    must_fail(tmp_path, "name-unsafe")


def test_a_name_that_is_no_text(tmp_path: Path) -> None:
    beside(tmp_path)
    try:
        Path(os.fsdecode(os.fsencode(tmp_path) + b"/02\xff.wav")).write_bytes(GOOD)
    except OSError:
        pytest.skip("this file system takes no such name")
    must_fail(tmp_path, "name-unsafe")


@contextmanager
def as_nobody() -> Iterator[Path]:
    """A folder that somebody without rights reads, who this process is meanwhile."""
    with tempfile.TemporaryDirectory() as made:
        Path(made).chmod(0o755)
        if os.geteuid() == 0:
            os.seteuid(65_534)
            try:
                yield Path(made)
            finally:
                os.seteuid(0)
        else:
            yield Path(made)


def test_a_file_that_may_not_be_read() -> None:
    with as_nobody() as folder:
        euid = os.geteuid()
        if euid == 65_534:
            os.seteuid(0)
        beside(folder).chmod(0)
        os.seteuid(euid)
        must_fail(folder, "cannot-read")


def test_a_folder_that_may_not_be_listed() -> None:
    with as_nobody() as folder:
        euid = os.geteuid()
        if euid == 65_534:
            os.seteuid(0)
        beside(folder)
        closed = folder / "closed"
        closed.mkdir(mode=0)
        os.seteuid(euid)
        try:
            must_fail(folder, "cannot-read")
        finally:
            if euid != 65_534:
                closed.chmod(0o700)


def test_an_empty_folder(tmp_path: Path) -> None:
    must_fail(tmp_path, "no-files")


def test_what_file_managers_leave_is_no_audio_and_no_fault(tmp_path: Path) -> None:
    beside(tmp_path)
    (tmp_path / "._01 track.wav").write_bytes(b"\0\5\x16\7")
    (tmp_path / ".DS_Store").write_bytes(b"\0")
    (tmp_path / "track sheet.txt").write_text("1 kick")
    report = proved(tmp_path)
    assert report.passed
    assert [found.code for found in report.remarks] == ["left-out", "left-out", "other-file"]
    assert [found.path for found in report.files] == ["01 track.wav", "track sheet.txt"]


@pytest.mark.parametrize(
    "happens, code",
    [
        (lambda path: os.truncate(path, 1000), "shrank"),
        (lambda path: path.write_bytes(path.read_bytes() + b"\0" * 100), "changed"),
        (lambda path: path.unlink(), "changed"),
        (lambda path: (path.unlink(), path.write_bytes(GOOD)), "changed"),
        (lambda path: (path.unlink(), path.symlink_to("/dev/zero")), "changed"),
    ],
    ids=["shrinks", "grows", "goes", "is replaced", "becomes a link"],
)
def test_a_file_that_changes_while_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, happens: Callable[[Path], None], code: str
) -> None:
    path = beside(tmp_path)
    monkeypatch.setattr(reading, "_CHUNK_BYTES", 4096)
    folder = Folder(tmp_path)
    entries, _ = folder.entries()
    pending = [happens]

    def read(count: int) -> None:
        if pending:
            pending.pop()(path)

    found = reading.read_file(folder, entries[0], Limits(), (), read)
    folder.close()
    assert found.facts is None
    assert code in [remark.code for remark in found.remarks]


@pytest.mark.parametrize(
    "happens",
    [
        lambda path: path.unlink(),
        lambda path: (path.unlink(), os.mkfifo(path)),
        lambda path: (path.unlink(), path.symlink_to("/dev/zero")),
        lambda path: (path.unlink(), path.mkdir()),
        lambda path: path.write_bytes(GOOD),
    ],
    ids=["gone", "a pipe now", "a link now", "a folder now", "written anew"],
)
def test_a_file_that_changes_after_it_was_listed(tmp_path: Path, happens: Callable[[Path], None]) -> None:
    path = beside(tmp_path)
    folder = Folder(tmp_path)
    entries, _ = folder.entries()
    happens(path)
    found = reading.read_file(folder, entries[0], Limits(), (), lambda count: None)
    folder.close()
    assert found.facts is None
    assert {remark.code for remark in found.remarks} <= {"file-missing", "cannot-read", "changed"}
    assert found.remarks


def test_a_subfolder_replaced_by_a_link_is_not_entered(tmp_path: Path) -> None:
    path = track_file(tmp_path / "copy" / "session", 1)
    folder = Folder(tmp_path / "copy")
    entries, _ = folder.entries()
    path.parent.rename(tmp_path / "elsewhere")
    path.parent.symlink_to(tmp_path / "elsewhere")
    found = reading.read_file(folder, entries[0], Limits(), (), lambda count: None)
    folder.close()
    assert found.facts is None
    assert [remark.code for remark in found.remarks] == ["cannot-read"]


@pytest.mark.parametrize("place", range(332))
def test_any_flipped_bit_is_found_against_the_first_copy(tmp_path: Path, place: int) -> None:
    content = wave(packed(samples(0.002)), shape=form())
    assert len(content) == 332
    path = tmp_path / "01.wav"
    path.write_bytes(content)
    if place == 0:
        assert examine(tmp_path, wanted(1, seconds=0.002, first_copy=first_copy(content))).passed
    path.write_bytes(content[:place] + bytes([content[place] ^ 1 << place % 8]) + content[place + 1 :])
    report = examine(tmp_path, wanted(1, seconds=0.002, first_copy=first_copy(content)))
    assert not report.passed
    assert "hash-differs" in {found.code for found in report.remarks}


def first_copy(content: bytes) -> dict[str, str]:
    return {"01.wav": hashlib.sha256(content).hexdigest()}
