"""What is to be done as lines: heads, folding, ages in words, one task in full, texts that obey nothing."""

from __future__ import annotations

from typing import get_args

import pytest

from stock.core.now import HEADS, Code, Cure, Task, grouped
from tests.tui.reel_fixtures import HOSTILE
from tui.present.line import text_of
from tui.present.now import FEW, MORE, Row, age_words, detail_lines, nothing_lines, rows_of, state_line

TODAY = 20_000


def tasks(code: Code, count: int) -> list[Task]:
    return [
        Task(code, "reel", f"says {number}", "do it", reel=f"R{number:03d}", since=TODAY) for number in range(count)
    ]


def words(rows: list[Row]) -> list[str]:
    return [text_of(row.line) for row in rows]


def test_a_group_is_a_head_with_its_count_and_its_lines() -> None:
    rows = rows_of(grouped(tasks("to-transfer", 2)), {}, TODAY)
    assert words(rows) == [
        " • Reels to transfer  2",
        "   R000            today  says 0",
        "   R001            today  says 1",
    ]
    assert [row.is_head for row in rows] == [True, False, False]


@pytest.mark.parametrize(("count", "shown"), [(1, 1), (FEW, FEW), (FEW + 1, FEW + 1), (FEW + 2, FEW)])
def test_a_long_group_is_folded_and_a_line_that_says_one_more_is_that_one(count: int, shown: int) -> None:
    rows = rows_of(grouped(tasks("copy-due", count)), {}, TODAY)
    assert sum(row.task is not None for row in rows) == shown
    left = [row for row in rows if row.left]
    assert [row.left for row in left] == ([count - shown] if count > shown else [])
    assert all(text_of(row.line) == f"   … and {count - shown} more" for row in left)


def test_only_the_group_asked_for_unfolds() -> None:
    groups = grouped([*tasks("copy-due", 90), *tasks("to-transfer", 90)])
    rows = rows_of(groups, {"copy-due": FEW + MORE}, TODAY)
    shown = {
        code: sum(row.task is not None for row in rows if row.code == code) for code in ("copy-due", "to-transfer")
    }
    assert shown == {"copy-due": FEW + MORE, "to-transfer": FEW}


def test_urgency_is_told_by_a_sign_and_not_by_colour_alone() -> None:
    signs = {code: text_of(rows_of(grouped(tasks(code, 1)), {}, TODAY)[0].line).split()[0] for code in HEADS}
    assert set(signs.values()) == {"!", "•", "·"}
    order = "!•·"
    places = [order.index(sign) for sign in signs.values()]
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (0, "today"),
        (1, "1 day"),
        (59, "59 days"),
        (60, "2 months"),
        (729, "24 months"),
        (730, "2 years"),
        (-1, "in 1 day"),
        (-90, "in 3 months"),
    ],
)
def test_ages_in_words(days: int, said: str) -> None:
    assert age_words(TODAY - days, TODAY) == said
    assert age_words(None, TODAY) == ""


@pytest.mark.parametrize("cure", get_args(Cure))
def test_a_task_in_full_says_how_it_stands_what_to_do_and_what_enter_does(cure: Cure) -> None:
    task = Task("to-prove", cure, "nobody heard it", "listen to it", reel="R1", transfer="T1", copy="b", since=TODAY)
    about, remedy, does, says = [text_of(line) for line in detail_lines(Row("to-prove", (), task), [])]
    assert about == "R1, T1, copy b" + ("" if cure == "needs" else "   since 2024-10-04")
    assert (remedy, says) == ("→ listen to it", "Nobody heard it.")
    assert does.startswith("Enter ")
    roomy = [text_of(line) for line in detail_lines(Row("to-prove", (), task), [], roomy=True)]
    assert [line for line in roomy if line] == [about, says, remedy, does]


def test_what_unfolds_says_how_many() -> None:
    groups = grouped(tasks("copy-due", 90))
    (more,) = [row for row in rows_of(groups, {}, TODAY) if row.left]
    lines = [text_of(line) for line in detail_lines(more, groups)]
    assert lines == ["Copies due to be read again", f"90 of them, {90 - FEW} not shown.", f"Enter shows {MORE} more"]
    assert detail_lines(None, groups) == []


def test_the_state_counts_all_and_what_is_at_once() -> None:
    groups = grouped([*tasks("running", 1), *tasks("copy-due", 9)])
    assert text_of(state_line(groups, "10:00", "")) == "10 things to do, 1 at once   looked at 10:00"
    assert text_of(state_line([], "10:00", "needs to come")) == "Nothing to do   looked at 10:00   needs to come"
    assert any("Looked at 10:00" in text_of(line) for line in nothing_lines("10:00", "", has_reels=True))
    assert any("reelward load" in text_of(line) for line in nothing_lines("10:00", "", has_reels=False))


@pytest.mark.parametrize("text", HOSTILE)
def test_what_somebody_typed_is_shown_and_not_obeyed(text: str) -> None:
    task = Task("hold-ending", "reel", f"hold {text}", text, reel=text, hold=text, order=text, stock_item=text)
    rows = rows_of(grouped([task]), {}, TODAY)
    for said in (*words(rows), *(text_of(line) for line in detail_lines(rows[1], []))):
        assert not any(sign < " " or "\u202a" <= sign <= "\u202e" for sign in said)
