"""Order plans of a house: what is read of quotes, orders and receipts, and what somebody may ask."""

from __future__ import annotations

from datetime import date

import pytest

from stock.core.moments import date_of, day_number
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.order_words import ledger_words, line_words, plan_words, short_words
from stock.desk.ordering import Buyer, NoNeed, Planned, scenarios
from stock.desk.purchases import Purchases, Standing, purchases
from stock.planning.need import Need

from .entries import add

ITEM = "grey nine 2"
ORDER = {"supplier": "Portside", "stock_item": ITEM, "quantity": "8", "unit_price": "189.00", "currency": "EUR"}
BREAKS = (("1", "210.00"), ("8", "200.00"))


@pytest.fixture
def quoted(known: Desk) -> Desk:
    """The small house with 8 reels on order, and quotes of two suppliers."""
    add(known, "receipt", order="PO 1", date="2026-04-20", stock_item=ITEM, quantity="8")
    add(known, "order", order="PO 9", date="2026-11-10", expected="2026-12-01", **ORDER)
    for start, price in BREAKS:
        add(
            known, "quote", supplier="Portside", stock_item=ITEM, date="2026-11-01", from_quantity=start,
            unit_price=price, currency="EUR", order_fee="18.00", lead_low="7", lead_likely="14", lead_high="28",
        )  # fmt: skip
    add(
        known, "quote", supplier="Quay [bold]", stock_item=ITEM, date="2026-11-01", unit_price="240.00",
        currency="EUR", lead_likely="5",
    )  # fmt: skip
    return known


def read(desk: Desk) -> Purchases:
    house = desk.house(())
    with desk.store.reading() as reader:
        return purchases(reader, house.calendar, house.as_of)


def planned(desk: Desk, **cells: object) -> Planned:
    buyer = Buyer(desk)
    return buyer.plan(buyer.asked({"need": [f"{ITEM}=12@2027-03-01"], **cells}))


def standing(desk: Desk, order: str) -> Standing:
    return next(row for row in read(desk).standings() if row.order.order == order)


def test_an_order_is_open_until_all_of_it_is_here(known: Desk) -> None:
    assert standing(known, "PO 1").open == 8
    add(known, "receipt", order="PO 1", date="2026-05-01", stock_item=ITEM, quantity="3", first_reel="R1")
    assert (standing(known, "PO 1").received, standing(known, "PO 1").open) == (3, 5)
    entry = add(known, "receipt", order="PO 1", date="2026-05-02", stock_item=ITEM, quantity="5", first_reel="R2")
    assert standing(known, "PO 1").counted_on is None
    known.void(entry, "counted twice")
    assert standing(known, "PO 1").open == 5


def test_late_orders_are_counted_on_later(known: Desk) -> None:
    order = {**ORDER, "quantity": "2"}
    add(known, "order", order="PO 2", date="2026-06-01", expected="2026-07-01", **order)
    add(known, "receipt", order="PO 2", date="2026-07-11", stock_item=ITEM, quantity="2")
    today = read(known).today
    add(known, "order", order="PO 3", date="2026-11-01", expected=date_of(today + 9).isoformat(), **order)
    assert standing(known, "PO 3").counted_on == today + 9 + 10
    assert standing(known, "PO 3").late == 0
    add(known, "order", order="PO 4", date="2026-10-01", expected=date_of(today - 30).isoformat(), **order)
    assert (standing(known, "PO 4").late, standing(known, "PO 4").counted_on) == (30, today + 30)


def test_the_plan_of_a_house(quoted: Desk) -> None:
    made = planned(quoted)
    # 8 of the 12 are on order
    (line,) = made.plan.lines
    assert (line.supplier, line.quantity, line.cost) == ("Portside", 4, 4 * 21_000 + 1_800)
    assert date_of(line.order_by) == date(2027, 2, 1)
    assert ledger_words(made) == [f"{ITEM}: 12 needed until 2027-03-01, 8 on order, 4 in this plan"]
    assert plan_words(made) == "Order 4 reels for 858.00 EUR, for the need typed; proved the cheapest."
    assert "4 more would bring 200.00" in line_words(line, made)


def test_what_may_be_asked(quoted: Desk) -> None:
    assert {line.supplier for line in planned(quoted, without=["Portside"]).plan.lines} == {"Quay [bold]"}
    ended = planned(quoted, without=["Portside@2026-12-01"]).plan.lines
    assert [date_of(line.order_by) for line in ended] == [date(2026, 12, 1)]
    assert planned(quoted, price=[f"{ITEM}=350"]).plan.total == 4 * 35_000
    risen = planned(quoted, rise=["2027-01-01=25 %"]).plan.lines
    assert [date_of(line.order_by) for line in risen] == [date(2026, 12, 31)]
    locked = planned(quoted, lock=[f"Portside:{ITEM}=8@2026-12-01"])
    assert [(line.quantity, line.locked, line.unit_price) for line in locked.plan.lines] == [(8, True, 20_000)]
    short = planned(quoted, budget=["2026-11=0", "2026-12=0", "2027-01=0", "2027-02=500"])
    assert sum(line.quantity for line in short.plan.lines) == 2
    assert plan_words(short) == "Short of the need typed: order 2 reels for 438.00 EUR, proved the least short."
    assert short_words(short.plan.shortages[0]) == f"{ITEM}: up to 2 reels short in the week of 2027-03-01"


def test_the_houses_own_budget_holds_for_months_without_another(quoted: Desk) -> None:
    add(quoted, "rule", rule="budget_month", value="450")
    made = planned(quoted, budget=["2027-02=0"])
    assert len(made.plan.lines) > 1
    assert all(line.cost <= 45_000 for line in made.plan.lines)
    assert all(date_of(line.order_by) < date(2027, 2, 1) for line in made.plan.lines)
    assert not made.plan.shortages


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ({"need": ["12"]}, "need"),
        ({"need": [f"{ITEM}=0@2027-01-01"]}, "need"),
        ({"need": [f"{ITEM}=x@2027-01-01"]}, "need"),
        ({"need": [f"{ITEM}=2@2099-01-01"]}, "need"),
        ({"budget": ["2026-13=5"]}, "budget"),
        ({"budget": ["2026-12=-5"]}, "budget"),
        ({"budget": ["2026-12=5.001"]}, "budget"),
        ({"lock": ["Portside=3@2027-01-01"]}, "lock"),
        ({"lock": [f"Nobody:{ITEM}=3@2027-01-01"]}, "lock"),
        ({"rise": ["soon=10"]}, "rise"),
        ({"service": "1"}, "service"),
        ({"service": "most"}, "service"),
        ({"currency": "euro"}, "currency"),
    ],
)
def test_what_cannot_be_read_is_refused(quoted: Desk, cells: dict[str, object], column: str) -> None:
    with pytest.raises(CannotEnter) as refused:
        planned(quoted, **cells)
    assert [problem.column for problem in refused.value.problems] == [column]


def test_without_a_need_there_is_no_plan(quoted: Desk) -> None:
    buyer = Buyer(quoted)
    with pytest.raises(NoNeed):
        buyer.plan(buyer.asked({}))


def test_the_next_cheaper_and_the_next_safer_plan(quoted: Desk) -> None:
    weeks = (day_number(date(2027, 3, 1)),)
    asked: list[int | None] = []

    def needs(service: int | None) -> list[Need]:
        asked.append(service)
        reels = (8 + (service or 900) // 100,)
        return [Need(ITEM, weeks, reels, reels, reels, reels, reels, (0.0,), {}, (0.0,))]

    buyer = Buyer(quoted, needs)
    made = buyer.plan(buyer.asked({"service": "90 %"}))
    cheaper, safer = buyer.beside(buyer.asked({"service": "90 %"}), made)
    assert cheaper is not None
    assert safer is not None
    assert asked == [900, 800, 950]
    assert cheaper.plan.total < made.plan.total
    assert (cheaper.service, safer.service) == (800, 950)


def test_the_houses_own_forecast_is_what_is_planned_for(demo: Desk) -> None:
    buyer = Buyer(demo)
    made = buyer.plan(buyer.asked({}))
    assert made.service == 900
    assert made.plan.optimal
    assert any(line.reasons for line in made.plan.lines)
    rows = {row.says: row.plan.total for row in buyer.other_work(made)}
    assert rows["all at 30 ips"] > rows["all at 15 ips"]
    assert rows["all kept until the mix"] > rows["all through into files"]
    assert any(says.startswith("without ") for says in rows)


def test_scenarios_side_by_side(quoted: Desk) -> None:
    made = planned(quoted)
    rows = {row.says: row for row in scenarios(made)}
    assert rows["as quoted"].plan is made.plan
    dearer = rows["all prices +10 %"]
    assert dearer.unchanged == 4 * 23_100 + 1_800
    gone = rows["without Portside"]
    assert gone.unchanged is None
    assert gone.lost
    assert {line.supplier for line in gone.plan.lines} == {"Quay [bold]"}
    ahead = rows["all prices +10 % in 8 weeks"]
    assert ahead.unchanged is not None
    assert ahead.plan.total < ahead.unchanged


def test_the_record_is_read_as_of_a_day(quoted: Desk) -> None:
    with pytest.raises(NoNeed):
        Buyer(quoted, lambda _: []).plan(Buyer(quoted).asked({}))
    earlier = Desk(quoted.store, "Ada Quill", today=date(2026, 10, 1))
    made = Buyer(earlier).plan(Buyer(earlier).asked({"need": [f"{ITEM}=12@2027-03-01"]}))
    assert made.plan.lines == []
    assert made.notes == [f"{ITEM}: nobody offers it"]


def test_other_currencies_are_named_once_by_supplier(quoted: Desk) -> None:
    for item in (ITEM, "grey nine half"):
        if item != ITEM:
            add(quoted, "stock-item", stock_item=item, formulation="grey nine", width="0.5 in", length="2500 ft")
        add(
            quoted, "quote", supplier="Pier", stock_item=item, date="2026-11-01", unit_price="1", currency="GBP",
            lead_high="5",
        )  # fmt: skip
    made = planned(quoted)
    assert made.notes == ["Pier: quoted in GBP, so left out of a plan in EUR"]
    assert planned(quoted, currency="GBP").plan.lines[0].supplier == "Pier"


def test_late_orders_are_told(known: Desk) -> None:
    made = planned(known)
    assert [note.split(",")[0] for note in made.notes if note.startswith("order")] == ["order PO 1: 8 of 8 not here"]
