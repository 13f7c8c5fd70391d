"""`log` on the demo house: takes started and ended without a screen, what is left, what is to be done."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Call


def test_a_session_without_a_screen(call: Call, house: Path) -> None:
    ran = call("log", "start", "M-0151", "--at", "12:10", "--speed", "15 ips", "--title", "Ledger", "--json", on=house)
    assert ran.status == 0
    assert (ran.answer["take"], ran.answer["start"], ran.answer["warnings"]) == ("Ledger/1", "12:10", [])
    (runs,) = call("log", "status", "M-0151", "--json", on=house).answer["reels"]
    assert runs["running"]["entry"] == ran.answer["entry"]
    assert runs["running"]["take"] == "Ledger/1"
    assert call("log", "mark", "M-0151", "--at", "13:00", "--note", "[b]", "--json", on=house).answer["at"] == "13:00"
    ended = call("log", "stop", "M-0151", "--at", "16:40", "--plays", "2", "--json", on=house).answer
    assert (ended["take"], ended["start"], ended["end"]) == ("Ledger/1", "12:10", "16:40")
    assert ended["end_ft"] - ended["start_ft"] == pytest.approx(270 * 15 / 12)
    assert call("log", "start", "M-0151", on=house).out.startswith("Ledger/2 runs on reel M-0151 from 16:40")
    both = call("log", "next", "M-0151", "--json", on=house).answer
    assert (both["ended"]["take"], both["started"]["take"]) == ("Ledger/2", "Ledger/3")
    assert "It is Mill/1 now" in call("log", "name", "M-0151", "Mill", on=house).out
    call("log", "stop", "M-0151", on=house)
    assert "Mill/1 played 3 times" in call("log", "played", "M-0151", "--count", "3", on=house).out
    line = "tracks 9,12, about 60 passes, 12:30 to 16:10"
    assert call("log", "overdubs", "M-0151", line, "--json", on=house).answer["over"] == ["Ledger/1"]
    todo = call("log", "todo", "--json", on=house).answer["to_do"]
    assert {"transfer", "decide", "wind", "shelf"} <= {each["code"] for each in todo if each["reel"] == "M-0151"}
    assert call("check", on=house).status == 0


def test_recording_over_a_take_answers_no_and_says_how_to_mean_it(call: Call, house: Path) -> None:
    before = call("check", "--json", on=house).answer["line"]
    ran = call("log", "start", "M-0151", "--at", "2:00", on=house)
    assert ran.status == 1
    assert "would be recorded over" in ran.err
    assert "--yes" in ran.err
    assert call("check", "--json", on=house).answer["line"] == before
    assert call("log", "start", "M-0151", "--at", "2:00", "--yes", on=house).status == 0


def test_the_next_take_is_asked_about_and_the_one_before_has_ended(call: Call, house: Path) -> None:
    call("log", "start", "M-0151", "--at", "24:00", "--title", "Ledger", on=house)
    ran = call("log", "next", "M-0151", "--planned", "9:00", on=house)
    assert ran.status == 1
    assert "Ledger/1 ended at 24:01" in ran.err
    assert "a 9:00 take does not fit" in ran.err
    assert "no take runs" in call("log", "status", "M-0151", on=house).out


def test_what_still_fits_and_the_reel_to_go_to(call: Call, loaded_house: Path) -> None:
    (told,) = call("log", "status", "M-0151", "--planned", "9:00x3", "--json", on=loaded_house).answer["reels"]
    # 22:48 left: a nine-minute take takes 10:04 with slate and room to run over, and gaps of 5 s go between
    assert [each["fits"] for each in told["planned"]] == [True, True, False]
    assert told["next_reels"]
    assert "M-0151" not in {each["reel"] for each in told["next_reels"]}
    words = call("log", "status", "M-0151", "--planned", "9:00x3", on=loaded_house).out
    assert "another 9:00 does not fit: 2:35 left" in words
    assert "go to " in words


@pytest.mark.parametrize(
    ("args", "status", "says"),
    [
        (("stop", "M-0151"), 1, "no take runs on reel M-0151"),
        (("start", "M-0154"), 1, "still runs"),
        (("start", "M-9999"), 2, "there is no reel"),
        (("start", "M-0151", "--at", "9 kg"), 2, "--at"),
        (("start", "M-0151", "--speed", "9 kg"), 2, "--speed"),
        (("start", "M-0151", "--tracks", "40"), 2, "there is no track 40"),
        (("start", "M-0151", "--at", "90:00"), 2, "outside the tape"),
        (("start", "M-0151", "--planned", "x"), 2, "--planned"),
        (("start", "M-0151", "--planned", "0:00"), 2, "without a playing time"),
        (("status", "--planned", "x"), 2, "--planned"),
        (("overdubs", "M-0151", "x"), 2, "names no tracks"),
        (("strt", "M-0151"), 2, "did you mean"),
    ],
)
def test_what_cannot_be_done_is_said(call: Call, house: Path, args: tuple[str, ...], status: int, says: str) -> None:
    ran = call("log", *args, on=house)
    assert ran.status == status
    assert says in ran.err
    assert ran.out == ""


def test_a_take_that_runs_since_long_is_told_of(call: Call, loaded_house: Path) -> None:
    ran = call("log", "status", "M-0154", on=loaded_house)
    assert "its tape has run out: say where it ended" in ran.out


def test_a_house_where_nothing_was_used_has_nothing_to_do(call: Call, house: Path) -> None:
    call("log", "stop", "M-0154", "--at", "12:00", on=house)
    assert "M-0154" in call("log", "todo", on=house).out
    assert call("log", "status", on=house).out.startswith("M-0154: no take runs")


def test_a_place_is_trusted_or_not(call: Call, loaded_house: Path) -> None:
    ran = call("trust", "M-0151", "--at", "12:00", "--take", "9:00", on=loaded_house)
    assert ran.status == 0
    assert "yes, for critical: fit from 0:20 to 32:50" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80
    told = call("trust", "Q-0406", "--at", "300 ft", "--json", on=loaded_house)
    assert told.status == 1
    assert (told.answer["trusted"], told.answer["at_ft"]) == ("no", 300.0)
    assert told.answer["splice_after"]["state"] == "failed"
    doubtful = call("trust", "M-0135", "--at", "18:00", "--json", on=loaded_house)
    assert (doubtful.status, doubtful.answer["trusted"]) == (1, "unknown")
    assert call("trust", "M-0135", "--at", "9 kg", on=loaded_house).status == 2
