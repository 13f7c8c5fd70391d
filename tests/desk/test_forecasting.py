"""The forecast of a house: what counts as stock, which projects count, and clear answers where there is nothing."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from stock.core.moments import date_of, day_number
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.forecasting import Asked, Forecaster, NoSuchProject, asked_of, needs, standing_words
from stock.desk.purchases import purchases
from stock.planning.forecast.ahead import Arrival, Pool

SESSIONS = {
    "project": "sea",
    "from": "2026-11-30",
    "to": "2026-12-11",
    "stock_item": "grey nine 2",
    "speed": "15 ips",
    "titles": "6",
    "length_likely": "9:00",
    "takes_likely": "4",
    "days_back": "20",
    "mode": "keep-all",
}
QUICK = Asked(trials=200)


def entered(desk: Desk, **cells: str) -> None:
    desk.add("project", {**SESSIONS, **cells})


def test_the_reels_of_the_small_house_serve_first(desk: Desk) -> None:
    entered(desk)
    told = Forecaster(desk).forecast(QUICK)
    (need,) = told.forecast.needs
    assert told.shelf("grey nine 2").pools == (Pool(3, 0, 0, 0),)
    # 24 takes of nine minutes, three on a reel: eight reels or more, three of them there
    assert need.p50[-1] == need.by_project["sea"][-1] - 3 >= 5


def test_an_unsealed_reel_nobody_looked_at_does_not_count(desk: Desk) -> None:
    entered(desk)
    desk.add(
        "reel", {"reel": "R9", "stock_item": "grey nine 2", "tracks": "8", "owner": "house", "arrived_as": "erased"}
    )
    desk.add(
        "reel", {"reel": "C1", "stock_item": "grey nine 2", "tracks": "8", "owner": "Vell", "arrived_as": "sealed"}
    )
    desk.add(
        "reel",
        {
            "reel": "A1",
            "stock_item": "grey nine 2",
            "tracks": "8",
            "owner": "house",
            "arrived_as": "sealed",
            "role": "master",
        },
    )
    told = Forecaster(desk).forecast(QUICK)
    assert sum(pool.count for pool in told.shelf("grey nine 2").pools) == 3
    assert {(row.code, row.which) for row in told.not_counted} == {
        ("held", ("R9",)),
        ("not-ours", ("C1",)),
        ("kept", ("A1",)),
    }


def test_a_retired_reel_and_one_with_a_chewed_half_do_not_count(desk: Desk) -> None:
    entered(desk)
    desk.add("retirement", {"reel": "R1"})
    desk.add("finding", {"reel": "R2", "kind": "edge", "severity": "3", "start": "0 ft", "end": "1200 ft"})
    told = Forecaster(desk).forecast(QUICK)
    assert told.shelf("grey nine 2").pools == (Pool(1, 0, 0, 0),)
    assert {(row.code, row.which) for row in told.not_counted} == {("worn", ("R1",)), ("short", ("R2",))}


def test_a_reel_in_use_comes_back_when_its_project_says_so(desk: Desk) -> None:
    entered(desk, release_needed="no")
    take = {"project": "sea", "title": "hull", "take": "1", "start": "1:00", "end": "4:00", "speed": "15 ips"}
    desk.add("take", {"reel": "R1", **take})
    told = Forecaster(desk).forecast(QUICK)
    # nobody has inspected it since: fit for scratch alone
    assert told.shelf("grey nine 2").pools[1].floor == 2
    desk.add("finding", {"reel": "R1", "kind": "inspection", "severity": "0"})
    told = Forecaster(desk).forecast(QUICK)
    back = day_number(date_of(0).replace(2026, 12, 11)) + 20
    assert told.shelf("grey nine 2").pools == (Pool(2, 0, 0, 0), Pool(1, 1000, 1, 0, back))
    assert "1 due back 2026-12-31" in standing_words(told.shelf("grey nine 2"))


@pytest.mark.parametrize(
    ("cells", "code"),
    [({"days_back": ""}, "no-day"), ({"from": "2026-01-05", "to": "2026-02-06"}, "overdue")],
)
def test_a_reel_in_use_is_not_counted_on_without_a_day_to_come(desk: Desk, cells: dict[str, str], code: str) -> None:
    entered(desk, project="old", release_needed="no", **cells)
    entered(desk)
    take = {"project": "old", "title": "hull", "take": "1", "start": "1:00", "end": "4:00", "speed": "15 ips"}
    desk.add("take", {"reel": "R1", **take})
    told = Forecaster(desk).forecast(QUICK)
    assert told.shelf("grey nine 2").pools == (Pool(2, 0, 0, 0),)
    assert [(row.code, row.which) for row in told.not_counted] == [(code, ("R1",))]


def test_a_hold_keeps_a_reel_from_being_counted_on(desk: Desk) -> None:
    entered(desk)
    desk.add("hold", {"hold": "H", "reel": "R1", "reason": "asked for"})
    told = Forecaster(desk).forecast(QUICK)
    assert [(row.code, row.which) for row in told.not_counted] == [("held", ("R1",))]


def order(desk: Desk, name: str, quantity: int, expected: str) -> None:
    cells = {"supplier": "quay", "stock_item": "grey nine 2", "unit_price": "200", "currency": "EUR"}
    desk.add("order", {"order": name, "quantity": str(quantity), "expected": expected, **cells})


def test_what_is_still_to_come_of_an_order_counts_on_its_day(desk: Desk) -> None:
    entered(desk)
    order(desk, "1", 10, "2026-12-04")
    order(desk, "2", 4, "2026-11-02")
    order(desk, "3", 2, "")
    desk.add("receipt", {"order": "1", "stock_item": "grey nine 2", "quantity": "4"})
    told = Forecaster(desk).forecast(QUICK)
    with desk.store.reading() as reader:
        planned = purchases(reader, desk.house(()).calendar, told.as_of).coming()
    days = {each.order: each.day for each in planned}
    assert days["1"] == day_number(date_of(0).replace(2026, 12, 4))
    assert days["2"] > told.as_of.day, "late already, and as late again"
    assert told.shelf("grey nine 2").on_order == tuple(
        sorted((Arrival(days["1"], 6), Arrival(days["2"], 4), Arrival(days["3"], 2)))
    )
    assert told.not_counted == ()
    assert told.forecast.flows[0].arrived[-1] == 12
    desk.add("receipt", {"order": "1", "stock_item": "grey nine 2", "quantity": "6"})
    then = Forecaster(desk).forecast(QUICK).shelf("grey nine 2").on_order
    assert sum(arrival.count for arrival in then) == 6, "of the first order nothing is to come"


def test_the_newest_row_of_a_project_stands_and_a_voided_one_does_not(desk: Desk) -> None:
    entered(desk, titles="2")
    entered(desk, titles="6")
    newest = desk.add("project", {**SESSIONS, "titles": "9"}).entries[0]
    teller = Forecaster(desk)
    assert [project.titles for project in teller.forecast(QUICK).ahead] == [9]
    desk.void(newest, "typed twice")
    assert [project.titles for project in teller.forecast(QUICK).ahead] == [6]


def test_a_bad_row_is_told_and_the_others_are_forecast(desk: Desk) -> None:
    entered(desk)
    entered(desk, project="bad", speed="")
    told = Forecaster(desk).forecast(QUICK)
    assert [project.project for project in told.ahead] == ["sea"]
    assert ("bad", "speed") in {(row.project, row.column) for row in told.left_out}


def test_no_projects_and_no_stock_are_answers(desk: Desk, fresh: Callable[[], Desk]) -> None:
    told = Forecaster(desk).forecast(QUICK)
    assert (told.ahead, told.forecast.needs) == ((), ())
    empty = fresh()
    assert Forecaster(empty).forecast(QUICK).forecast.needs == ()
    empty.add("formulation", {"formulation": "grey nine"})
    empty.add(
        "stock-item", {"stock_item": "grey nine 2", "formulation": "grey nine", "width": "2 in", "length": "2500 ft"}
    )
    entered(empty)
    (need,) = Forecaster(empty).forecast(QUICK).forecast.needs
    assert need.p50[-1] == need.by_project["sea"][-1] > 0


def test_five_hundred_projects_are_answered(desk: Desk) -> None:
    from stock.core.kinds import BY_NAME

    rows = [
        (BY_NAME["project"], {**SESSIONS, "project": f"p{at}", "titles": "2", "takes_likely": "2"}) for at in range(500)
    ]
    desk.add_all(rows, "many")
    told = Forecaster(desk).forecast(Asked(trials=100, weeks=8))
    assert len(told.ahead) == 500
    assert told.forecast.needs[0].p50[-1] > 400


def test_dropping_a_project_leaves_its_reels_unbought(desk: Desk) -> None:
    entered(desk)
    entered(desk, project="bay")
    teller = Forecaster(desk)
    whole, less = (teller.forecast(asked).forecast.needs[0] for asked in (QUICK, Asked(trials=200, drop=("bay",))))
    assert set(less.by_project) == {"sea"}
    assert less.p50[-1] < whole.p50[-1]
    assert less.by_project["sea"] == whole.by_project["sea"]


def test_a_project_that_is_not_there_cannot_be_dropped(desk: Desk) -> None:
    entered(desk)
    with pytest.raises(NoSuchProject, match="did you mean sea"):
        Forecaster(desk).forecast(Asked(drop=("see",)))


def test_twice_the_speed_needs_more_and_wiping_at_once_needs_less(desk: Desk) -> None:
    entered(desk)
    teller = Forecaster(desk)
    usual, fast, through = (
        teller.forecast(asked).forecast.needs[0].p50[-1]
        for asked in (QUICK, Asked(trials=200, speed=762_000), Asked(trials=200, mode="through"))
    )
    assert through < usual < fast


def test_the_house_rules_stand_in_for_what_is_not_asked(desk: Desk) -> None:
    entered(desk)
    for rule, value in (
        ("forecast_weeks", "5"),
        ("forecast_trials", "150"),
        ("forecast_seed", "9"),
        ("week_begins", "7"),
    ):
        desk.add("rule", {"rule": rule, "value": value, "date": "2026-01-01"})
    told = Forecaster(desk).forecast()
    assert (len(told.question.weeks), told.question.trials, told.question.seed) == (5, 150, 9)
    assert date_of(told.question.weeks[0]).isoweekday() == 7


def test_rules_that_make_no_sense_count_as_the_nearest_that_do(desk: Desk) -> None:
    entered(desk)
    rules = {"forecast_weeks": "0", "forecast_trials": "0", "service_level": "1", "week_begins": "9"}
    for rule, value in {**rules, "leftover_reels": "100000", "common_factor": "1"}.items():
        desk.add("rule", {"rule": rule, "value": value, "date": "2026-01-01"})
    told = Forecaster(desk).forecast()
    assert (len(told.question.weeks), told.question.trials, told.service) == (1, 100, 1000)
    assert told.question.weeks[0] <= told.as_of.day < told.question.weeks[0] + 7


def test_needs_are_given_at_a_service_level(desk: Desk) -> None:
    entered(desk, takes_low="1", takes_high="8")
    desk.add("rule", {"rule": "forecast_trials", "value": "300", "date": "2026-01-01"})
    (usual,), (low,), (high,) = needs(desk), needs(desk, 500), needs(desk, 990)
    assert usual.service == usual.p90
    assert low.service == low.p50 == usual.p50
    assert high.service[-1] > usual.service[-1]


def test_the_demo_house_says_what_it_will_need(demo: Desk) -> None:
    told = Forecaster(demo).forecast(Asked(trials=500))
    items = [need.stock_item for need in told.forecast.needs]
    assert items == sorted(items)
    assert "C40-2-2500" in items
    wanted = {need.stock_item: need for need in told.forecast.needs}["C40-2-2500"]
    assert 0 < wanted.p50[-1] < wanted.p90[-1]
    assert 0 < wanted.short[-1] < 1
    assert {row.project for row in told.left_out if row.column} == {"FX library"}


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ({"weeks": "0"}, "weeks"),
        ({"weeks": "many"}, "weeks"),
        ({"trials": "99"}, "trials"),
        ({"seed": "-1"}, "seed"),
        ({"speed": "9 kg"}, "speed"),
        ({"mode": "keep"}, "mode"),
    ],
)
def test_what_cannot_be_asked_is_told_with_its_option(desk: Desk, cells: dict[str, str], column: str) -> None:
    with pytest.raises(CannotEnter) as told:
        asked_of(cells, desk.context())
    assert [problem.column for problem in told.value.problems] == [column]


def test_what_can_be_asked_is_read(desk: Desk) -> None:
    cells = {"weeks": "13", "trials": "500", "seed": "0", "speed": "30 ips", "mode": "Through", "drop": ["sea"]}
    assert asked_of(cells, desk.context()) == Asked(13, 500, 0, None, ("sea",), 762_000, "through")
    assert asked_of({}, desk.context()) == Asked()
