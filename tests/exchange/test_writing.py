"""Folders written: which files there are, who may read them, and what a failure leaves behind."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from stock.core.kinds import BY_FILE
from stock.core.moments import Calendar
from stock.edge.dump import dump_columns
from stock.exchange.reading import read
from stock.exchange.writing import FolderNotEmpty, write_folder

MACHINES, LISTENS = BY_FILE["machines"], BY_FILE["listens"]


def machine(name: str) -> dict[str, str]:
    return dict.fromkeys(dump_columns(MACHINES), "") | {"machine": name}


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_file_is_written_for_each_kind_that_has_facts(tmp_path: Path) -> None:
    folder = tmp_path / "some" / "house"
    written = write_folder(folder, [(MACHINES, [machine("M-1"), machine("M-2")]), (LISTENS, [])])
    assert written == [folder / "machines.csv"]
    assert names(folder) == ["machines.csv"]
    content = (folder / "machines.csv").read_bytes()
    assert content == b"machine,width,tracks,largest_reel,speeds,note,entry,recorded_at\nM-1,,,,,,,\nM-2,,,,,,,\n"


def test_only_what_must_be_is_quoted(tmp_path: Path) -> None:
    write_folder(tmp_path, [(MACHINES, [machine("M-1") | {"note": 'a "b", c\nd'}])])
    assert b'M-1,,,,,"a ""b"", c\nd",,\n' in (tmp_path / "machines.csv").read_bytes()


def test_files_are_their_owners_alone_whatever_the_mask(tmp_path: Path) -> None:
    folder = tmp_path / "house"
    before = os.umask(0)
    try:
        write_folder(folder, [(MACHINES, [machine("M-1")])])
    finally:
        os.umask(before)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE((folder / "machines.csv").stat().st_mode) == 0o600


def test_a_folder_that_holds_something_is_refused(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    with pytest.raises(FolderNotEmpty, match="is not empty") as refused:
        write_folder(tmp_path, [(MACHINES, [machine("M-1")])])
    assert (refused.value.folder, refused.value.code) == (tmp_path, "folder-not-empty")
    assert names(tmp_path) == ["notes.txt"]


def test_a_dump_over_an_earlier_one_leaves_nothing_of_it(tmp_path: Path) -> None:
    write_folder(tmp_path, [(MACHINES, [machine("M-1")]), (LISTENS, [dict.fromkeys(dump_columns(LISTENS), "x")])])
    (tmp_path / "notes.txt").write_text("mine")
    write_folder(tmp_path, [(MACHINES, [machine("M-2")])], overwrite=True)
    assert names(tmp_path) == ["machines.csv", "notes.txt"]
    assert [fact.values[0] for _, fact in read(tmp_path, Calendar()).rows["machines"].rows] == ["M-2"]


def test_a_link_in_the_place_of_a_file_is_replaced_and_not_followed(tmp_path: Path) -> None:
    precious = tmp_path / "precious"
    precious.write_text("keep me")
    folder = tmp_path / "house"
    folder.mkdir()
    (folder / "machines.csv").symlink_to(precious)
    (folder / "takes.csv").symlink_to(precious)
    write_folder(folder, [(MACHINES, [machine("M-1")])], overwrite=True)
    assert precious.read_text() == "keep me"
    assert names(folder) == ["machines.csv"]
    assert not (folder / "machines.csv").is_symlink()


def test_a_failure_leaves_the_folder_as_it_was(tmp_path: Path) -> None:
    def broken() -> Iterator[dict[str, str]]:
        yield machine("M-2")
        raise RuntimeError("lost")

    write_folder(tmp_path, [(LISTENS, [dict.fromkeys(dump_columns(LISTENS), "x")]), (MACHINES, [machine("M-1")])])
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    for sheets in ([(LISTENS, []), (MACHINES, broken())], [(MACHINES, [machine("M-2")]), (MACHINES, [machine("M-3")])]):
        with pytest.raises((RuntimeError, ValueError)):
            write_folder(tmp_path, sheets, overwrite=True)
        assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_files_are_synced_before_they_take_their_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[str] = []
    sync, replace = os.fsync, Path.replace

    def syncing(handle: int) -> None:
        done.append("folder synced" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file synced")
        sync(handle)

    def replacing(part: Path, target: Path) -> Path:
        done.append(f"{target.name} in place")
        return replace(part, target)

    monkeypatch.setattr(os, "fsync", syncing)
    monkeypatch.setattr(Path, "replace", replacing)
    listens = [dict.fromkeys(dump_columns(LISTENS), "x")]
    write_folder(tmp_path, [(MACHINES, [machine("M-1")]), (LISTENS, listens)])
    synced = ["file synced", "file synced"]
    assert done == [*synced, "machines.csv in place", "listens.csv in place", "folder synced"]
