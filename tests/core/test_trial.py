"""Other rules tried on a house answer what the house answers once they are entered, and write nothing."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

import stock.core
from stock.core.house import House
from stock.core.rule_groups import GROUPS, group_of, rules_of, unit_of, why_of
from stock.core.rules import BY_NAME, GRADES, RULES, Rules
from stock.core.trial import (
    FREE,
    JUDGED,
    OF_RECORDING,
    OF_TAPE,
    Change,
    Effect,
    Standing,
    is_looser,
    standing,
    standings,
    under,
)
from stock.core.verdict import advise
from stock.store.store import Store
from tests.oracle.houses import AS_OF

from .builder import Studio
from .entry import facts_of, house_of
from .test_agreement import DAY, rows_of

CHUNK = 40
FIRST = 900
"""Houses other than those the two judges are compared on."""

VALUES = {
    "passes": ("0", "3", "40"),
    "wipes": ("0", "2", "9"),
    "response_fall": ("0.1", "9"),
    "severity": ("0", "3"),
    "inspection_days": ("1", "900"),
    "binder_watch_days": ("1", "3000"),
    "usual_speed": ("30 ips", "3.75 ips"),
    "shortest_stretch": ("1 m", "300 m"),
    "splice_guard_s": ("0", "30"),
    "unused_head_s": ("0", "60"),
    "unused_head_length": ("0 m", "90 m"),
    "unused_tail_s": ("0", "90"),
    "stray_s": ("0", "600"),
    "minimum_rate_hz": ("8000", "192000"),
    "minimum_bits": ("8", "32"),
    "cooling_days": ("0", "3000"),
    "copies_needed": ("0", "1", "3"),
    "media_needed": ("0", "1", "3"),
    "elsewhere_needed": ("0", "2"),
    "copy_check_days": ("1", "9000"),
    "gap_s": ("1",),
    "budget_month": ("5",),
}
"""Values that bind and values that let go, by rule, those of all grades together."""


def tried(rng: Random) -> dict[str, str]:
    """One to three rules with values to try, most often of one sort."""
    sort = sorted(rng.choice((OF_TAPE, OF_RECORDING, OF_RECORDING, JUDGED - {"time_zone"}, frozenset(BY_NAME))))
    known = [name for name in sort if _stem(name) in VALUES]
    return {name: rng.choice(VALUES[_stem(name)]) for name in rng.sample(known, rng.randint(1, 3))}


def _stem(name: str) -> str:
    return next((name.removesuffix(f"_{grade}") for grade in GRADES if name.endswith(f"_{grade}")), name)


def all_standing(house: House) -> dict[str, Standing]:
    """How every reel stands, by the answers that screens and commands give."""
    return {answer.reel: standing(answer.verdict, answer.best_grade) for answer in advise(house)}


@pytest.mark.parametrize("first", range(FIRST, FIRST + 160, CHUNK))
def test_what_is_tried_is_what_is_answered_once_it_is_entered(empty: Store, first: int) -> None:
    changed = 0
    for seed in range(first, first + CHUNK):
        rows, asked = rows_of(seed), tried(Random(seed))
        house = house_of(facts_of(empty, rows), DAY)
        entered = [
            {"rule": name, "value": value, "date": AS_OF.isoformat(), "by": "Ada Quill"}
            for name, value in asked.items()
        ]
        facts = facts_of(empty, {**rows, "rules": [*rows["rules"], *entered]})
        wanted = all_standing(house_of(facts, DAY))
        rules = house_of(facts, DAY).rules
        before = all_standing(house)
        other = house.with_rules({name: rules.value(name) for name in asked})
        found = list(under(other, asked, standings(house, house.reel_numbers)))
        assert [reel for reel, _, _ in found] == house.reel_numbers
        assert {reel: stood for reel, stood, _ in found} == before, seed
        assert {reel: then for reel, _, then in found} == wanted, (seed, asked)
        assert all_standing(house) == before, "nothing of the house is other than it was"
        changed += before != wanted
    assert changed >= 5


def test_no_verdict_rests_on_another_rule(empty: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: set[str] = set()
    number = Rules.number

    def noted(self: Rules, name: str) -> int:
        asked.add(name)
        return number(self, name)

    monkeypatch.setattr(Rules, "number", noted)
    for seed in range(FIRST, FIRST + 60):
        for _ in advise(house_of(facts_of(empty, rows_of(seed)), DAY)):
            pass
    assert asked == JUDGED - {"time_zone"}


def test_the_two_questions_name_no_rule_of_the_other() -> None:
    """By the source: a rule's name stands in a judging module only where that question rests on it."""
    for modules, theirs in (
        (("recording", "proof", "live", "custody", "take_proof"), OF_TAPE - {"usual_speed"}),
        (("fitness",), OF_RECORDING),
    ):
        for module in modules:
            told = set(_texts(Path(stock.core.__path__[0]) / f"{module}.py"))
            assert not told & theirs, module


def _texts(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def test_an_effect_gathers_what_becomes_free_first() -> None:
    changes = (
        Change("A", Standing("clear", "standard"), Standing("keep", None)),
        Change("B", Standing("keep", None), Standing("clear", "scratch")),
        Change("C", Standing("inspect", None), Standing("blank", "critical")),
        Change("D", Standing("clear", "standard"), Standing("clear", "critical")),
        Change("E", Standing("keep", None), Standing("clear", "standard")),
        Change("F", Standing("clear", "standard"), Standing("blank", "standard")),
    )
    effect = Effect(9, changes)
    assert effect.freed == ("B", "C", "E")
    assert [(move.before, move.after, move.reels) for move in effect.moves] == [
        ("keep", "clear", ("B", "E")),
        ("inspect", "blank", ("C",)),
        ("clear", "blank", ("F",)),
        ("clear", "keep", ("A",)),
    ]
    assert [change.reel for change in effect.regraded] == ["D"]
    assert all(move.after in FREE for move in effect.moves[:2])


def test_looser_and_stricter() -> None:
    def looser(name: str, before: int | str, after: int | str) -> bool:
        return is_looser(BY_NAME[name], before, after)

    assert looser("copies_needed", 2, 1)
    assert not looser("copies_needed", 2, 2)
    assert not looser("copies_needed", 1, 2)
    assert looser("copy_check_days", 365, 366)
    assert not looser("copy_check_days", 365, 364)
    assert not looser("usual_speed", 381_000, 762_000)
    assert not looser("time_zone", "UTC", "Europe/Oslo")


def test_a_rule_set_at_the_same_moment_yields_only_to_a_stricter(empty: Store) -> None:
    studio = Studio(empty)
    house = studio.house()
    assert house.with_rules({"copies_needed": 1}).rules.number("copies_needed") == 1
    again = house.with_rules({"copies_needed": 3})
    assert (again.rules.number("copies_needed"), house.rules.number("copies_needed")) == (3, 2)


def test_every_rule_is_in_one_group_with_unit_and_reason() -> None:
    grouped = [rule.name for group in GROUPS for rule in rules_of(group)]
    assert sorted(grouped) == sorted(rule.name for rule in RULES)
    assert len({group.name for group in GROUPS}) == len(GROUPS)
    for rule in RULES:
        assert rule in rules_of(group_of(rule.name))
        assert unit_of(rule)
        assert why_of(rule).endswith(".")


def test_limits_of_passes_say_that_they_are_the_houses_own() -> None:
    for stem in ("passes", "wipes", "response_fall"):
        for grade in GRADES:
            assert "No published figure was found" in why_of(BY_NAME[f"{stem}_{grade}"])
