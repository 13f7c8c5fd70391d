"""Bags: written here and validated by the library's own program, the reverse, and each rule of RFC 8493 broken once."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from stock.proof.bag import check_bag, write_bag
from stock.proof.errors import CannotBag, NotReachable
from stock.proof.examine import examine
from tests.proof.waves import track_file, wanted

LIBRARY = [sys.executable, "-m", "bagit"]


def copy_of_two(folder: Path) -> Path:
    track_file(folder, 1, seconds=0.5)
    track_file(folder / "more", 2, seconds=0.5)
    return folder


def valid(folder: Path) -> bool:
    return subprocess.run([*LIBRARY, "--validate", str(folder)], capture_output=True, timeout=60).returncode == 0


@pytest.mark.parametrize("algorithms", [("sha256",), ("sha256", "sha512")])
def test_a_bag_written_here_is_valid_to_the_library(tmp_path: Path, algorithms: tuple[str, ...]) -> None:
    folder = copy_of_two(tmp_path / "copy")
    before = examine(folder, wanted(1, 2, seconds=0.5))
    manifest = write_bag(folder, info={"Source-Organization": "Studio Nine"}, algorithms=algorithms)
    assert manifest == {f"data/{file.path}": file.sha256 for file in before.files}
    assert valid(folder)
    assert check_bag(folder) == (manifest, ())
    assert (folder / "bagit.txt").read_text() == "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    assert "Source-Organization: Studio Nine" in (folder / "bag-info.txt").read_text()
    report = examine(folder, wanted(1, 2, seconds=0.5, first_copy={file.path: file.sha256 for file in before.files}))
    assert report.passed, report.remarks
    assert report.is_bag
    assert sorted(report.manifest.splitlines()) == sorted((folder / "manifest-sha256.txt").read_text().splitlines())


@pytest.mark.parametrize("algorithm", ["sha256", "sha512", "md5"])
def test_a_bag_of_the_library_is_valid_here(tmp_path: Path, algorithm: str) -> None:
    folder = copy_of_two(tmp_path / "copy")
    subprocess.run([*LIBRARY, f"--{algorithm}", str(folder)], check=True, capture_output=True, timeout=60)
    manifest, remarks = check_bag(folder)
    assert remarks == ()
    assert bool(manifest) is (algorithm == "sha256")
    report = examine(folder, wanted(1, 2, seconds=0.5))
    assert report.passed, report.remarks
    assert [file.path for file in report.files] == ["data/01 track.wav", "data/more/02 track.wav"]


@pytest.mark.parametrize("algorithm", ["sha256", "sha512", "md5"])
def test_a_flipped_bit_in_a_bag_is_found(tmp_path: Path, algorithm: str) -> None:
    folder = copy_of_two(tmp_path / "copy")
    subprocess.run([*LIBRARY, f"--{algorithm}", str(folder)], check=True, capture_output=True, timeout=60)
    path = folder / "data" / "01 track.wav"
    content = bytearray(path.read_bytes())
    content[5_000] ^= 4
    path.write_bytes(content)
    report = examine(folder, wanted(1, 2, seconds=0.5))
    assert [(found.code, found.path) for found in report.remarks] == [("hash-differs", "data/01 track.wav")]
    assert [found.code for found in check_bag(folder)[1]] == ["bag-invalid"]


def append(name: str, text: str) -> Callable[[Path], None]:
    def act(bag: Path) -> None:
        with (bag / name).open("a") as file:
            file.write(text)

    return act


def replace(name: str, old: str, new: str) -> Callable[[Path], None]:
    def act(bag: Path) -> None:
        text = (bag / name).read_text()
        assert old in text
        (bag / name).write_text(text.replace(old, new, 1))

    return act


def double_line(bag: Path) -> None:
    path = bag / "manifest-sha512.txt"
    path.write_text(path.read_text() + path.read_text().splitlines()[0] + "\n")


def second_manifest_short(bag: Path) -> None:
    path = bag / "manifest-sha512.txt"
    path.write_text("\n".join(path.read_text().splitlines()[1:]) + "\n")


def no_manifest(bag: Path) -> None:
    for path in bag.glob("manifest-*.txt"):
        path.unlink()


def name_twice_with_a_code(bag: Path) -> None:
    """The same path in two spellings is one file."""
    digest = hashlib.sha256((bag / "data" / "01 track.wav").read_bytes()).hexdigest()
    append("manifest-sha256.txt", f"{digest}  data/../data/01 track.wav\n")(bag)


ZERO = "0" * 64
BROKEN: dict[str, Callable[[Path], None]] = {
    "no declaration": lambda bag: (bag / "bagit.txt").write_text(""),
    "declaration with a mark": lambda bag: (bag / "bagit.txt").write_bytes(
        b"\xef\xbb\xbf" + (bag / "bagit.txt").read_bytes()
    ),
    "third line": append("bagit.txt", "Also: this\n"),
    "lines the other way": lambda bag: (bag / "bagit.txt").write_text(
        "Tag-File-Character-Encoding: UTF-8\nBagIt-Version: 1.0\n"
    ),
    "unknown version": replace("bagit.txt", "1.0", "7.0"),
    "unknown encoding": replace("bagit.txt", "UTF-8", "UTF-99"),
    "wrong encoding": lambda bag: (bag / "manifest-sha256.txt").write_bytes(b"\xff\xfe\xfd"),
    "no payload folder": lambda bag: (bag / "data").rename(bag / "dato"),
    "no manifest": no_manifest,
    "unknown hash of tag files": append("tagmanifest-crc32.txt", "00000000  bag-info.txt\n"),
    "unknown hash": append("manifest-crc32.txt", "00000000  data/01 track.wav\n"),
    "payload file in no manifest": append("data/stray.txt", "x"),
    "payload file in one manifest and not in the other": second_manifest_short,
    "file twice in a manifest": double_line,
    "file twice by two spellings": name_twice_with_a_code,
    "file that is not there": append("manifest-sha256.txt", f"{ZERO}  data/03.wav\n"),
    "file gone": lambda bag: (bag / "data" / "01 track.wav").unlink(),
    "payload changed": append("data/more/02 track.wav", "x"),
    "broken line": append("manifest-sha256.txt", "data/01 track.wav\n"),
    "short hash": append("manifest-sha256.txt", "00  data/01 track.wav\n"),
    "path out of the bag": append("manifest-sha256.txt", f"{ZERO}  ../../secret\n"),
    "path out of the payload": append("manifest-sha256.txt", f"{ZERO}  data/../../secret\n"),
    "absolute path": append("manifest-sha256.txt", f"{ZERO}  /etc/hostname\n"),
    "home path": append("manifest-sha256.txt", f"{ZERO}  ~/x\n"),
    "drive path": append("manifest-sha256.txt", f"{ZERO}  c:/x\n"),
    "backslash path": append("manifest-sha256.txt", f"{ZERO}  data\\x\n"),
    "star before the path": replace("manifest-sha256.txt", "  data", " *data"),
    "tag file in a payload manifest": append("manifest-sha256.txt", f"{ZERO}  bagit.txt\n"),
    "tag file changed": append("bag-info.txt", "Contact-Name: nobody\n"),
    "tag file gone": lambda bag: (bag / "bag-info.txt").unlink(),
    "tag manifest names a tag manifest": append("tagmanifest-sha256.txt", f"{ZERO}  tagmanifest-sha512.txt\n"),
    "tag manifest names payload": append("tagmanifest-sha256.txt", f"{ZERO}  data/01 track.wav\n"),
    "size that does not add up": replace("bag-info.txt", "Payload-Oxum: ", "Payload-Oxum: 9"),
    "still to be fetched": append("fetch.txt", "https://example.org/3 10 data/03.wav\n"),
    "fetched out of the bag": append("fetch.txt", "https://example.org/3 10 ../03.wav\n"),
    "broken fetch": append("fetch.txt", "data/03.wav\n"),
    "link in the payload": lambda bag: (bag / "data" / "03.wav").symlink_to("/etc/hostname"),
    "pipe for a tag file": lambda bag: ((bag / "bag-info.txt").unlink(), os.mkfifo(bag / "bag-info.txt")),
}  # fmt: skip


@pytest.fixture(scope="module")
def bag(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = copy_of_two(tmp_path_factory.mktemp("bag") / "copy")
    write_bag(folder, algorithms=("sha256", "sha512"))
    return folder


@pytest.mark.parametrize("rule", BROKEN)
def test_each_rule_broken_is_caught(bag: Path, tmp_path: Path, rule: str) -> None:
    folder = tmp_path / "copy"
    subprocess.run(["cp", "-a", str(bag), str(folder)], check=True, timeout=60)
    assert check_bag(folder)[1] == ()
    BROKEN[rule](folder)
    remarks = check_bag(folder)[1]
    assert "fail" in {found.severity for found in remarks}
    assert {found.code for found in remarks if found.severity == "fail"} <= {"bag-invalid", "not-regular"}
    report = examine(folder, wanted(1, 2, seconds=0.5))
    assert not report.passed
    for found in report.remarks:
        assert found.says.isprintable()


def test_one_name_in_two_cases_is_remarked_on(tmp_path: Path) -> None:
    folder = tmp_path / "copy"
    track_file(folder, 1, name="01 Kick.wav", seconds=0.5)
    track_file(folder, 2, name="01 kick.wav", seconds=0.5)
    if len(list(folder.iterdir())) == 1:
        pytest.skip("this file system knows no case")
    write_bag(folder)
    assert {found.code for found in check_bag(folder)[1]} == {"name-clash"}


@pytest.mark.parametrize(
    "prepare",
    [
        lambda folder: None,
        lambda folder: write_bag(copy_of_two(folder)),
        lambda folder: (copy_of_two(folder) / "x.wav").symlink_to("/etc/hostname"),
        lambda folder: track_file(folder, 1, name="100% wet.wav"),
        lambda folder: (copy_of_two(folder) / ".DS_Store").write_bytes(b"x"),
        lambda folder: os.mkfifo(copy_of_two(folder) / "pipe"),
    ],
    ids=["empty", "a bag already", "a link", "a percent sign", "a file manager's file", "a pipe"],
)
def test_what_is_no_copy_of_plain_files_is_not_bagged(tmp_path: Path, prepare: Callable[[Path], object]) -> None:
    folder = tmp_path / "copy"
    folder.mkdir()
    prepare(folder)
    before = sorted(os.walk(folder))
    with pytest.raises(CannotBag):
        write_bag(folder)
    assert sorted(os.walk(folder)) == before


def test_a_folder_that_is_not_there_or_is_too_much_is_not_bagged(tmp_path: Path) -> None:
    with pytest.raises(NotReachable):
        write_bag(tmp_path / "none")
    with pytest.raises(CannotBag):
        write_bag(Path("/proc"))


def test_the_folder_this_program_runs_in_is_not_bagged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(copy_of_two(tmp_path))
    with pytest.raises(CannotBag):
        write_bag(tmp_path)
