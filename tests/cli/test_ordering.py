"""`order`: the plan as a page and in JSON, and how it ends."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from tests.cli.conftest import Call

NEED = ("--need", "C40-2-2500=26@2027-02-22", "--need", "C40-1-2500=3@2027-02-08")


def test_the_plan_in_json(call: Call, loaded_house: Path) -> None:
    ran = call("order", *NEED, "--json", on=loaded_house)
    assert ran.status == 0
    answer = ran.answer
    assert answer["optimal"] is True
    assert answer["gap"] == 0
    assert {"stock_item", "supplier", "quantity", "order_by", "arrives", "unit_price", "cost"} <= set(
        answer["lines"][0]
    )
    assert sum(Decimal(str(line["cost"])) for line in answer["lines"]) == Decimal(str(answer["total"]))
    # 12 of the 26 are on order
    assert sum(line["quantity"] for line in answer["lines"] if line["stock_item"] == "C40-2-2500") >= 14


def test_the_page_adds_up(call: Call, loaded_house: Path) -> None:
    ran = call("order", *NEED, "--beside", on=loaded_house)
    assert ran.status == 0
    assert "proved the cheapest" in ran.out
    assert "all prices +10 %" in ran.out
    assert all(len(line) <= 80 for line in ran.out.splitlines())
    total = Decimal(ran.out.split(" EUR")[0].rsplit(" ", 1)[1])
    rows = [line.split() for line in ran.out.splitlines() if line.startswith("202")]
    # order by, there by, item, reels, each, perhaps a fee, cost, supplier
    costs = [next(cell for cell in reversed(row) if cell.replace(".", "").isdigit()) for row in rows]
    assert sum(map(Decimal, costs)) == total


def test_a_service_level_that_cannot_be_met_ends_with_1(call: Call, loaded_house: Path) -> None:
    ran = call("order", "--need", "C40-2-2500=40@2026-11-27", "--json", on=loaded_house)
    assert ran.status == 1
    assert ran.answer["short"][0]["reels"] == 40
    assert call("order", "--need", "C40-2-2500=40@2026-11-27", on=loaded_house).status == 1


def test_wrong_use_ends_with_2_and_says_what_was_expected(call: Call, loaded_house: Path) -> None:
    ran = call("order", "--need", "C40-2-2500", on=loaded_house)
    assert ran.status == 2
    assert "--need" in ran.err
    assert "C40=12@2027-01-15" in ran.err
