"""House rules looked at, tried and set: what is tried is what comes, and a stale answer is entered by nobody."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from stock.core.moments import date_of
from stock.core.rules import RULES
from stock.core.trial import FREE, Standing, standing
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.house_rules import RuleLine, StaleTrial, Trial, rule_lines, set_rules, try_rules
from stock.desk.rule_words import effect_said
from stock.desk.shelf import Shelf

from .houses import NOW_US


@pytest.fixture
def shelf(demo: Desk) -> Iterator[Shelf]:
    made = Shelf(demo)
    yield made
    made.close()


def tried(desk: Desk, shelf: Shelf | None = None, **asked: str) -> Trial:
    trial = try_rules(desk, asked, shelf=shelf)
    assert trial is not None
    return trial


def line_of(desk: Desk, rule: str) -> RuleLine:
    return next(line for line in rule_lines(desk)[1] if line.rule.name == rule)


def standings(desk: Desk) -> dict[str, Standing]:
    return {answer.reel: standing(answer.verdict, answer.best_grade) for answer in desk.advise()}


def said(trial: Trial, most: int = 3) -> list[str]:
    return [sign + words for sign, words in effect_said(trial, most)]


def test_every_rule_has_a_line_and_those_set_say_by_whom(demo: Desk) -> None:
    _, lines = rule_lines(demo)
    assert sorted(line.rule.name for line in lines) == sorted(rule.name for rule in RULES)
    passes = line_of(demo, "passes_critical")
    assert (passes.value, passes.default, passes.changed) == ("25", "30", True)
    assert passes.set_by is not None
    assert (passes.set_by.by, passes.set_by.day) == ("Ines Quill", "2025-03-03")
    speed = line_of(demo, "usual_speed")
    assert speed.set_by is not None
    assert not speed.changed, "set to what the default is"
    assert (line_of(demo, "gap_s").set_by, line_of(demo, "gap_s").changed) == (None, False)


@pytest.mark.parametrize(
    "asked",
    [
        {"passes_standard": "9"},
        {"passes_critical": "400", "inspection_days_critical": "4000"},
        {"copies_needed": "3"},
        {"copies_needed": "1", "cooling_days": "0"},
        {"copies_needed": "0", "media_needed": "0", "elsewhere_needed": "0", "passes_standard": "5"},
        {"shortest_stretch": "2000 ft"},
        {"time_zone": "Pacific/Kiritimati"},
    ],
)
def test_what_is_tried_is_what_comes(demo: Desk, shelf: Shelf, asked: dict[str, str]) -> None:
    before = standings(demo)
    shelf.refresh()
    alone, beside = tried(demo, **asked), tried(demo, shelf, **asked)
    assert alone.effect == beside.effect, "the list of reels knows how they stand now"
    assert standings(demo) == before
    set_rules(demo, alone, note="tried")
    after = standings(demo)
    changes = {change.reel: (change.before, change.after) for change in alone.effect.changes}
    assert changes == {reel: (before[reel], after[reel]) for reel in before if before[reel] != after[reel]}
    assert list(alone.effect.freed) == [
        reel for reel in before if after[reel].verdict in FREE and before[reel].verdict not in FREE
    ]


def test_a_list_that_is_not_up_to_date_is_not_believed(demo: Desk, shelf: Shelf) -> None:
    shelf.refresh()
    free = next(reel for reel, stood in standings(demo).items() if stood.verdict == "clear")
    demo.add("hold", {"hold": "h-9", "reel": free, "reason": "asked for"})
    with demo.store.reading() as reader:
        assert shelf.standings(reader, demo.as_of().day) is None
    assert tried(demo, shelf, copies_needed="9").effect == tried(demo, copies_needed="9").effect
    shelf.refresh()
    with demo.store.reading() as reader:
        known = shelf.standings(reader, demo.as_of().day)
        assert known is not None
        assert known[free][0] == "keep"
        assert shelf.standings(reader, demo.as_of().day + 1) is None


def test_rules_are_set_by_somebody_with_a_note(demo: Desk) -> None:
    trial = tried(demo, copies_needed="3", shortest_stretch="182.8801 m")
    receipt = set_rules(demo, trial, by="Bo Tarn", note="a drive was lost")
    assert len(receipt.entries) == 2
    line = line_of(demo, "copies_needed")
    assert line.set_by is not None
    assert (line.value, line.set_by.by, line.set_by.note) == ("3", "Bo Tarn", "a drive was lost")
    assert line.set_by.day == date_of(demo.as_of().day).isoformat()
    assert line_of(demo, "shortest_stretch").held == 1_828_801, "to the tenth of a millimetre"
    # left empty it is who acts
    later = Desk(demo.store, "Ada Quill", now_us=lambda: NOW_US + 1)
    set_rules(later, tried(later, copies_needed="2"))
    again = line_of(later, "copies_needed")
    assert again.set_by is not None
    assert again.set_by.by == "Ada Quill"
    assert not again.changed


def test_a_trial_overtaken_by_an_entry_is_not_entered(demo: Desk) -> None:
    trial = tried(demo, copies_needed="1")
    demo.add("finding", {"reel": "M-0151", "kind": "inspection", "severity": "0"})
    with pytest.raises(StaleTrial, match="`add finding` by Ada Quill"):
        set_rules(demo, trial)
    assert line_of(demo, "copies_needed").value == "2"
    set_rules(demo, tried(demo, copies_needed="1"))
    assert line_of(demo, "copies_needed").value == "1"


def test_a_trial_of_another_day_is_not_entered(demo: Desk) -> None:
    trial = tried(demo, copies_needed="1")
    tomorrow = Desk(demo.store, "Ada Quill", now_us=lambda: NOW_US + 86_400_000_000)
    with pytest.raises(StaleTrial):
        set_rules(tomorrow, trial)


def test_what_cannot_be_read_is_all_told_at_once(demo: Desk) -> None:
    with pytest.raises(CannotEnter) as told:
        try_rules(demo, {"copies_needed": "many", "gap_s": "9 kg", "stray_s": "9"})
    assert len(told.value.problems) == 2


def test_it_says_how_far_it_is_and_stops_when_told(demo: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("stock.desk.house_rules._TELL_EVERY", 7)
    steps: list[tuple[int, int]] = []
    trial = try_rules(demo, {"passes_standard": "9"}, told=lambda done, total: steps.append((done, total)))
    assert trial is not None
    assert steps == [(done, trial.effect.reels) for done in range(7, trial.effect.reels + 1, 7)]
    assert try_rules(demo, {"passes_standard": "9"}, stop=lambda: True) is None


def test_what_is_asked_about_twice(demo: Desk) -> None:
    assert tried(demo, copies_needed="1", cooling_days="0").effect.freed
    assert tried(demo, copies_needed="1", cooling_days="0").loosens
    # no reel changes today, but what guards recordings asks for less
    assert tried(demo, second_person_always="1").loosens is False
    assert tried(demo, wipe_reread_days="30").loosens
    assert tried(demo, copies_needed="1").loosens
    assert not tried(demo, copies_needed="3").loosens
    assert not tried(demo, gap_s="1").loosens


def test_the_words_of_an_effect(demo: Desk) -> None:
    loud, summary, *moves = said(tried(demo, copies_needed="1", cooling_days="0"))
    assert loud == "! 1 REEL WOULD BECOME CLEAR OR BLANK: M-0152."
    assert summary.startswith("~ 1 of ")
    assert moves == ["~ 1 from keep to clear: M-0152."]
    (nothing,) = said(tried(demo, wipe_reread_days="30"))
    assert nothing == "- No verdict rests on it. It bears on what is asked for when a wipe begins."
    none, grades = said(tried(demo, passes_standard="20"), 2)
    assert none.startswith("- None of ")
    assert grades.startswith("~ ")
    assert "at best for scratch instead of standard" in grades
