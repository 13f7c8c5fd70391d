"""Plain mode: every report as text through a pipe, nothing drawn, and wrong input told what to do."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from stock.cli.plain import MENU

_DRAWN = re.compile("[\u2190-\u21ff\u2500-\u25ff\u2580-\u259f\x1b]|[=#+.]{6}")
"""Arrows, box drawing, blocks, shapes, escapes, and runs of signs as a map has them."""


def plain(*lines: str, end: str = "\n") -> tuple[str, str, int]:
    code = "import sys; from stock.cli.main import run; sys.argv = ['reelward', 'demo', 'plain']; run()"
    done = subprocess.run(
        [sys.executable, "-c", code],
        input="\n".join(lines) + end,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return done.stdout, done.stderr, done.returncode


def test_every_report_is_text_in_one_run() -> None:
    typed = [
        "rule-less",
        "1",
        *("2", "tin regatta"),
        *("3", "M-0151"),
        *("4", "M-0151"),
        *("5", "M-0104"),
        *("6", "9:00", "15 ips", ""),
        "7",
        "10",
        "11",
        "12",
        "13",
        "commands",
    ]
    out, errors, status = plain(*typed)
    assert status == 0, errors
    assert not _DRAWN.findall(out), _DRAWN.findall(out)
    for words in (
        "There is no command rule-less",
        "take Ballast/3 still runs",
        "Takes along the tape:",
        "take Lamplighter/2, tracks",
        ", not safe yet",
        "fit for critical",
        "may the recording go?  no",
        "passes_critical",
    ):
        assert words in out, words
    assert "eraser" in out.casefold()
    assert "Commands:" in out


@pytest.mark.parametrize(("number", "says"), [("8", "week"), ("9", "Order")])
def test_needs_and_the_order(number: str, says: str) -> None:
    out, errors, status = plain(number)
    assert status == 0, errors
    assert says in out
    assert not _DRAWN.findall(out)


def test_wrong_input_is_told_what_to_do_and_nothing_stops_it() -> None:
    out, errors, status = plain(
        "0", "99", "'open", "--json", "demo", "plain", "3", "", "show Z-9", "advise M-0103", "q", "rules"
    )
    assert status == 0
    for words in (
        "There is no line 0: type 1 to",
        "There is no line 99",
        "quotation mark",
        "Begin with a command",
        "Not here",
        "Nothing was typed",
    ):
        assert words in out
    assert "there is no reel Z-9" in errors
    assert "M-0103" in out
    assert "passes_critical" not in out, "q ends it"


def test_what_is_typed_is_never_an_option() -> None:
    out, errors, status = plain("3", "--help", "2", "--json")
    assert status == 0
    assert "there is no reel --help" in errors
    assert '"reels"' not in out


@pytest.mark.parametrize("lines", [(), ("3",), ("6", "9:00")])
def test_it_ends_at_the_end_of_input(lines: tuple[str, ...]) -> None:
    out, errors, status = plain(*lines, end="\n" if lines else "")
    assert (errors, status) == ("", 0)
    assert out.endswith("\n")


def test_commands_that_enter_work_with_their_own_questions() -> None:
    out, errors, status = plain(
        "add hold --hold H-9 --reel M-0103 --reason 'the client has not answered'", "4", "M-0103"
    )
    assert status == 0, errors
    assert "on-hold" in out


def test_the_menu_names_commands_there_are() -> None:
    from stock.cli.main import COMMANDS

    assert {choice.command[0] for choice in MENU} <= set(COMMANDS)
