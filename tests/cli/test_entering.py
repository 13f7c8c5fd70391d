"""Facts added and voided from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.kinds import KINDS
from tests.cli.conftest import Call

FINDING = ("add", "finding", "--reel", "M-0101", "--severity", "2")


def test_every_kind_of_fact_has_a_command_with_an_option_for_each_field(call: Call) -> None:
    listed = call("add", "--help").out
    for kind in KINDS:
        if kind.name in ("wipe", "void"):
            continue
        assert f"\n  {kind.name} " in listed
        told = call("add", kind.name, "--help").out
        for field in kind.fields:
            assert f"--{field.name.replace('_', '-')} " in told


def test_a_fact_is_recorded_now_by_who_is_acting(call: Call, house: Path) -> None:
    ran = call(
        "--as",
        "Pim Dacey",
        *FINDING,
        "--kind",
        "crease",
        "--start",
        "2:10",
        "--end",
        "3:00",
        "--speed",
        "15 ips",
        "--json",
        on=house,
    )
    assert ran.status == 0
    assert ran.answer.keys() == {"entry", "line"}
    history = call("show", "M-0101", "--json", on=house).answer["history"]
    (line,) = [line for line in history if line["entry"] == ran.answer["entry"]]
    assert (line["kind"], line["by"], line["when"]) == ("finding", "Pim Dacey", "2026-11-20 18:00")


def test_a_new_house_is_begun_by_the_first_fact(call: Call, tmp_path: Path) -> None:
    path = tmp_path / "new" / "house.db"
    assert call("add", "formulation", "--formulation", "Test Tape", on=path).status == 0
    item = ("--stock-item", "T-2", "--formulation", "Test Tape", "--width", "2 in", "--length", "2500 ft")
    assert call("add", "stock-item", *item, on=path).status == 0
    reel = ("--reel", "R-1", "--stock-item", "T-2", "--tracks", "24", "--arrived-as", "sealed", "--owner", "house")
    assert call("add", "reel", *reel, on=path).status == 0
    ran = call("advise", "R-1", "--json", on=path)
    assert (ran.status, ran.answer["reels"][0]["verdict"]) == (0, "blank")


def test_a_negative_counter_time_is_a_value_not_an_option(call: Call, house: Path) -> None:
    mark = ("add", "zero-mark", "--reel", "M-0155", "--at", "50 ft")
    assert call(*mark, on=house).status == 0
    assert call("add", "splice", "--reel", "M-0155", "--at", "-0:10", "--speed", "15 ips", on=house).status == 0


def test_everything_wrong_with_a_fact_is_told_at_once_by_option(call: Call, house: Path) -> None:
    ran = call("add", "pass", "--reel", "M-0101", "--date", "yesterday", "--kind", "rec", "--speed", "9 kg", on=house)
    assert (ran.status, ran.out) == (2, "")
    for says in ("--date: yesterday", "--kind: rec is not one of the choices", "--speed: 9 kg is a mass; a speed was"):
        assert says in ran.err
    missing = call("add", "pass", on=house)
    assert missing.status == 2
    assert "--reel:" in missing.err
    assert "--kind:" in missing.err


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["add", "pas"], "there is no kind of fact `pas`; did you mean pass"),
        (["add", "wipe", "--reel", "M-0101"], "guarded steps"),
        (["add", "void", "--entry", "1"], "reelward void"),
        (["add"], "Missing command"),
        (["add", "move", "--reel", "M-9999", "--kind", "out"], "there is no reel M-9999"),
        (["add", "move", "--reel", "M-0101", "--kind", "out", "--date", "2027-01-01"], "ahead of now"),
        (["add", "move", "--colour", "red"], "--colour"),
        (["add", "rule", "--rule", "passes_critical", "--value", "9 kg"], "9 kg"),
        (["void", "99999999", "--why", "x"], "there is no entry 99999999"),
        (["void", "9001", "--why", "x"], "voided already"),
        (["--as", " ", "add", "move", "--reel", "M-0101", "--kind", "out"], "--as"),
        (["--as", "a\x1b[2Jb", "add", "move", "--reel", "M-0101", "--kind", "out"], "control character"),
    ],
)
def test_a_refused_fact_leaves_the_record_as_it_was(call: Call, house: Path, args: list[str], says: str) -> None:
    before = call("check", "--json", on=house).answer["head"]
    ran = call(*args, on=house)
    assert (ran.status, ran.out) == (2, "")
    assert says in ran.err
    assert "\x1b" not in ran.err
    assert call("check", "--json", on=house).answer["head"] == before


@pytest.mark.parametrize(
    "args",
    [
        ["add", "move", "--reel", "M-0101", "--kind", "out"],
        ["void", "1", "--why", "x"],
        ["load", "folder"],
        ["restore", "file"],
        ["backup"],
    ],
)
def test_what_writes_takes_no_today(call: Call, house: Path, args: list[str]) -> None:
    for given in (["--today", "2026-11-01", *args], [*args, "--today", "2026-11-01"]):
        ran = call(*given, on=house)
        assert (ran.status, ran.out) == (2, "")
        assert "--today is for commands that answer" in ran.err


def test_a_hold_turns_clear_into_keep_and_its_void_is_told(call: Call, house: Path) -> None:
    hold = ("add", "hold", "--hold", "H-1", "--reel", "M-0101", "--reason", "the client called")
    entry = call(*hold, "--json", on=house).answer["entry"]
    assert call("advise", "M-0101", on=house).status == 1
    assert call("void", str(entry), "--why", "wrong reel", on=house).status == 0
    ran = call("advise", "M-0101", "--json", on=house)
    assert (ran.status, ran.answer["reels"][0]["reasons"][0]["code"]) == (0, "void-loosened")


def test_the_newest_of_ones_own_is_shown_then_taken_back(call: Call, house: Path) -> None:
    hold = ("add", "hold", "--hold", "H-1", "--reel", "M-0101", "--reason", "the client called")
    entry = call(*hold, "--json", on=house).answer["entry"]
    other = ("add", "move", "--reel", "M-0102", "--kind", "out", "--as", "Oona Farrant")
    assert call(*other, on=house).status == 0
    head = call("check", "--json", on=house).answer["head"]
    ran = call("void", "--last", "--dry-run", on=house)
    assert ran.status == 0
    assert "! LOOSER: M-0101 would go from keep to clear" in ran.out
    assert call("void", "--last", on=house).status == 2, "there is no terminal to ask at"
    assert call("check", "--json", on=house).answer["head"] == head
    ran = call("void", "--last", "--yes", "--json", on=house)
    assert (ran.status, ran.answer["entries"], ran.answer["loosens"]) == (0, [entry], True)
    assert ran.answer["reels"][0]["verdict_after"] == "clear"
    assert call("advise", "M-0101", on=house).status == 0
    ran = call("void", "--last", "--yes", on=house)
    assert (ran.status, ran.out) == (1, "")
    assert "nothing that tester entered" in ran.err


@pytest.mark.parametrize("args", [["7"], ["--last", "7", "--why", "x"], [], ["7", "--why", "x", "--yes"]])
def test_a_void_is_of_a_number_with_a_reason_or_of_the_last(call: Call, house: Path, args: list[str]) -> None:
    ran = call("void", *args, on=house)
    assert (ran.status, ran.out) == (2, "")


def test_what_may_not_be_taken_back_says_why(call: Call, house: Path) -> None:
    into = ("--to-reel", "M-0155", "--at", "0 ft")
    cut = ("cut", "M-0106", "--start", "0 ft", "--end", "300 ft", *into, "--date", "2026-11-01", "--yes")
    assert call(*cut, on=house).status == 0
    # of tape that went into another reel: what was thrown away is played no more
    played = ("add", "pass", "--reel", "M-0155", "--kind", "play", "--date", "2026-11-02", "--as", "Oona Farrant")
    assert call(*played, on=house).status == 0
    ran = call("void", "--last", "--yes", on=house)
    assert (ran.status, ran.out) == (1, "")
    assert "Not taken back: edit on M-0106" in ran.err


@pytest.mark.parametrize(
    ("args", "says"),
    [
        ([*FINDING, "--kind", "mould"], "respirator"),
        ([*FINDING, "--kind", "Sticky"], "Do not play it"),
        ([*FINDING, "--kind", "shedding"], "specialist"),
        ([*FINDING, "--kind", "vinegar"], "ventilate"),
        (["add", "splice", "--reel", "M-0101", "--at", "300 ft"], "blades"),
    ],
)
def test_cautions_stand_where_the_act_is(call: Call, house: Path, args: list[str], says: str) -> None:
    ran = call(*args, on=house)
    assert ran.status == 0
    assert says in ran.err
    assert "Follow local rules and qualified practice." in " ".join(ran.err.split())


def test_a_finding_of_nothing_needs_no_caution(call: Call, house: Path) -> None:
    ran = call("add", "finding", "--reel", "M-0101", "--kind", "sticky", "--severity", "0", on=house)
    assert (ran.status, ran.err) == (0, "")


def test_what_people_typed_is_never_obeyed_by_the_terminal(call: Call, house: Path) -> None:
    note = "side [A] take [/]\u202e\u200b {0} %s `x` $(true)\nsecond line"
    ran = call("add", "take", *take_cells("<script>'; DROP TABLE takes; --"), "--note", note, on=house)
    assert ran.status == 2
    assert "U+202E" in ran.err
    note = "side [A] take [/]\u200b {0} %s `x`\nsecond line"
    assert call("add", "take", *take_cells("<b>'; DROP TABLE takes; --"), "--note", note, on=house).status == 0
    for args in (["show", "M-0155"], ["advise"], ["advise", "M-0155"], ["reels"], ["show", "M-0155", "--json"]):
        ran = call(*args, on=house)
        shown = ran.out + ran.err
        assert not [sign for sign in shown if sign != "\n" and (ord(sign) < 32 or 0x7F <= ord(sign) < 0xA0)]
        assert "\u200b" not in shown
    assert "DROP TABLE" in call("show", "M-0155", on=house).out
    for word in ("\x1b]0;x\x07", "\x1b[2J", "\x9b31m", "a\x00b"):
        for args in (
            ["show", word],
            ["advise", word],
            [word],
            ["add", word],
            ["reels", "--verdict", word],
            ["load", word],
        ):
            ran = call(*args, on=house)
            assert ran.status == 2
            assert not set(ran.out + ran.err) & set("\x1b\x07\x9b\x00")


def take_cells(title: str) -> list[str]:
    """A take on a blank reel."""
    places = ["--start", "1:00", "--end", "2:00", "--speed", "15 ips"]
    return ["--reel", "M-0155", "--title", title, "--take", "1", *places]
