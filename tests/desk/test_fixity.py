"""Copies read again when they are due, and the transfers that wait for proof."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from stock.desk.desk import Desk
from stock.desk.fixity import read_due
from stock.desk.listening import heard, to_hear
from stock.desk.proving import NoSuchTransfer
from stock.desk.waiting import waiting
from tests.desk.clock import Clock
from tests.proved_house import DAY_US, REEL, TRANSFER, Ticking, damage, proved_house

NOW_US = Clock().now_us


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    desk = proved_house(tmp_path, NOW_US)
    yield desk
    desk.close()


def later(desk: Desk, days: int) -> None:
    assert isinstance(desk._now_us, Ticking)
    desk._now_us.now_us += days * DAY_US


def verdict(desk: Desk) -> str:
    (answer,) = desk.advise([REEL])
    return answer.verdict


def test_what_is_due_is_read_and_then_due_no_more(desk: Desk) -> None:
    assert list(read_due(desk)) == []
    later(desk, 340)
    assert [(each.copy.copy, each.result) for each in read_due(desk)] == [("disk a", "pass"), ("disk b", "pass")]
    assert list(read_due(desk)) == []


def test_one_that_failed_does_not_keep_the_others_from_being_read(desk: Desk, tmp_path: Path) -> None:
    later(desk, 340)
    damage(tmp_path / "a")
    assert [each.result for each in read_due(desk)] == ["fail", "pass"]
    assert verdict(desk) == "keep"


def test_a_medium_that_is_away_is_neither_failure_nor_pass(desk: Desk, tmp_path: Path) -> None:
    later(desk, 340)
    (tmp_path / "a").rename(tmp_path / "away")
    before = verdict(desk)
    read = list(read_due(desk))
    assert [(each.result, each.proved is None) for each in read] == [("not reachable", True), ("pass", False)]
    assert verdict(desk) == before


def test_a_stopped_run_records_nothing_of_what_it_stopped_in(desk: Desk) -> None:
    later(desk, 340)
    answers = iter([False, True])
    read = list(read_due(desk, stop=lambda: next(answers, True)))
    assert [each.result for each in read] == ["stopped"]
    assert len(list(read_due(desk))) == 2


def test_what_waits_says_what_would_help_most(desk: Desk, tmp_path: Path) -> None:
    assert waiting(desk) == []
    later(desk, 366)
    (found,) = waiting(desk)
    assert (found.transfer, found.reel, found.takes) == (TRANSFER, REEL, ("take Ferry Song/1",))
    assert found.action is not None
    assert (found.action.code, found.action.copy) == ("read", "disk b")
    list(read_due(desk))
    assert waiting(desk) == []


def test_a_reel_that_is_wiped_waits_for_nothing(desk: Desk) -> None:
    from stock.desk import wiping

    wiping.permit(desk, REEL, label=REEL, heard=["Ferry Song"] * 3)
    wiping.done(desk, REEL, method="bulk")
    later(desk, 366)
    assert waiting(desk) == []
    assert len(list(read_due(desk))) == 2, "its copies are all there is of it now"


def test_a_listen_is_entered_with_what_was_heard(desk: Desk) -> None:
    asked = to_hear(desk, TRANSFER)
    assert asked.tracks == ((1, "kick"), (2, "snare"))
    assert asked.places_us == (0, 0, 0)
    heard(desk, asked, "a click at the end")
    with desk.store.reading() as reader:
        ((by, note),) = reader.raw('SELECT "by", note FROM listens ORDER BY entry DESC LIMIT 1')
    assert (by, note) == ("Tess Amblin", "head, middle and end of tracks 1-2; a click at the end")
    with pytest.raises(NoSuchTransfer):
        to_hear(desk, "T9")
