"""What is to be done with a reel: each task seen where it is due, and not where one fact less or more ends it."""

from __future__ import annotations

from collections.abc import Callable
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.now import HEADS, Code, Cure, Task, grouped, reel_tasks
from stock.store.store import Store

from .builder import AS_OF, Studio

Tell = Callable[[Studio, bool], None]
CASES: dict[str, tuple[Code, Tell]] = {}


def case(code: Code) -> Callable[[Tell], Tell]:
    """A decorator for what tells a house: with True so that the task is due, with False so that it just is not."""

    def gather(tell: Tell) -> Tell:
        CASES[tell.__name__] = code, tell
        return tell

    return gather


@case("running")
def a_take_without_an_end(studio: Studio, due: bool) -> None:
    studio.take(state="running" if due else "whole", end="" if due else "200 ft")


@case("wiped-not-heard")
def a_wipe(studio: Studio, due: bool) -> None:
    studio.wipe("2026-05-10")
    studio.find("listened", "0", "2026-05-09" if due else "2026-05-11")


@case("wiped-not-heard")
def a_wipe_of_what_is_fit_for_something(studio: Studio, due: bool) -> None:
    studio.wipe("2026-05-10")
    if not due:
        studio.find("mould", "2", "2026-05-11")


@case("hold-ending")
def a_hold_that_ends_soon(studio: Studio, due: bool) -> None:
    until = "2026-06-08" if due else "2026-06-09"
    studio.add("holds", hold="h", reel="R1", date="2026-01-01", until=until, reason="asked for", by="Bo Tarn")


@case("hold-ending")
def a_hold_past_its_day_over_something_live(studio: Studio, due: bool) -> None:
    if due:
        studio.take()
    studio.add("holds", hold="h", reel="R1", date="2026-01-01", until="2026-05-31", reason="asked for")


@case("hold-ending")
def a_hold_past_its_day_that_nobody_ended(studio: Studio, due: bool) -> None:
    studio.take()
    studio.add("holds", hold="h", reel="R1", date="2026-01-01", until="2026-05-31", reason="asked for")
    if not due:
        studio.add("hold_ends", hold="h", date="2026-05-30")


@case("hold-ending")
def a_hold_past_its_day_that_was_the_last(studio: Studio, due: bool) -> None:
    studio.take()
    studio.add("holds", hold="h", reel="R1", date="2026-01-01", until="2026-05-31", reason="asked for")
    if not due:
        studio.add("holds", hold="again", reel="R1", date="2026-05-30", reason="still asked for")


@case("to-transfer")
def a_take_of_which_nothing_is_transferred(studio: Studio, due: bool) -> None:
    take = studio.take(keep="keep" if due else "discard")
    assert take


@case("to-transfer")
def a_take_transferred_in_part(studio: Studio, due: bool) -> None:
    studio.prove(studio.take(), end="199 ft" if due else "200 ft")


@case("to-transfer")
def a_take_transferred_in_too_low_a_format(studio: Studio, due: bool) -> None:
    studio.prove(studio.take(), sample_rate_hz="44100" if due else "48000")


@case("to-prove")
def a_transfer_nobody_heard(studio: Studio, due: bool) -> None:
    chain = studio.proved_take()
    chain.listen["date"] = "2025-07-01" if due else "2025-08-02"


@case("to-prove")
def a_transfer_with_one_copy_read(studio: Studio, due: bool) -> None:
    chain = studio.proved_take()
    chain.checks[1]["method"] = "stated" if due else "read"


@case("cooling-off")
def a_transfer_too_young(studio: Studio, due: bool) -> None:
    chain = studio.proved_take()
    chain.transfer["date"] = "2026-05-19" if due else "2026-05-18"
    chain.listen["date"] = "2026-05-20"
    for check in chain.checks:
        check["date"] = "2026-05-20"


@case("overdue")
def a_reel_out(studio: Studio, due: bool) -> None:
    studio.add("moves", reel="R1", date="2026-05-17" if due else "2026-05-18", kind="out", to="the other house")


@case("overdue")
def a_reel_out_and_not_back(studio: Studio, due: bool) -> None:
    studio.add("moves", reel="R1", date="2026-05-01", kind="out")
    if not due:
        studio.add("moves", reel="R1", date="2026-05-31", kind="back")


@case("overdue")
def a_reel_out_and_not_lost(studio: Studio, due: bool) -> None:
    studio.add("moves", reel="R1", date="2026-05-01", kind="out" if due else "lost")


@case("to-inspect")
def a_watched_reel_not_looked_at(studio: Studio, due: bool) -> None:
    studio.formulation["binder_watch"] = "yes"
    studio.inspected["date"] = "2025-05-31" if due else "2025-06-01"


@case("to-inspect")
def a_reel_that_only_a_look_is_wanting_for(studio: Studio, due: bool) -> None:
    studio.formulation["binder_watch"] = "yes"
    studio.inspected["date"] = "2025-01-01"
    if not due:
        studio.wipe("2026-05-10")


@case("to-retire")
def a_reel_worn_out(studio: Studio, due: bool) -> None:
    studio.play(401 if due else 400)


@case("to-retire")
def a_reel_worn_out_and_not_retired(studio: Studio, due: bool) -> None:
    studio.play(401)
    if not due:
        studio.add("retirements", reel="R1", date="2026-05-01", reason="worn")


def tasks_of(studio: Studio) -> list[Task]:
    return reel_tasks(studio.answer())


@pytest.mark.parametrize("name", CASES)
def test_a_task_is_due_and_just_not(empty: Store, name: str) -> None:
    code, tell = CASES[name]
    due, not_due = Studio(empty), Studio(empty)
    tell(due, True)
    tell(not_due, False)
    (task,) = [task for task in tasks_of(due) if task.code == code]
    assert task.reel == "R1"
    assert task.says
    assert task.remedy
    assert code not in {task.code for task in tasks_of(not_due)}


def test_nothing_is_to_be_done_with_a_new_reel(empty: Store) -> None:
    assert tasks_of(Studio(empty)) == []


def test_a_take_that_runs_is_not_to_be_transferred_too(empty: Store) -> None:
    studio = Studio(empty)
    studio.take(state="running", end="", when="2026-06-01T16:05:00Z", by="Bo Tarn")
    (task,) = tasks_of(studio)
    assert (task.code, task.cure) == ("running", "session")
    assert "river/1 still runs, since 16:05 (Bo Tarn)" in task.says
    assert task.since == studio.as_of(AS_OF).day


def test_all_that_is_to_be_transferred_of_a_reel_is_one_task(empty: Store) -> None:
    studio = Studio(empty)
    studio.take("100 ft", "200 ft", title="one", when="2025-07-02")
    studio.take("300 ft", "400 ft", title="two", when="2025-07-01")
    studio.prove(studio.take("500 ft", "600 ft", title="three"), start="500 ft", end="550 ft")
    (task,) = tasks_of(studio)
    assert task.says == "one/1, two/1 never transferred; three/1 transferred in part"
    assert task.since == studio.as_of("2025-07-01").day


def test_what_a_transfer_waits_for_names_the_copy_or_the_listen(empty: Store) -> None:
    heard, read = Studio(empty), Studio(empty)
    heard.proved_take().listen["date"] = "2025-07-01"
    read.proved_take().checks[1]["method"] = "stated"
    (listen,), (reading,) = tasks_of(heard), tasks_of(read)
    assert (listen.cure, listen.transfer, listen.copy) == ("listen", "T1", "")
    assert (reading.cure, reading.transfer, reading.copy) == ("prove", "T1", "c2")
    assert listen.line == listen.remedy


def test_what_bars_most_grades_is_told_first(empty: Store) -> None:
    studio = Studio(empty)
    studio.play(200)
    studio.find("crease", "3", "2026-05-05")
    (task,) = tasks_of(studio)
    assert task.says.startswith("crease")
    assert "passes" in task.says


def test_every_code_has_its_place() -> None:
    assert set(HEADS) == set(get_args(Code))


def a_task(code: Code, reel: str, since: int | None, count: int) -> Task:
    return Task(code, get_args(Cure)[0], f"says {reel}", "do it", reel=reel, transfer=reel, since=since, count=count)


TASKS = st.builds(
    a_task,
    st.sampled_from(get_args(Code)),
    st.sampled_from(["A", "B", "C"]),
    st.one_of(st.none(), st.integers(-3, 3)),
    st.integers(1, 3),
)


@given(st.lists(TASKS), st.randoms(use_true_random=False))
def test_the_order_is_total_and_nothing_is_lost(tasks: list[Task], chance: object) -> None:
    groups = grouped(tasks)
    shuffled = tasks[:]
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert grouped(shuffled) == groups
    assert sum(group.count for group in groups) == sum(task.count for task in tasks)
    places = [list(HEADS).index(group.code) for group in groups]
    assert places == sorted(set(places))
    for group in groups:
        known = [task.since for task in group.tasks if task.since is not None]
        assert known == sorted(known)
        assert [task.since for task in group.tasks[len(known) :]] == [None] * (len(group.tasks) - len(known))


def test_what_is_told_as_one_names_a_few_and_counts_all() -> None:
    tasks = [Task("to-inspect", "shelf", "clear", "look", reel=f"R{number}") for number in range(9)]
    ((task,),) = (group.tasks for group in grouped(tasks))
    assert task.count == 9
    assert task.says.startswith("9 reels would be clear or blank")
    assert task.remedy == "inspect R0, R1, R2, R3, R4, R5 and 3 more"
