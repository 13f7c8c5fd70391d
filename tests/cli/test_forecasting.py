"""`forecast` as it is called."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.cli.conftest import Call


def test_it_answers_per_stock_item_and_week(call: Call, loaded_house: Path) -> None:
    ran = call("forecast", "--weeks", "6", "--trials", "400", "--json", on=loaded_house)
    assert ran.status == 0
    answer = ran.answer
    assert answer["trials"] == 400
    for need in answer["needs"]:
        assert len(need["weeks"]) == 6
        for week in need["weeks"]:
            assert {"p10", "p50", "p90", "minutes_only"} <= week.keys()
            assert week["p10"] <= week["p50"] <= week["p90"]
            assert 0 <= week["short"] <= 1


def test_the_same_seed_says_the_same(call: Call, loaded_house: Path) -> None:
    asked = ("forecast", "--weeks", "12", "--trials", "300", "--json")
    one, two, other = (call(*asked, "--seed", seed, on=loaded_house).out for seed in ("4", "4", "5"))
    assert one == two != other


def test_the_page_names_what_does_not_count(call: Call, loaded_house: Path) -> None:
    out = call("forecast", "--trials", "300", on=loaded_house).out
    assert "C40-2-2500: 13 on hand" in out
    assert "Wrenfall III: " in out and "80 % sure" in out
    assert "FX library (to: it has no last day" in " ".join(out.split())
    assert "past the day they were due back" in " ".join(out.split())
    assert all(len(line) <= 80 for line in out.splitlines() if not line.startswith(("week of", "20")))


def test_a_dropped_project_is_gone_and_an_unknown_one_is_an_error(call: Call, loaded_house: Path) -> None:
    asked = ("forecast", "--trials", "300", "--weeks", "8")
    out = call(*asked, "--drop", "Wrenfall III", on=loaded_house).out
    assert "Wrenfall III: " not in out
    ran = call(*asked, "--drop", "Wrenfall 3", on=loaded_house)
    assert (ran.status, ran.out) == (2, "")
    assert "Wrenfall III" in ran.err


def test_wrong_use_names_the_option(call: Call, loaded_house: Path) -> None:
    ran = call("forecast", "--weeks", "0", "--mode", "sideways", on=loaded_house)
    assert ran.status == 2
    assert "--weeks" in ran.err and "--mode" in ran.err


def test_where_nothing_is_ahead_it_says_so(call: Call, tmp_path: Path) -> None:
    house = tmp_path / "new" / "house.db"
    house.parent.mkdir()
    assert call("add", "formulation", "--formulation", "grey nine", on=house).status == 0
    ran = call("forecast", on=house)
    assert ran.status == 0
    assert "No projects ahead" in ran.out
    assert call("forecast", "--json", on=house).answer["needs"] == []


def test_asked_as_of_an_earlier_day_more_is_ahead(call: Call, loaded_house: Path) -> None:
    asked = ("forecast", "--trials", "300", "--weeks", "4", "--json")
    then = call(*asked, "--today", "2025-10-01", on=loaded_house).answer
    assert then["as_of"] == "2025-10-01"
    assert "Ferry score" in {project["project"] for project in then["projects"]}


def test_nothing_heavy_is_imported_before_a_forecast_is_asked() -> None:
    code = "import sys; import stock.desk.forecasting; print('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"
