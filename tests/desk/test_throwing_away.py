"""Tape thrown away is guarded as a wipe is: the label, a fresh answer, a second person, a copy read lately."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from stock.core.kinds import BY_NAME
from stock.core.label_code import label_code
from stock.desk.desk import Desk
from stock.desk.editing import see_edit, throw_away
from stock.desk.errors import CannotEnter, LabelAsked, NoSuchReel, Unproved
from stock.desk.wipe_errors import AnswerStale, LabelDiffers, RereadNeeded, SecondPersonNeeded
from tests.desk.clock import Clock
from tests.proved_house import DAY_US, REEL, TRANSFER, Ticking, proved_house

HEAD = {"reel": REEL, "start": "0 ft", "end": "20 ft"}
"""Blank tape: the take of this house begins at 75 ft."""
TAKE = {"reel": REEL, "start": "70 ft", "end": "90 ft"}


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    desk = proved_house(tmp_path, Clock().now_us)
    yield desk
    desk.close()


def edits(desk: Desk) -> list[tuple[str]]:
    with desk.store.reading() as reader:
        return reader.raw("SELECT reel FROM edits")


def test_nothing_is_thrown_away_as_an_ordinary_fact(desk: Desk) -> None:
    with pytest.raises(LabelAsked):
        desk.add("edit", {**HEAD, "to_reel": " "})
    with pytest.raises(LabelAsked):
        desk.add_all([(BY_NAME["edit"], HEAD)], "two at once")
    assert edits(desk) == []
    desk.add("edit", {**HEAD, "to_reel": "W-2"})
    assert edits(desk) == [(REEL,)]


@pytest.mark.parametrize("label", ["", "W-2", "W 1", "y", label_code("W-2"), label_code(REEL)[:-1] + "*"])
def test_another_label_throws_nothing_away(desk: Desk, label: str) -> None:
    for _ in range(50):
        with pytest.raises(LabelDiffers):
            throw_away(desk, HEAD, label=label)
    assert edits(desk) == []


@pytest.mark.parametrize("label", [REEL, " w-1 ", label_code(REEL)])
def test_the_label_typed_or_scanned_lets_it_go(desk: Desk, label: str) -> None:
    seen = see_edit(desk, HEAD)
    assert (seen.thrown_away, seen.second_needed, seen.unread) == (True, False, ())
    throw_away(desk, HEAD, label=label, seen=seen.seen)
    assert edits(desk) == [(REEL,)]


def at_midnight(desk: Desk) -> None:
    assert isinstance(desk._now_us, Ticking)
    desk._now_us.now_us += DAY_US


ARRIVES: dict[str, Callable[[Desk], object]] = {
    "a hold": lambda desk: desk.add("hold", {"hold": "H", "reel": REEL, "reason": "the client rang"}),
    "a pass that changes no answer": lambda desk: desk.add("pass", {"reel": REEL, "kind": "play"}),
    "a punch-in": lambda desk: desk.add("pass", {"reel": REEL, "kind": "record", "tracks": "2"}),
    "another owner": lambda desk: desk.add("owner", {"reel": REEL, "owner": "The Pellow Sisters"}),
    "another cut": lambda desk: throw_away(desk, HEAD, label=REEL),
    "midnight": at_midnight,
}


@pytest.mark.parametrize("what", sorted(ARRIVES))
def test_what_arrives_after_the_look_refuses(desk: Desk, what: str) -> None:
    seen = see_edit(desk, TAKE)
    ARRIVES[what](desk)
    before = edits(desk)
    with pytest.raises(AnswerStale):
        throw_away(desk, TAKE, label=REEL, seen=seen.seen)
    assert edits(desk) == before


def test_what_is_unproved_is_refused_without_a_look_too(desk: Desk) -> None:
    desk.add("hold", {"hold": "H", "reel": REEL, "reason": "the client rang"})
    with pytest.raises(Unproved):
        throw_away(desk, TAKE, label=REEL)
    with pytest.raises(Unproved):
        throw_away(desk, {"reel": "W-2", "start": "70 ft", "end": "90 ft"}, label="W-2")
    assert edits(desk) == []


def test_a_second_person_is_named_and_stays_in_the_journal(desk: Desk) -> None:
    desk.add("rule", {"rule": "second_person_always", "value": "1"})
    assert see_edit(desk, HEAD).second_needed
    for second in (None, "", " ", "tess  amblin"):
        with pytest.raises(SecondPersonNeeded):
            throw_away(desk, HEAD, label=REEL, second=second)
    assert edits(desk) == []
    throw_away(desk, HEAD, label=REEL, second="Pim Dacey")
    with desk.store.reading() as reader:
        head = reader.head()
    assert head is not None
    assert "second person Pim Dacey" in head.what


def test_a_copy_of_what_goes_was_read_lately(tmp_path: Path) -> None:
    desk = proved_house(tmp_path, Clock().now_us, read_days_ago=9)
    assert see_edit(desk, TAKE).unread == (TRANSFER,)
    with pytest.raises(RereadNeeded):
        throw_away(desk, TAKE, label=REEL)
    assert edits(desk) == []
    assert see_edit(desk, HEAD).unread == ()
    throw_away(desk, HEAD, label=REEL)
    desk.close()


def test_a_reel_not_there_or_not_said_is_an_error(desk: Desk) -> None:
    with pytest.raises(NoSuchReel):
        throw_away(desk, {**HEAD, "reel": "W-9"}, label="W-9")
    with pytest.raises(CannotEnter):
        throw_away(desk, {"start": "0 ft", "end": "1 ft"}, label="")


def test_tape_that_went_to_another_reel_since_is_not_thrown_away_before_that(desk: Desk) -> None:
    desk.add("edit", {**HEAD, "to_reel": "W-2", "to_at": "0 ft"})
    desk.add("hold", {"hold": "H", "reel": "W-2", "reason": "the client rang"})
    before = edits(desk)
    with pytest.raises(CannotEnter):
        throw_away(desk, {**HEAD, "date": "2026-02-20"}, label=REEL)
    assert edits(desk) == before
