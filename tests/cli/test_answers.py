"""What the answering commands say: texts, JSON, exit statuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.cli.main import COMMANDS
from stock.core.rules import RULES
from tests.cli.conftest import Call

ADVICE_KEYS = {
    "reel",
    "verdict",
    "erasable",
    "fit",
    "reasons",
    "length_ft",
    "passes_max",
    "splices",
    "grade",
    "longest_ft",
    "longest",
}
REASON_KEYS = {"code", "about", "severity", "says", "remedy", "start_ft", "end_ft", "tracks", "facts"}


def test_advise_gives_every_reel_a_line_with_sign_word_grade_and_playing_time(call: Call, loaded_house: Path) -> None:
    ran = call("advise", on=loaded_house)
    lines = {line.split()[0]: line for line in ran.out.splitlines() if line[1:2] == "-"}
    assert ran.status == 0
    assert len(lines) == 80
    assert lines["M-0101"].split()[1:5] == ["+", "clear", "critical", "32:30"]
    assert lines["M-0155"].split()[1:4] == ["o", "blank", "critical"]
    assert lines["M-0151"].split()[1:3] == ["!", "keep"]
    assert "Lamplighter/2" in lines["M-0151"]
    assert "no usable stretch" in lines["Q-0402"]
    assert "22 clear, 12 blank, 6 inspect, 31 keep, 9 retire" in ran.out.replace("\n", " ")
    assert max(map(len, ran.out.splitlines())) <= 80


@pytest.mark.parametrize(
    ("reels", "status"),
    [(["M-0101"], 0), (["M-0101", "M-0155"], 0), (["M-0101", "M-0151"], 1), (["M-0145"], 1), (["Q-0402"], 1)],
)
def test_advise_ends_with_no_only_where_a_named_reel_is_neither_clear_nor_blank(
    call: Call, loaded_house: Path, reels: list[str], status: int
) -> None:
    assert call("advise", *reels, on=loaded_house).status == status
    assert call("advise", *reels, "--json", on=loaded_house).status == status


def test_a_named_reel_comes_with_reasons_and_what_would_change_them(call: Call, loaded_house: Path) -> None:
    ran = call("advise", "M-0151", on=loaded_house)
    words = " ".join(ran.out.split())
    assert "may the recording go? no" in words
    assert "x no recording: partly-transferred 2:10 to 2:42 (162.5 ft to 202.5 ft) tracks 14" in words
    assert "to change it: transfer that stretch" in words
    assert max(map(len, ran.out.splitlines())) <= 80


def test_the_json_of_advise_has_its_keys_types_and_order(call: Call, loaded_house: Path) -> None:
    answer = call("advise", "--json", on=loaded_house).answer
    assert list(answer) == ["as_of", "reels"]
    assert answer["as_of"] == "2026-11-20"
    numbers = [reel["reel"] for reel in answer["reels"]]
    assert numbers == sorted(numbers)
    for reel in answer["reels"]:
        assert reel.keys() >= ADVICE_KEYS
        assert reel["fit"].keys() == {"critical", "standard", "scratch"}
        assert {*reel["fit"].values(), reel["erasable"]} <= {"yes", "no", "unknown"}
        assert (reel["longest"] is not None) == (reel["verdict"] in ("clear", "blank"))
        for reason in reel["reasons"]:
            assert reason.keys() >= REASON_KEYS
            assert reason["severity"] in ("no", "doubt", "note")
            assert reason["about"] in ("recording", "tape")
            assert (reason["start_ft"] is None) == (reason["end_ft"] is None)
    by_number = {reel["reel"]: reel for reel in answer["reels"]}
    (reason,) = by_number["M-0151"]["reasons"]
    assert (reason["start_ft"], reason["end_ft"], reason["tracks"]) == (162.5, 202.5, [14])
    assert (by_number["M-0101"]["length_ft"], by_number["M-0101"]["longest"]) == (2500.0, "32:30")
    assert by_number["M-0101"]["longest_ft"] == 2437.5


def test_the_same_question_gives_the_same_bytes(call: Call, loaded_house: Path) -> None:
    first, again = (call("advise", "--json", on=loaded_house).out for _ in range(2))
    assert first == again


def test_today_and_json_mean_the_same_before_and_after_the_command(call: Call, loaded_house: Path) -> None:
    before = call("--today", "2023-03-01", "--json", "advise", on=loaded_house)
    after = call("advise", "--json", "--today", "2023-03-01", on=loaded_house)
    assert before.out == after.out
    assert before.answer["as_of"] == "2023-03-01"
    # the session reel M-0151 came in 2026
    assert "M-0151" not in before.out


def test_the_database_is_taken_from_option_then_environment(
    call: Call, loaded_house: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REELWARD_DB", str(loaded_house))
    assert call("advise").status == 0
    assert call("--db", str(tmp_path / "none.db"), "advise").status == 2
    assert call("--db", str(tmp_path / "none.db"), "advise", "--db", f"sqlite:///{loaded_house}").status == 0


def test_reels_are_listed_by_verdict_and_words(call: Call, loaded_house: Path) -> None:
    ran = call("reels", "--text", "TIN regatta", "--verdict", "keep", "--json", on=loaded_house)
    found = [reel["reel"] for reel in ran.answer["reels"]]
    assert found == ["M-0134", "M-0151", "M-0152", "M-0153", "M-0154", "M-0157"]
    assert {reel["verdict"] for reel in ran.answer["reels"]} == {"keep"}
    assert ran.answer["reels"][1]["width_in"] == 2.0
    by_title = call("reels", "--text", "lamplighter", on=loaded_house)
    assert "M-0151" in by_title.out
    nothing = call("reels", "--text", "no such words", on=loaded_house)
    assert (nothing.status, nothing.out) == (0, "0 reels, as of 2026-11-20.\n")


def test_show_tells_what_a_reel_is_its_verdict_map_and_history(call: Call, loaded_house: Path) -> None:
    ran = call("show", "H-0308", on=loaded_house)
    words = " ".join(ran.out.split())
    assert ran.status == 0
    assert "1367.5 ft: 18:14 at 15 ips, 9:07 at 30 ips" in words
    assert "tape of H-0301, its 805 ft to 1520 ft" in words
    assert "no-release" in words
    assert "├1 Undertow/mix 2" in words
    assert "oldest first" in words
    assert max(map(len, ran.out.splitlines())) <= 80
    bought = call("show", "M-0151", on=loaded_house)
    assert "216.00 EUR from Portside Magnetics" in bought.out
    assert "came          2026-03-16, sealed, 0 passes before" in bought.out


def test_show_keeps_voided_entries_in_sight(call: Call, loaded_house: Path) -> None:
    answers = {reel: call("show", reel, "--json", on=loaded_house).answer for reel in ("M-0136", "M-0151")}
    (voided,) = [line for line in answers["M-0136"]["history"] if line["voided"]]
    assert voided["entry"] == 9001
    assert "(voided: files are M-0137" in " ".join(call("show", "M-0136", on=loaded_house).out.split())
    assert answers["M-0151"]["takes"][1]["safe"] is False
    assert answers["M-0151"].keys() >= ADVICE_KEYS | {"as_of", "pieces", "wear", "history", "price", "owner"}
    whens = [line["when"] for line in answers["M-0151"]["history"]]
    assert whens[1:] == sorted(whens[1:])


def test_rules_say_value_default_and_reason(call: Call, loaded_house: Path) -> None:
    rules = {rule["rule"]: rule for rule in call("rules", "--json", on=loaded_house).answer["rules"]}
    assert rules.keys() == {rule.name for rule in RULES}
    assert (rules["passes_critical"]["value"], rules["passes_critical"]["default"]) == ("25", "30")
    assert rules["passes_critical"]["set_by"] is not None
    assert (rules["usual_speed"]["value"], rules["shortest_stretch"]["value"]) == ("15 ips", "600 ft")
    assert (rules["splice_guard_s"]["value"], rules["response_fall_scratch"]["value"]) == ("2 s", "3 dB")
    text = call("rules", on=loaded_house).out
    assert "no published figure was found" in " ".join(text.split())
    assert "passes_critical = 30" in call("rules", "--today", "2024-01-01", on=loaded_house).out


def test_cautions_each_end_in_local_rules_and_qualified_practice(call: Call) -> None:
    ran = call("cautions")
    words = " ".join(ran.out.split())
    for word in ("pacemaker", "4 ft", "respirator", "12 \u00b0C", "blades", "5 kg", "ventilate", "specialist"):
        assert word in words
    assert words.count("Follow local rules and qualified practice.") == 7


def test_without_a_command_the_whole_house_is_answered_for(call: Call, loaded_house: Path) -> None:
    assert "M-0101" in call(on=loaded_house).out


@pytest.mark.parametrize(
    "args",
    [
        ["advise"],
        ["reels"],
        ["show", "M-1"],
        ["rules"],
        ["check"],
        ["backup"],
        ["dump", "x"],
        ["void", "1", "--why", "x"],
        [],
    ],
)
def test_without_a_database_nothing_is_made_and_the_way_to_one_is_told(
    call: Call, tmp_path: Path, args: list[str]
) -> None:
    path = tmp_path / "none" / "house.db"
    ran = call(*args, on=path)
    assert (ran.status, ran.out) == (2, "")
    assert f"there is no database at {path}" in ran.err
    assert "reelward load" in ran.err
    assert not path.parent.exists()


def test_an_unknown_reel_is_named_with_those_like_it(call: Call, loaded_house: Path) -> None:
    for command in ("advise", "show"):
        ran = call(command, "M-01O1", on=loaded_house)
        assert (ran.status, ran.out) == (2, "")
        assert "there is no reel M-01O1; did you mean M-01" in ran.err


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["frobnicate"], "there is no command `frobnicate`"),
        (["advize"], "did you mean advise"),
        (["advise", "--colour"], "--colour"),
        (["advise", "--today", "20.11.2026"], "20.11.2026 is not a date"),
        (["--today", "2026-02-30", "advise"], "no calendar has"),
        (["reels", "--verdict", "dusty"], "dusty"),
        (["show"], "REEL"),
        (["show", "M-0101", "M-0102"], "M-0102"),
        (["--db", "mysql://host/house", "advise"], "not a SQLite file"),
        (["cautions", "--json"], "no answer in JSON"),
        (["void", "nine", "--why", "x"], "nine"),
        (["load"], "FOLDER_OR_FILE"),
    ],
)
def test_wrong_use_ends_with_two_and_words_on_standard_error(
    call: Call, loaded_house: Path, args: list[str], says: str
) -> None:
    ran = call(*args, on=loaded_house)
    assert (ran.status, ran.out) == (2, "")
    assert says in ran.err
    assert "Traceback" not in ran.err


def test_every_command_has_help(call: Call) -> None:
    for name in COMMANDS:
        ran = call(name, "--help")
        assert ran.status == 0
        assert ran.out.startswith(f"Usage: reelward {name}")
