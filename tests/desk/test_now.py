"""What the house has to do: gathered from the list of reels, the copies, the orders, the journal and the forecast."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from stock.core.now import Code, Task
from stock.desk import wiping
from stock.desk.desk import Desk
from stock.desk.exchanging import load
from stock.desk.forecasting import Forecaster
from stock.desk.now import Needs, now, quick_now, short_tasks
from stock.desk.shelf import Shelf, shelf_path
from tests.desk.clock import DAY_US, Clock
from tests.desk.entries import SHA
from tests.proved_house import REEL, TITLE, Ticking, proved_house

SEED = Path(__file__).parents[2] / "seed"
EVENING = datetime(2026, 11, 20, 18, tzinfo=UTC)


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo house; nobody writes to this one."""
    path = tmp_path_factory.mktemp("now") / "house.db"
    desk = Desk.open(path, "Ann", now_us=Clock(EVENING))
    assert not load(desk, SEED).found
    desk.close()
    return path


@pytest.fixture
def clock() -> Clock:
    return Clock(EVENING)


@pytest.fixture
def desk(loaded: Path, tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    (tmp_path / "house.db").write_bytes(loaded.read_bytes())
    desk = Desk.open(tmp_path / "house.db", "Ann", now_us=clock)
    yield desk
    desk.close()


def of(desk: Desk, code: Code) -> list[Task]:
    return [task for task in now(desk).tasks if task.code == code]


def test_the_demo_house_has_something_of_nearly_every_kind_to_do(desk: Desk) -> None:
    groups = {group.code: group for group in now(desk).groups(Needs(desk).tasks())}
    assert list(groups) == [
        "running", "wiped-not-heard", "copy-failed", "to-transfer", "to-prove", "copy-due", "overdue", "order-late",
        "short", "to-inspect", "to-retire", "cooling-off",
    ]  # fmt: skip
    assert [task.reel for task in groups["running"].tasks] == ["M-0154"]
    assert [task.reel for task in groups["overdue"].tasks] == ["M-0138"]
    assert groups["to-inspect"].count == 5


def test_the_list_kept_says_the_same_as_all_worked_out_anew(desk: Desk) -> None:
    shelf = Shelf(desk)
    for kind, cells in (
        (None, {}),
        ("move", {"reel": "M-0138", "kind": "back"}),
        ("finding", {"reel": "M-0145", "kind": "listened", "severity": "0"}),
        ("listen", {"transfer": "WF-3"}),
        ("hold", {"hold": "h9", "reel": "M-0151", "reason": "asked for", "until": "2026-11-25"}),
        ("retirement", {"reel": "Q-0406", "reason": "failed splice"}),
        ("rule", {"rule": "out_days", "value": "1"}),
    ):
        if kind is not None:
            desk.add(kind, cells)
        shelf.refresh()
        assert sorted(now(desk, shelf).tasks, key=str) == sorted(now(desk).tasks, key=str)
        assert sorted(quick_now(desk).tasks, key=str) == sorted(now(desk).tasks, key=str)
    assert shelf.differences() == []
    shelf.close()


def test_each_entry_ends_its_task(desk: Desk) -> None:
    def subjects(code: Code) -> set[str]:
        return {task.subject for task in of(desk, code)}

    assert "M-0138" in subjects("overdue")
    desk.add("move", {"reel": "M-0138", "kind": "back"})
    assert "M-0138" not in subjects("overdue")
    assert "M-0145" in subjects("wiped-not-heard")
    desk.add("finding", {"reel": "M-0145", "kind": "listened", "severity": "0"})
    assert "M-0145" not in subjects("wiped-not-heard")
    assert "Q-0406" in subjects("to-retire")
    desk.add("retirement", {"reel": "Q-0406", "reason": "failed splice"})
    assert "Q-0406" not in subjects("to-retire")
    assert "PO-015" in subjects("order-late")
    desk.add("receipt", {"order": "PO-015", "stock_item": "C52-2-2500", "quantity": "4"})
    assert "PO-015" not in subjects("order-late")
    heard = {task.transfer for task in of(desk, "to-prove") if task.cure == "listen"}
    assert heard == {"WF-3"}
    desk.add("listen", {"transfer": "WF-3"})
    assert "WF-3" not in {task.transfer for task in of(desk, "to-prove")}


def test_a_copy_is_told_once_as_failed_or_waited_for_or_due(desk: Desk) -> None:
    def told(transfer: str, copy: str) -> list[Code]:
        return [task.code for task in now(desk).tasks if (task.transfer, task.copy) == (transfer, copy)]

    assert told("SW-7", "B") == ["to-prove"]
    assert told("SW-7", "A") == ["copy-due"]
    assert told("OSK-3", "B") == ["copy-failed"]
    check = {"method": "read", "manifest_sha256": SHA}
    desk.add("copy-check", {"transfer": "SW-7", "copy": "B", "result": "fail", **check})
    assert told("SW-7", "B") == ["copy-failed"]
    desk.add("copy-check", {"transfer": "SW-7", "copy": "A", "result": "pass", **check})
    assert told("SW-7", "A") == []
    desk.add("copy-check", {"transfer": "OSK-3", "copy": "B", "result": "pass", **check})
    assert told("OSK-3", "B") == []


def test_a_failed_check_taken_back_is_told_no_more(desk: Desk) -> None:
    (entry,) = desk.add("copy-check", {"transfer": "SW-3", "copy": "A", "method": "read", "result": "fail"}).entries
    assert ("SW-3", "A") in {(task.transfer, task.copy) for task in of(desk, "copy-failed")}
    desk.void(entry, "the wrong disk")
    assert ("SW-3", "A") not in {(task.transfer, task.copy) for task in of(desk, "copy-failed")}


def test_a_permit_is_open_until_its_wipe_or_its_day_ends(tmp_path: Path) -> None:
    desk = proved_house(tmp_path, Clock(EVENING).now_us)
    clock = desk._now_us
    assert isinstance(clock, Ticking)

    def opened() -> list[str]:
        return [task.reel for task in of(desk, "permit-open")]

    def ask() -> None:
        heard = [min(place.titles) for place in wiping.places_of(desk, REEL)]
        assert heard == [TITLE] * 3
        wiping.permit(desk, REEL, label=REEL, heard=heard)

    assert opened() == []
    ask()
    (task,) = of(desk, "permit-open")
    assert (task.reel, task.cure) == (REEL, "wipe")
    assert "Tess Amblin was given a permit at " in task.says
    desk.add("hold", {"hold": "h", "reel": REEL, "reason": "the client rang"})
    assert opened() == [], "a permit ends with the first entry on the reel"
    desk.add("hold-end", {"hold": "h"})
    ask()
    assert opened() == [REEL]
    clock.now_us += DAY_US
    assert opened() == [], "a permit is good for its day"
    clock.now_us -= DAY_US
    wiping.done(desk, REEL, method="bulk")
    assert opened() == []
    assert [task.reel for task in of(desk, "wiped-not-heard")] == [REEL]
    desk.close()


def test_a_permit_later_than_the_day_asked_for_is_not_there_yet(tmp_path: Path) -> None:
    desk = proved_house(tmp_path, Clock(EVENING).now_us)
    wiping.permit(desk, REEL, label=REEL, heard=[TITLE] * 3)
    for day, there in ((19, False), (20, True), (21, False)):
        asked = Desk(desk.store, "Ann", today=EVENING.date().replace(day=day), now_us=desk._now_us)
        assert bool(of(asked, "permit-open")) == there
    desk.close()


def test_a_day_asked_for_leaves_the_list_of_today_alone(desk: Desk) -> None:
    quick_now(desk)
    before = shelf_path(desk.store.path).read_bytes()
    asked = Desk(desk.store, "Ann", today=EVENING.date().replace(month=3), now_us=desk._now_us)
    tasks = quick_now(asked).tasks
    assert "M-0138" not in {task.reel for task in tasks if task.code == "overdue"}
    assert shelf_path(desk.store.path).read_bytes() == before


def test_without_its_list_the_house_still_answers(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(self: Shelf, told: object = None) -> None:
        raise PermissionError

    monkeypatch.setattr(Shelf, "refresh", refuses)
    assert sorted(quick_now(desk).tasks, key=str) == sorted(now(desk).tasks, key=str)


def test_only_what_is_short_beyond_the_service_level_is_told(desk: Desk) -> None:
    told = Forecaster(desk).forecast()
    found = {task.stock_item: task for task in short_tasks(told)}
    for need in told.forecast.needs:
        short = [share for share in need.short if share > 1 - told.service / 1000]
        assert (need.stock_item in found) == bool(short)
    assert 0 < len(found) < len(told.forecast.needs)
    for task in found.values():
        assert "chance of running short" in task.says


def test_the_forecast_is_not_made_where_no_project_is_ahead(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    assert Needs(desk).tasks() == short_tasks(Forecaster(desk).forecast())
    later = Desk(desk.store, "Ann", today=EVENING.date().replace(year=2030), now_us=desk._now_us)
    monkeypatch.setattr(Forecaster, "forecast", None)
    assert Needs(later).tasks() == []


def test_the_forecast_can_be_broken_off(desk: Desk) -> None:
    class Enough(Exception):
        pass

    def stop() -> None:
        raise Enough

    with pytest.raises(Enough):
        Needs(desk, stop).tasks()


def test_an_empty_house_has_nothing_to_do(tmp_path: Path) -> None:
    desk = Desk.open(tmp_path / "house.db", "Ann", now_us=Clock(EVENING))
    assert now(desk).groups(Needs(desk).tasks()) == []
    desk.close()
