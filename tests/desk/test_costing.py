"""Costs of a house: which reels count, whose passes wear them, and what the tables add up to."""

from __future__ import annotations

from decimal import Decimal

import pytest

from stock.core.costing import Charge
from stock.desk.cost_tables import SHEETS, USUAL
from stock.desk.costing import Costs, costs
from stock.desk.desk import Desk

from .entries import add

LIFE = 400
REEL = {
    "stock_item": "grey nine 2", "tracks": "8", "owner": "house", "arrived_as": "sealed", "acquired": "2025-02-03",
    "price": "200.00", "currency": "EUR", "supplier": "Quay",
}  # fmt: skip


@pytest.fixture
def priced(desk: Desk) -> Desk:
    """Four priced reels beside the three that are not."""
    for number in ("P1", "P2", "P3", "P4"):
        add(desk, "reel", reel=number, **REEL)
    return desk


def take(desk: Desk, reel: str, project: str, number: str, start: str, end: str) -> None:
    add(
        desk, "take", reel=reel, date="2026-03-01T10:00", project=project, title="river", take=number, start=start,
        end=end, speed="15 ips",
    )  # fmt: skip


def charged(found: Costs) -> dict[str | None, Charge]:
    return {row.project: row for row in found.charges}


def test_passes_are_charged_to_the_project_whose_take_they_name(priced: Desk) -> None:
    take(priced, "P1", "inn", "1", "0 ft", "1250 ft")
    take(priced, "P1", "barn", "2", "1250 ft", "2500 ft")
    # forty passes over half the reel each, and eighty over all of it that name no take
    for name in ("river/1", "river/2"):
        start, end = ("0 ft", "1250 ft") if name.endswith("1") else ("1250 ft", "2500 ft")
        add(
            priced, "pass", reel="P1", date="2026-03-01T11:00", kind="record", start=start, end=end, count="40",
            take=name,
        )  # fmt: skip
    found = charged(costs(priced))
    # 20 of 400 passes of 200.00 each; the takes themselves are named, so count no more
    assert (found["inn"].worn, found["barn"].worn) == (1_000, 1_000)
    add(priced, "pass", reel="P1", date="2026-03-02", kind="play", count="80")
    assert charged(costs(priced))["barn"].worn == 1_000 + 4_000


def test_takes_that_no_pass_names_count_once_and_winds_a_tenth(priced: Desk) -> None:
    take(priced, "P1", "inn", "1", "0 ft", "2500 ft")
    assert charged(costs(priced))["inn"].worn == 50
    add(priced, "pass", reel="P1", date="2026-03-02", kind="wind", count="100")
    assert charged(costs(priced))["inn"].worn == 50 + 500


def test_passes_before_any_take_are_nobodys(priced: Desk) -> None:
    add(priced, "pass", reel="P1", date="2026-02-01", kind="play", count="4")
    take(priced, "P1", "inn", "1", "0 ft", "2500 ft")
    found = charged(costs(priced))
    assert (found[None].worn, found["inn"].worn) == (200, 50)


def test_voided_facts_cost_nothing(priced: Desk) -> None:
    entry = add(priced, "pass", reel="P1", date="2026-02-01", kind="play", count="4")
    priced.void(entry, "wrong reel")
    assert costs(priced).charges == ()


def test_whose_reels_count(priced: Desk) -> None:
    found = costs(priced)
    assert found.unpriced == ("R1", "R2", "R3")
    assert [(row.reels, row.cost, row.value) for row in found.values] == [(4, 80_000, 80_000)]
    add(priced, "owner", reel="P4", date="2026-03-01", owner="Dee Client")
    assert costs(priced).values[0].reels == 3
    add(priced, "retirement", reel="P3", date="2026-03-01")
    add(priced, "move", reel="P2", date="2026-03-05", kind="lost")
    found = costs(priced)
    assert found.values[0].reels == 1
    assert [(row.reel, row.end, row.amount) for row in found.write_offs] == [
        ("P3", "retired", 20_000),
        ("P2", "lost", 20_000),
    ]
    add(priced, "move", reel="P2", date="2026-03-09", kind="found")
    assert [row.reel for row in costs(priced).write_offs] == ["P3"]


def test_masters_are_kept_by_their_project(priced: Desk) -> None:
    add(priced, "reel", reel="P9", role="master", **REEL)
    assert charged(costs(priced)) == {}
    take(priced, "P9", "inn", "1", "0 ft", "2500 ft")
    found = costs(priced)
    assert (charged(found)["inn"].worn, charged(found)["inn"].kept) == (50, 19_950)
    assert found.values[0].reels == 4


def test_months_of_spending_and_orders_open(priced: Desk) -> None:
    order = {"supplier": "Quay", "stock_item": "grey nine 2", "unit_price": "210.00", "currency": "EUR"}
    add(priced, "order", order="PO 7", date="2026-05-04", quantity="6", **order)
    add(priced, "receipt", order="PO 7", date="2026-05-20", stock_item="grey nine 2", quantity="2")
    add(priced, "rule", rule="budget_month", value="800")
    found = costs(priced)
    assert [(row.month, row.spent, row.committed, row.budget) for row in found.months] == [
        (2025 * 12 + 1, 80_000, 0, 800),
        (2026 * 12 + 4, 0, 4 * 21_000, 800),
    ]
    rows = SHEETS["months"](found).rows
    assert [(row[0], row[4]) for row in rows] == [("2025-02", ""), ("2026-05", "over")]


def test_rates_are_of_new_tape(priced: Desk) -> None:
    add(priced, "reel", reel="U1", **{**REEL, "arrived_as": "unknown", "price": "10.00", "acquired": "2026-01-01"})
    (rate,) = costs(priced).rates
    # 200.00 over 33:20 and over 400 passes, in hundredths of a cent
    assert (rate.minute, rate.pass_) == (60_000, 5_000)


def test_tables_add_up_as_printed(demo: Desk) -> None:
    found = costs(demo)
    for name in USUAL:
        sheet = SHEETS[name](found)
        assert sheet.rows
        for total in sheet.totals:
            for at in sheet.right:
                if total[at]:
                    column = [row[at] for row in sheet.rows if row[-1] == total[-1] and row[at]]
                    assert sum(map(Decimal, column)) == Decimal(total[at])
    paid = sum(reel.price for reel in found.reels)
    assert sum(share.amount for share in found.shares) == paid


def test_a_house_without_reels(fresh: object) -> None:
    empty: Desk = fresh()  # type: ignore[operator]
    found = costs(empty)
    assert (found.values, found.charges, found.write_offs, found.months) == ((), (), (), ())
