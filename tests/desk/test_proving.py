"""Copies proved through the desk: what is recorded of them, what their decay does to the reel, which are due."""

from __future__ import annotations

import hashlib
import math
import shutil
import wave
from collections.abc import Iterator
from pathlib import Path

import pytest

from stock.core.rules import Rules
from stock.desk.desk import Desk
from stock.desk.proving import NoSuchTransfer, OtherCopy, SameMedium, due, expectation_of, prove
from stock.proof.errors import NotReachable
from stock.proof.expectation import Limits, limits_of
from stock.store.check import check
from tests.desk.clock import DAY_US, Clock

RATE_HZ = 48_000
SECONDS = 4


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    desk = Desk.open(tmp_path / "record" / "house.db", "Ann", now_us=clock)
    desk.add("formulation", {"formulation": "Corvane C40", "base": "polyester"})
    desk.add("stock-item", {"stock_item": "two", "formulation": "Corvane C40", "width": "2 in", "length": "2500 ft"})
    desk.add("reel", {"reel": "R1", "stock_item": "two", "tracks": "16", "owner": "house", "arrived_as": "sealed"})
    desk.add("project", {"project": "P", "client": "house"})
    stretch = {"reel": "R1", "start": "1:00", "end": f"1:0{SECONDS}", "speed": "15 ips"}
    desk.add("take", {**stretch, "project": "P", "title": "Song", "take": "1", "tracks": "3 snare; 7 vocal"})
    desk.add("transfer", {**stretch, "transfer": "T1", "tracks": "3,7", "sample_rate_hz": "48 kHz", "bit_depth": "24"})
    yield desk
    desk.close()


def tone(path: Path, hertz: int, seconds: float = SECONDS, rate_hz: int = RATE_HZ) -> None:
    """A 24-bit mono WAVE file of a sine, by the standard library's writer."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(3)
        out.setframerate(rate_hz)
        samples = (
            int(0.3 * 0x7FFFFF * math.sin(2 * math.pi * hertz * n / rate_hz)) for n in range(int(seconds * rate_hz))
        )
        out.writeframes(b"".join(sample.to_bytes(3, "little", signed=True) for sample in samples))


@pytest.fixture
def copy_a(tmp_path: Path) -> Path:
    folder = tmp_path / "a"
    tone(folder / "03 snare.wav", 220)
    tone(folder / "07 vocal.wav", 330)
    return folder


def verdict(desk: Desk) -> tuple[str, set[str]]:
    (answer,) = desk.advise(["R1"])
    return answer.verdict, {reason.code for reason in answer.reasons if reason.about == "recording"}


def codes(desk: Desk, folder: Path, **asked: object) -> set[str]:
    proved = prove(desk, "T1", folder, medium="disk", place="here", **asked)  # type: ignore[arg-type]
    assert not proved.report.passed
    return {remark.code for remark in proved.report.remarks if remark.severity == "fail"}


def test_a_good_copy_is_recorded_with_its_files_and_hashes(desk: Desk, copy_a: Path) -> None:
    proved = prove(desk, "T1", copy_a, medium="disk one", place="here")
    assert proved.report.passed
    with desk.store.reading() as reader:
        copies = reader.raw('SELECT transfer, "copy", medium, place, folder FROM copies')
        files = dict(reader.raw("SELECT path, sha256 FROM copy_files"))
        checks = reader.raw("SELECT method, result, manifest_sha256 FROM copy_checks")
    assert copies == [("T1", "disk one", "disk one", "here", str(copy_a))]
    assert files == {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in copy_a.iterdir()}
    manifest = "".join(f"{sha256}  {path}\n" for path, sha256 in sorted(files.items()))
    assert checks == [("read", "pass", hashlib.sha256(manifest.encode()).hexdigest())]
    assert check(desk.store.path) == []


def test_two_copies_a_listen_and_time_make_the_reel_clear(
    desk: Desk, copy_a: Path, tmp_path: Path, clock: Clock
) -> None:
    prove(desk, "T1", copy_a, medium="disk one", place="here")
    shutil.copytree(copy_a, tmp_path / "b")
    prove(desk, "T1", tmp_path / "b", medium="disk two", place="elsewhere", own_medium=True)
    desk.add("listen", {"transfer": "T1"})
    desk.add("finding", {"reel": "R1", "kind": "inspection", "severity": "0"})
    assert verdict(desk) == ("keep", {"cooling-off"})
    clock.now_us += 14 * DAY_US
    assert verdict(desk)[0] == "clear"
    # any single flipped bit is found at the next check, and the reel is keep at once
    victim = tmp_path / "b" / "07 vocal.wav"
    content = bytearray(victim.read_bytes())
    content[len(content) // 2] ^= 1
    victim.write_bytes(content)
    assert codes_of(desk, tmp_path / "b") == {"hash-differs"}
    assert verdict(desk)[0] == "keep"
    assert "copy-check-failed" in verdict(desk)[1]


def codes_of(desk: Desk, folder: Path) -> set[str]:
    proved = prove(desk, "T1", folder, medium="disk two", place="elsewhere", own_medium=True)
    return {remark.code for remark in proved.report.remarks if remark.severity == "fail"}


def test_what_is_wrong_with_files_fails_the_check(desk: Desk, copy_a: Path, tmp_path: Path) -> None:
    missing, short, silent, low = (tmp_path / name for name in ("missing", "short", "silent", "low"))
    shutil.copytree(copy_a, missing)
    (missing / "07 vocal.wav").unlink()
    tone(short / "03 snare.wav", 220, 1)
    tone(short / "07 vocal.wav", 330, 1)
    shutil.copytree(copy_a, silent)
    tone(silent / "07 vocal.wav", 0)
    tone(low / "03 snare.wav", 220, rate_hz=44_100)
    tone(low / "07 vocal.wav", 330, rate_hz=44_100)
    assert codes(desk, missing) == {"track-missing"}
    assert codes(desk, short) & {"too-short", "wrong-speed"}
    assert codes(desk, silent) == {"silent-in-use"}
    assert "rate-differs" in codes(desk, low)
    assert verdict(desk)[0] == "keep"


@pytest.mark.parametrize(
    ("rule", "value", "code"),
    [
        ("proof_silence_db", "3 dB", "silent-in-use"),
        ("proof_short_s", "0", "too-short"),
    ],
)
def test_the_limits_are_house_rules(desk: Desk, tmp_path: Path, rule: str, value: str, code: str) -> None:
    folder = tmp_path / "c"
    for name, hertz in (("03 snare", 220), ("07 vocal", 330)):
        tone(folder / f"{name}.wav", hertz, SECONDS - 0.5)
    desk.add("rule", {"rule": "proof_short_share", "value": "0"})
    assert prove(desk, "T1", folder, medium="disk", place="here").report.passed
    desk.add("rule", {"rule": rule, "value": value})
    assert code in codes(desk, folder)


def test_by_default_the_limits_are_those_of_the_rules() -> None:
    assert limits_of(Rules()) == Limits()


def test_a_file_whose_track_is_not_told_needs_a_persons_word(desk: Desk, copy_a: Path) -> None:
    (copy_a / "07 vocal.wav").rename(copy_a / "lead.wav")
    assert "track-unknown" in codes(desk, copy_a)
    assert prove(desk, "T1", copy_a, medium="disk", place="here", mapping={"lead.wav": (7,)}).report.passed


def test_a_second_copy_is_proved_against_the_first(desk: Desk, copy_a: Path, tmp_path: Path) -> None:
    prove(desk, "T1", copy_a, medium="disk one", place="here")
    other = tmp_path / "b"
    shutil.copytree(copy_a, other)
    tone(other / "07 vocal.wav", 331)
    assert codes_of(desk, other) == {"hash-differs"}


def test_two_folders_on_one_file_system_are_one_medium(desk: Desk, copy_a: Path, tmp_path: Path) -> None:
    prove(desk, "T1", copy_a, medium="disk one", place="here")
    shutil.copytree(copy_a, tmp_path / "b")
    with pytest.raises(SameMedium):
        prove(desk, "T1", tmp_path / "b", medium="disk two", place="elsewhere")
    proved = prove(desk, "T1", tmp_path / "b", medium="disk two", place="elsewhere", own_medium=True)
    with desk.store.reading() as reader:
        ((by, note),) = reader.raw('SELECT "by", note FROM copy_checks WHERE "copy" = ?', (proved.copy,))
    assert by == "Ann"
    assert "medium of its own" in note


def test_a_medium_that_is_not_there_is_neither_a_failure_nor_a_pass(desk: Desk, copy_a: Path, tmp_path: Path) -> None:
    prove(desk, "T1", copy_a, medium="disk one", place="here")
    before = desk.store.data_version()
    shutil.move(copy_a, tmp_path / "away")
    with pytest.raises(NotReachable):
        prove(desk, "T1", copy_a, medium="disk one", place="here")
    assert desk.store.data_version() == before


def test_refusals(desk: Desk, copy_a: Path) -> None:
    with pytest.raises(NoSuchTransfer):
        prove(desk, "T9", copy_a, medium="disk", place="here")
    prove(desk, "T1", copy_a, medium="disk", place="here", copy="A")
    with pytest.raises(OtherCopy):
        prove(desk, "T1", copy_a, medium="another", place="here", copy="A")
    with pytest.raises(OtherCopy):
        prove(desk, "T1", copy_a, medium="disk", place="elsewhere", copy="A")


def test_a_stopped_reading_records_nothing_and_goes_on(desk: Desk, copy_a: Path) -> None:
    proved = prove(desk, "T1", copy_a, medium="disk", place="here", stop=lambda: True)
    assert proved.report.stopped
    assert proved.receipt is None
    with desk.store.reading() as reader:
        assert reader.raw("SELECT * FROM copies") == []
    assert prove(desk, "T1", copy_a, medium="disk", place="here").report.passed


def test_the_stripe_gives_the_start_a_file_must_have(desk: Desk) -> None:
    desk.add("stripe", {"reel": "R1", "at": "0 ft", "start_code": "01:00:00:00", "rate": "25"})
    stretch = {"reel": "R1", "start": "2:00", "end": "2:04", "speed": "15 ips"}
    desk.add("transfer", {**stretch, "transfer": "T2", "tracks": "1", "sample_rate_hz": "48 kHz", "bit_depth": "24"})
    with desk.store.reading() as reader:
        wanted = expectation_of(reader, desk.context().calendar, "T2", "A")
    # EBU Tech 3285: the time reference counts samples since midnight; 01:00:00 at 48 kHz is 172 800 000
    assert wanted.start_us is not None
    assert wanted.start_us * RATE_HZ // 1_000_000 == 172_800_000 + 2 * 60 * RATE_HZ
    assert wanted.tape_us == 4_000_000


def test_copies_are_due_in_order_and_once_read_no_more(desk: Desk, copy_a: Path, clock: Clock) -> None:
    desk.add(
        "copy", {"transfer": "T1", "copy": "Z", "medium": "card", "place": "elsewhere", "folder": "/no/such/folder"}
    )
    prove(desk, "T1", copy_a, medium="disk", place="here")
    assert [(row.copy, row.last, row.here) for row in due(desk)] == [("Z", None, False)]
    clock.now_us += 340 * DAY_US
    assert [(row.copy, row.here) for row in due(desk)] == [("Z", False), ("disk", True)]
    prove(desk, "T1", copy_a, medium="disk", place="here")
    assert [row.copy for row in due(desk)] == ["Z"]
