"""The list of reels: made from the facts, kept up with them, found out where it differs."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from stock.core.verdict import advise
from stock.desk.desk import Desk
from stock.desk.editing import throw_away
from stock.desk.exchanging import load
from stock.desk.shelf import SORTS, Shelf, ShelfQuery, shelf_path
from tests.desk.clock import DAY_US, Clock

SEED = Path(__file__).parents[2] / "seed"
EVENING = datetime(2026, 11, 20, 18, tzinfo=UTC)


@pytest.fixture
def clock() -> Clock:
    return Clock(EVENING)


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    desk = Desk.open(tmp_path / "house.db", "Ann", now_us=clock)
    assert not load(desk, SEED).found
    yield desk
    desk.close()


@pytest.fixture
def shelf(desk: Desk) -> Iterator[Shelf]:
    shelf = Shelf(desk)
    shelf.refresh()
    yield shelf
    shelf.close()


def reels(shelf: Shelf, query: ShelfQuery) -> list[str]:
    return [row.reel for row in shelf.rows(shelf.find(query))]


def test_every_reel_is_listed_with_its_verdict(desk: Desk, shelf: Shelf) -> None:
    rows = {row.reel: row.verdict for row in shelf.rows(shelf.find(ShelfQuery()))}
    answers = {answer.reel: answer.verdict for answer in desk.advise()}
    assert len(rows) >= 60
    assert rows == answers


@pytest.mark.parametrize(
    ("words", "reel"),
    [
        ("M-0151", "M-0151"),
        ("0151", "M-0151"),
        ("151", "M-0151"),
        ("m-01 regatta", "M-0151"),
        ("tin REG", "M-0151"),
        ("lamplighter", "M-0151"),
        ("drop-in wed", "M-0151"),
    ],
)
def test_words_begin_words_of_number_project_title_and_note(shelf: Shelf, words: str, reel: str) -> None:
    found = reels(shelf, ShelfQuery(words))
    assert reel in found
    assert len(found) < len(reels(shelf, ShelfQuery()))


@pytest.mark.parametrize(
    "words", ['"', "'", "a OR b", "NEAR(", "*", "x*y", "-", "(", "words:", "^a", "\x00", "\ud800", "%", "😀"]
)
def test_what_is_typed_is_never_the_language_of_the_search(shelf: Shelf, words: str) -> None:
    assert isinstance(shelf.find(ShelfQuery(words)), list)


def test_filters_and_orders(shelf: Shelf) -> None:
    verdicts = dict(shelf.values("verdict"))
    for verdict, count in verdicts.items():
        assert len(shelf.find(ShelfQuery(verdict=verdict))) == count
    for sort in SORTS:
        assert sorted(reels(shelf, ShelfQuery(sort=sort))) == reels(shelf, ShelfQuery())
    longest = [row.longest for row in shelf.rows(shelf.find(ShelfQuery(sort="longest")))]
    assert longest == sorted(longest, reverse=True)


def test_nothing_is_worked_out_anew_while_nothing_changes(shelf: Shelf) -> None:
    assert shelf.refresh() == set()


def test_a_new_fact_changes_its_reel_alone(desk: Desk, shelf: Shelf) -> None:
    desk.add("hold", {"hold": "H-9", "reel": "M-0101", "reason": "the client rang"})
    assert shelf.refresh() == {"M-0101"}
    each = shelf.id_of("M-0101")
    assert each is not None
    assert [row.verdict for row in shelf.rows([each])] == ["keep"]


def test_a_fact_about_a_transfer_or_a_void_changes_the_reel_it_is_of(desk: Desk, shelf: Shelf) -> None:
    (entry,) = desk.add("hold", {"hold": "H-9", "reel": "M-0101", "reason": "the client rang"}).entries
    shelf.refresh()
    desk.void(entry, "the wrong reel")
    assert shelf.refresh() == {"M-0101"}
    desk.add("listen", {"transfer": "LP-1"})
    assert shelf.refresh() == {"M-0151"}
    desk.add("hold-end", {"hold": _hold(desk)})
    touched = shelf.refresh()
    assert touched is not None and len(touched) == 1


def _hold(desk: Desk) -> str:
    with desk.store.reading() as reader:
        return str(reader.raw('SELECT "hold" FROM holds ORDER BY entry DESC LIMIT 1 OFFSET 1')[0][0])


def test_rules_and_new_days_may_change_any_reel(desk: Desk, shelf: Shelf, clock: Clock) -> None:
    desk.add("rule", {"rule": "passes_scratch", "value": "1"})
    assert shelf.refresh() is None
    assert shelf.differences() == []
    clock.now_us += 400 * DAY_US
    assert shelf.refresh() is None
    assert {row.reel: row.verdict for row in shelf.rows(shelf.find(ShelfQuery()))} == {
        answer.reel: answer.verdict for answer in advise(desk.house())
    }


def test_many_changes_later_the_list_is_what_the_facts_say(desk: Desk, shelf: Shelf) -> None:
    desk.add("pass", {"reel": "M-0101", "kind": "play", "count": "50"})
    desk.add("finding", {"reel": "M-0102", "kind": "sticky", "severity": "2"})
    throw_away(desk, {"reel": "M-0105", "start": "0 ft", "end": "30 ft"}, label="M-0105")
    desk.add("move", {"reel": "M-0106", "kind": "out", "to": "the other studio"})
    shelf.refresh()
    assert shelf.differences() == []


def test_a_list_that_says_other_than_the_facts_is_found(desk: Desk, shelf: Shelf) -> None:
    with sqlite3.connect(shelf_path(desk.store.path)) as other:
        other.execute("UPDATE shelf SET verdict = 'clear' WHERE reel = 'M-0151'")
    other.close()
    assert shelf.differences() == ["M-0151"]


@pytest.mark.parametrize("content", [b"", b"not a database", bytes(4096)])
def test_a_damaged_list_is_made_again(desk: Desk, shelf: Shelf, content: bytes) -> None:
    shelf.close()
    shelf_path(desk.store.path).write_bytes(content)
    again = Shelf(desk)
    again.refresh()
    assert len(again.find(ShelfQuery())) >= 60
    assert again.differences() == []
    again.close()
