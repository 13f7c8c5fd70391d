"""Explanations: there is one for every code an answer can give, and none promises what the rules do not."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from stock.core.explain import EXPLAINED, VERDICTS_EXPLAINED, codes_explained
from stock.core.kinds import BY_NAME
from stock.core.reasons import RECORDING_CODES, TAPE_CODES
from stock.core.rules import RULES
from stock.core.verdict import VERDICTS

CORE = Path(__file__).parents[2] / "stock" / "core"


def codes_given() -> set[str]:
    """The codes that reasons are made with, read out of the code itself."""
    found = set()
    for path in CORE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Reason" and node.args:
                first = node.args[0]
                if isinstance(first, ast.Constant):
                    found.add(first.value)
    return found


def test_every_code_is_explained_and_no_other() -> None:
    assert EXPLAINED.keys() == codes_explained()
    assert set(VERDICTS_EXPLAINED) == set(VERDICTS)
    given = codes_given()
    assert len(given) > 8
    assert given <= EXPLAINED.keys()


@pytest.mark.parametrize("code", EXPLAINED)
def test_an_explanation_is_whole(code: str) -> None:
    found = EXPLAINED[code]
    assert found.means.endswith(".")
    assert found.why.endswith(".")
    assert not found.changes.endswith(".")
    assert set(found.rules) <= {rule.name for rule in RULES}
    assert set(found.enter) <= BY_NAME.keys()


@pytest.mark.parametrize("code", ["sticky", "shedding", "vinegar", "mould"])
def test_no_recipe_is_given_for_sick_tape(code: str) -> None:
    assert "specialist" in EXPLAINED[code].changes
    assert not any(word in EXPLAINED[code].changes for word in ("bake", "degrees", "hours", "clean"))


def test_what_a_reference_tape_is_for_nothing_changes() -> None:
    assert not EXPLAINED["reference-tape"].changes
    assert not EXPLAINED["retired"].changes


def test_codes_are_those_of_the_lists() -> None:
    assert {*RECORDING_CODES, *TAPE_CODES} <= EXPLAINED.keys()
