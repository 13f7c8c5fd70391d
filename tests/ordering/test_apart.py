"""A question asked of another process, which is ended when its time is up or nobody waits any more."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from stock.planning.apart import answers

MODULE = """
import json, pathlib, sys, threading
question = json.load(sys.stdin)
print(json.dumps({"asked": question}), flush=True)
print('{"half', end="", flush=True)
pathlib.Path(__file__).with_name("answered").touch()
if question == "go on":
    threading.Event().wait()
"""
"""Answers once, begins another answer, says that it has, and goes on for ever if it is asked to."""


@pytest.fixture
def answered(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The file by which the module says that it has answered."""
    (tmp_path / "goes_on.py").write_text(MODULE, encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    return tmp_path / "answered"


def test_what_was_answered_is_kept_when_nobody_waits_any_more(answered: Path) -> None:
    assert answers("goes_on", json.dumps("go on"), 600, answered.exists) == [{"asked": "go on"}]


def test_it_is_ended_when_its_time_is_up(answered: Path) -> None:
    assert answers("goes_on", json.dumps("go on"), 0) in ([], [{"asked": "go on"}])


def test_an_answer_cut_off_is_left_out(answered: Path) -> None:
    assert answers("goes_on", json.dumps("stop"), 600) == [{"asked": "stop"}]
    assert answered.exists()


def test_a_module_that_is_not_there_answers_nothing() -> None:
    assert answers("no_such_module_anywhere", "{}", 600) == []
