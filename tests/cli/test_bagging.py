"""Bags on the command line: one written here and taken there, and what is none."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from stock.cli.demo import NOW_US
from tests.cli.conftest import Call
from tests.proved_house import DAY_US, TRANSFER, damage, proved_house


@pytest.fixture
def proved(tmp_path: Path) -> Path:
    desk = proved_house(tmp_path, NOW_US - DAY_US)
    desk.close()
    return desk.store.path


def checked(call: Call, on: Path, folder: Path) -> int:
    words = ("--medium", "card", "--place", "elsewhere", "--own-medium")
    return call("bag", "check", TRANSFER, str(folder), *words, on=on).status


def test_a_bag_is_written_and_taken_as_a_copy(call: Call, proved: Path, tmp_path: Path) -> None:
    shutil.copytree(tmp_path / "a", tmp_path / "c")
    ran = call("bag", "write", TRANSFER, str(tmp_path / "c"), "--json", on=proved)
    assert ran.status == 0, ran.err
    assert all(file["path"].startswith("data/") for file in ran.answer["files"])
    assert f"External-Identifier: {TRANSFER}" in (tmp_path / "c" / "bag-info.txt").read_text()
    assert checked(call, proved, tmp_path / "c") == 0
    damage(tmp_path / "c")
    assert checked(call, proved, tmp_path / "c") == 1


def test_what_is_no_bag_is_not_taken(call: Call, proved: Path, tmp_path: Path) -> None:
    assert checked(call, proved, tmp_path / "a") == 1
    assert checked(call, proved, tmp_path / "nowhere") == 2
    assert call("bag", "write", "T-9", str(tmp_path / "a"), on=proved).status == 2
    assert not (tmp_path / "a" / "data").exists(), "nothing is moved for a transfer nobody entered"
