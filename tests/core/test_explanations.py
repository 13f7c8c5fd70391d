"""Every code the program gives is explained, none that it does not give, and no explanation promises too much."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
from collections.abc import Iterable
from pathlib import Path

import pytest

import stock
from stock.core.explain.explanation import OF_WORDS, Explanation
from stock.core.explain.table import EXPLANATIONS, explain, explained, near
from stock.core.kinds import BY_NAME as KINDS
from stock.core.picking.candidates import PICK_CODES
from stock.core.reasons import RECORDING_CODES, TAPE_CODES
from stock.core.rules import BY_NAME as RULES
from stock.core.rules import GRADES
from stock.core.verdict import VERDICTS
from stock.desk import wipe_errors
from stock.desk.errors import DeskError, LabelAsked, Unproved
from stock.proof.remarks import KINDS as REMARKS

ROOT = Path(stock.__file__).parent
JUDGING = [ROOT / "core" / f"{name}.py" for name in ("recording", "custody", "proof", "fitness", "verdict")]
"""Where reasons are made."""


def codes(of: str) -> set[str]:
    return {each.code for each in EXPLANATIONS if each.of == of}


def first_words(files: Iterable[Path], *calls: str) -> set[str]:
    """The codes that the source of a room gives to some calls as their first argument."""
    found = set()
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", getattr(node.func, "attr", "")) in calls
                and node.args
                and isinstance(node.args[0], ast.Constant)
                and isinstance(node.args[0].value, str)
            ):
                found.add(node.args[0].value)
    return found


def test_every_code_of_a_reason_is_explained_and_no_other() -> None:
    assert codes("recording") == set(RECORDING_CODES)
    assert codes("tape") == set(TAPE_CODES)


def test_no_reason_in_the_source_is_left_out() -> None:
    given = first_words(JUDGING, "Reason", "_reason", "add", "Fault")
    assert len(given) > 20
    assert given <= codes("recording") | codes("tape")


def test_verdicts_grades_and_answers_about_a_place_are_explained() -> None:
    assert codes("verdict") == set(VERDICTS)
    assert codes("grade") == set(GRADES)
    assert codes("trust") == {"yes", "no", "unknown"}


def test_every_refusal_of_a_wipe_and_of_throwing_tape_away_is_explained() -> None:
    refused = {
        error.code
        for error in vars(wipe_errors).values()
        if isinstance(error, type) and issubclass(error, DeskError) and error is not DeskError
    }
    assert len(refused) > 8
    assert codes("wipe") == refused | {LabelAsked.code, Unproved.code}


def test_no_refusal_that_guards_is_defined_elsewhere() -> None:
    """The guard raises nothing but what is explained."""
    for name in ("guard", "wiping"):
        tree = ast.parse((ROOT / "desk" / f"{name}.py").read_text(encoding="utf-8"))
        raised = {
            node.exc.func.id
            for node in ast.walk(tree)
            if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and isinstance(node.exc.func, ast.Name)
        }
        module = importlib.import_module(f"stock.desk.{name}")
        assert raised
        assert {getattr(module, error).code for error in raised} <= codes("wipe") | {"no-such-reel"}


def test_every_code_of_picking_is_explained() -> None:
    assert codes("pick") == {*PICK_CODES, "too-many-reuses"}


def test_every_remark_on_files_is_explained() -> None:
    assert codes("files") == set(REMARKS)
    assert first_words((ROOT / "proof").glob("*.py"), "remark") <= codes("files")


def test_each_code_is_explained_once_for_each_thing_it_is() -> None:
    keys = [(each.of, each.code) for each in EXPLANATIONS]
    assert len(keys) == len(set(keys))
    assert {each.of for each in EXPLANATIONS} == set(OF_WORDS)
    assert [each.of for each in explained("void-loosened")] == ["recording", "tape"]
    assert explained("no-such-code") == []
    assert explain("tape", "mould").code == "mould"
    assert near("to-short")[0] == "too-short"


@pytest.mark.parametrize("each", EXPLANATIONS, ids=lambda each: f"{each.of}-{each.code}")
def test_an_explanation_is_whole(each: Explanation) -> None:
    for text in (each.means, each.stands, each.changes):
        assert re.fullmatch(r"[A-Z].*\.", text, re.DOTALL), text
        assert "  " not in text
    assert set(each.rules) <= RULES.keys()
    assert set(each.enter) <= KINDS.keys()
    assert len(set(each.rules)) == len(each.rules)


_PROMISES = re.compile(r"\b(guarantee\w*|certainly|always|will be clear|becomes clear|is safe to|surely clear)\b")
_LOOKED_AT = {
    "content-unknown",
    "stray-field",
    "not-inspected",
    "wiped-not-heard",
    "batch-suspect",
    "inspect",
    "unknown",
}


@pytest.mark.parametrize("each", EXPLANATIONS, ids=lambda each: f"{each.of}-{each.code}")
def test_no_explanation_promises_an_answer(each: Explanation) -> None:
    assert not _PROMISES.search(each.changes)
    if each.code in _LOOKED_AT:
        assert "decides" in each.changes, "what is found may as well be bad"


def test_a_limit_in_a_sentence_about_a_reason_is_a_rule_the_answer_reads() -> None:
    """A rule named beside a reason is read where reasons are made."""
    source = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "core").glob("*.py"))
    for each in EXPLANATIONS:
        if each.of not in ("recording", "tape"):
            continue
        for name in each.rules:
            stem = next((name.removesuffix(grade) for grade in GRADES if name.endswith(f"_{grade}")), name)
            read = (f'number("{name}")', f'number(f"{stem}{{', f'graded("{stem.rstrip("_")}"')
            assert any(words in source for words in read), (each.code, name)


def test_explaining_needs_nothing_but_the_core() -> None:
    """The tables are words: no module of theirs reaches out of the core."""
    package = importlib.import_module("stock.core.explain")
    for info in pkgutil.iter_modules(package.__path__):
        tree = ast.parse(Path(package.__path__[0], f"{info.name}.py").read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("stock"):
                assert node.module.startswith("stock.core"), node.module
