"""Every code the program gives is explained in each of its senses, and no explanation promises too much."""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Iterable
from pathlib import Path

import pytest

import stock
from stock.core.explain import EXPLAINED, Explained
from stock.core.kinds import BY_NAME as KINDS
from stock.core.picking.candidates import PICK_CODES
from stock.core.reasons import RECORDING_CODES, TAPE_CODES
from stock.core.rules import BY_NAME as RULES
from stock.core.rules import GRADES
from stock.core.senses import OF_WORDS, SENSES, near, senses_of
from stock.core.verdict import VERDICTS
from stock.desk import wipe_errors
from stock.desk.desk import GUARDED
from stock.desk.errors import DeskError, LabelAsked, Unproved
from stock.proof.remarks import KINDS as REMARKS

ROOT = Path(stock.__file__).parent
JUDGING = [ROOT / "core" / f"{name}.py" for name in ("recording", "custody", "proof", "fitness", "verdict")]
"""Where reasons are made."""
EVERY = [(of, code, found) for of, table in SENSES.items() for code, found in table.items()]


def first_words(files: Iterable[Path], *calls: str) -> set[str]:
    """The codes that sources give to some calls as their first argument."""
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


def test_no_reason_in_the_source_is_left_out() -> None:
    given = first_words(JUDGING, "Reason", "_reason", "add", "Fault")
    assert len(given) > 25
    assert given <= {*SENSES["recording"], *SENSES["tape"]}
    assert {*SENSES["recording"], *SENSES["tape"]} == {*RECORDING_CODES, *TAPE_CODES}
    assert set(SENSES["pick"]) == set(PICK_CODES)
    assert {*SENSES["recording"], *SENSES["tape"], *SENSES["pick"]} == set(EXPLAINED)


def test_verdicts_grades_and_answers_about_a_place_are_explained() -> None:
    assert set(SENSES["verdict"]) == set(VERDICTS)
    assert set(SENSES["grade"]) == set(GRADES)
    assert set(SENSES["trust"]) == {"yes", "no", "unknown"}


def test_every_refusal_of_a_wipe_and_of_throwing_tape_away_is_explained() -> None:
    refused = {
        error.code
        for error in vars(wipe_errors).values()
        if isinstance(error, type) and issubclass(error, DeskError) and error is not DeskError
    }
    assert len(refused) > 8
    assert set(SENSES["wipe"]) == refused | {LabelAsked.code, Unproved.code}


@pytest.mark.parametrize("name", ["guard", "wiping", "editing"])
def test_what_guards_raises_nothing_that_is_not_explained(name: str) -> None:
    tree = ast.parse((ROOT / "desk" / f"{name}.py").read_text(encoding="utf-8"))
    raised = {
        node.exc.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and isinstance(node.exc.func, ast.Name)
    }
    module = importlib.import_module(f"stock.desk.{name}")
    assert {getattr(module, error).code for error in raised} <= {*SENSES["wipe"], "no-such-reel", "cannot-enter"}


def test_every_remark_on_files_is_explained() -> None:
    assert set(SENSES["files"]) == set(REMARKS)
    assert first_words((ROOT / "proof").glob("*.py"), "remark") <= set(SENSES["files"])


def test_a_code_of_two_senses_is_told_in_both() -> None:
    assert [sense.of for sense in senses_of("damaged")] == ["tape", "files"]
    assert [sense.of for sense in senses_of("void-loosened")] == ["recording"]
    assert senses_of("no-such-code") == []
    assert near("to-short")[0] == "too-short"
    assert OF_WORDS.keys() == SENSES.keys()


@pytest.mark.parametrize(("of", "code", "found"), EVERY, ids=lambda each: each if isinstance(each, str) else "")
def test_an_explanation_is_whole(of: str, code: str, found: Explained) -> None:
    for text in (found.means, found.why):
        assert re.fullmatch(r"[A-Z].*\.", text, re.DOTALL), text
        assert "  " not in text
    assert not found.changes.endswith(".")
    assert set(found.rules) <= RULES.keys()
    assert len(set(found.rules)) == len(found.rules)
    assert set(found.enter) <= KINDS.keys() - GUARDED.keys(), "what `add` takes"


_PROMISES = re.compile(r"\b(guarantee\w*|certainly|always|will be clear|becomes clear|is safe to|surely clear)\b")


@pytest.mark.parametrize(("of", "code", "found"), EVERY, ids=lambda each: each if isinstance(each, str) else "")
def test_no_explanation_promises_an_answer(of: str, code: str, found: Explained) -> None:
    assert not _PROMISES.search(found.changes)


def test_a_rule_named_beside_a_reason_is_one_that_reasons_read() -> None:
    source = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "core").glob("*.py"))
    for of, code, found in EVERY:
        if of not in ("recording", "tape"):
            continue
        for name in found.rules:
            stem = next((name.removesuffix(grade) for grade in GRADES if name.endswith(f"_{grade}")), name)
            read = (f'number("{name}")', f'number(f"{stem}{{', f'graded("{stem.rstrip("_")}"')
            assert any(words in source for words in read), (code, name)
