"""What the README says of commands, options and JSON is so."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

from stock.cli.commands import HouseCommand
from stock.cli.main import COMMANDS, main, program
from stock.cli.settings import Settings
from stock.core.verdict import VERDICTS
from tests.cli.conftest import Call

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
LINES = [
    line.removeprefix("$ ").split("reelward ", 1)[1]
    for block in re.findall(r"^```(?:console|sh)\n(.*?)^```", README, re.DOTALL | re.MULTILINE)
    for line in block.splitlines()
    if line.startswith("$ reelward ") or "/reelward " in line
]
DEMO = [line for line in LINES if line.split()[0] == "demo"]


def test_there_are_lines_of_both_sorts() -> None:
    assert len(DEMO) >= 8
    assert len(LINES) - len(DEMO) >= 15


@pytest.mark.parametrize("line", [line for line in LINES if line not in DEMO])
def test_every_command_line_is_one_the_program_takes(line: str, monkeypatch: pytest.MonkeyPatch) -> None:
    called: list[str] = []
    monkeypatch.setattr(HouseCommand, "invoke", lambda self, ctx: called.append(ctx.command_path))
    assert main(shlex.split(line), Settings()) == 0
    assert called == [f"reelward {' '.join(line.split()[: len(called[0].split()) - 1])}"]


@pytest.mark.parametrize("line", DEMO)
def test_every_line_on_the_demo_house_answers(call: Call, line: str) -> None:
    ran = call(*shlex.split(line))
    assert ran.status in (0, 1)
    assert ran.out


def test_the_answer_shown_is_the_answer_given(call: Call) -> None:
    (shown,) = re.findall(r"\$ reelward demo advise M-0151\n(.*?)```", README, re.DOTALL)
    assert call("demo", "advise", "M-0151").out == shown


def test_every_command_and_common_option_is_named() -> None:
    for name in COMMANDS:
        assert f"reelward {name}" in README or f"reelward demo {name}" in README
    for option in program.params:
        assert isinstance(option, click.Option)
        assert f"`{option.opts[0]}" in README
    for verdict in VERDICTS:
        assert f" {verdict}` |" in README


@pytest.mark.parametrize(
    "args",
    [
        ["now", "--without-needs"],
        ["advise"],
        ["reels"],
        ["show", "M-0151"],
        ["rules"],
        ["rules", "--try", "copies_needed=0", "--try", "passes_standard=9"],
        ["check"],
        ["forecast", "--weeks", "3"],
        ["order", "--need", "C40-2-2500=90@2026-12-20", "--beside"],
        ["orders"],
        ["cost"],
        ["cost", "reels"],
    ],
)
def test_every_key_of_an_answer_is_named(call: Call, loaded_house: Path, args: list[str]) -> None:
    answer = call(*args, "--json", on=loaded_house).answer
    for key in _keys(answer):
        assert f"`{key}`" in README


def _keys(answer: object) -> set[str]:
    """All keys in an answer, those inside takes' live stretches and voids aside, and projects' names."""
    if isinstance(answer, list):
        return set[str]().union(*map(_keys, answer[:20]))
    if not isinstance(answer, dict):
        return set()
    return set(answer).union(*(_keys(value) for key, value in answer.items() if key not in ("live", "voided", "of")))
