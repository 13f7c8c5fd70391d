"""Forty kinds of damage to a proved copy: each is a failed check on record and its reel is keep; mended it is clear."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from stock.desk.desk import Desk
from stock.desk.proving import Proved, prove
from tests.desk.clock import Clock
from tests.proof.test_damage import LIES
from tests.proved_house import REEL, TRANSFER, proved_house

VICTIM = "01 track.wav"


def truncated(share: float) -> Callable[[Path], object]:
    return lambda path: os.truncate(path, int(path.stat().st_size * share))


def instead(make: Callable[[Path], object]) -> Callable[[Path], object]:
    """Something else in the place of the file."""

    def change(path: Path) -> None:
        path.unlink()
        make(path)

    return change


DAMAGE: dict[str, Callable[[Path], object]] = {
    **{f"truncated at {share}": truncated(share) for share in (0.0, 0.0001, 0.001, 0.5, 0.9999)},
    **{f"header: {kind}": lambda path, kind=kind: path.write_bytes(LIES[kind]) for kind in LIES},  # type: ignore[misc]
    "text renamed": lambda path: path.write_text("just words\n" * 99),
    "a folder": instead(Path.mkdir),
    "gone": Path.unlink,
    "a link": instead(lambda path: path.symlink_to(path.with_name("02 track.wav"))),
    "a link to itself": instead(lambda path: path.symlink_to(path)),
    "a link to a device": instead(lambda path: path.symlink_to("/dev/zero")),
    "a pipe": instead(os.mkfifo),
    "the other track": lambda path: shutil.copy(path.with_name("02 track.wav"), path),
    "a name that cannot be seen": lambda path: path.rename(path.with_name("01 \x1b[31mtrack.wav")),
    "one more byte": lambda path: path.write_bytes(path.read_bytes() + b"\0"),
}


def read(desk: Desk, folder: Path) -> Proved:
    return prove(desk, TRANSFER, folder, medium="disk a", place="here", copy="disk a", own_medium=True)


def test_each_kind_is_a_failed_check_and_keep_at_once(tmp_path: Path) -> None:
    assert len(DAMAGE) >= 40
    desk = proved_house(tmp_path, Clock().now_us)
    whole, copy = tmp_path / "whole", tmp_path / "a"
    shutil.copytree(copy, whole)
    for kind, change in DAMAGE.items():
        change(copy / VICTIM)
        found = read(desk, copy)
        assert not found.report.passed and found.receipt is not None, kind
        assert all(each.says and each.says.isprintable() for each in found.report.remarks), kind
        (answer,) = desk.advise([REEL])
        assert answer.verdict == "keep", kind
        assert "copy-check-failed" in {reason.code for reason in answer.reasons}, kind
        shutil.rmtree(copy)
        shutil.copytree(whole, copy)
    assert read(desk, copy).report.passed
    (answer,) = desk.advise([REEL])
    assert answer.verdict == "clear"
    desk.close()


@pytest.mark.parametrize("place", [0, 5, 20, 40, 44, 50, 4_000, -1])
def test_any_flipped_bit_of_either_file_is_keep_at_the_next_check(tmp_path: Path, place: int) -> None:
    desk = proved_house(tmp_path, Clock().now_us)
    victim = tmp_path / "a" / ("01 track.wav" if place % 2 else "02 track.wav")
    content = bytearray(victim.read_bytes())
    content[place] ^= 1 << place % 8
    victim.write_bytes(content)
    assert not read(desk, tmp_path / "a").report.passed
    (answer,) = desk.advise([REEL])
    assert answer.verdict == "keep"
    desk.close()
