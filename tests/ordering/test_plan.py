"""Order plans: dates, budgets, lines set by hand, what is on order, and why each line is there."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stock.core.moments import day_number
from stock.planning.need import Need
from stock.planning.ordering.ask import Ask, BadLock, Coming, Lock, budget_troubles, month_of
from stock.planning.ordering.offers import Change, Offer, Scenario
from stock.planning.ordering.plan import OrderPlan, plan

TODAY = day_number(date(2026, 11, 20))
MONDAY = day_number(date(2026, 11, 23))
WEEKS = tuple(MONDAY + 7 * week for week in range(20))


def need(*steps: tuple[int, int], item: str = "brown", projects: dict[str, int] | None = None) -> Need:
    """Cumulative reels from some weeks on; each project's reels all in one week."""
    reels = tuple(max((count for week, count in steps if week <= at), default=0) for at in range(len(WEEKS)))
    by = {name: tuple(2 if at >= week else 0 for at in range(len(WEEKS))) for name, week in (projects or {}).items()}
    return Need(item, WEEKS, reels, reels, reels, reels, reels, (0.0,) * len(WEEKS), by, (0.0,) * len(WEEKS))


def offer(supplier: str = "Harbour", price: int = 10_000, **given: object) -> Offer:
    usual = Offer(supplier, "brown", "EUR", ((1, price),), False, 1, 1, 0, 10, 21, None)
    return usual._replace(**given)  # type: ignore[arg-type]


def made(needs: list[Need], offers: list[Offer], **given: object) -> OrderPlan:
    return plan(Ask(needs, offers, TODAY, **given))  # type: ignore[arg-type]


def test_orders_are_placed_by_the_need_less_the_longest_lead() -> None:
    found = made([need((8, 3))], [offer()])
    (line,) = found.lines
    assert (line.quantity, line.order_by, line.arrives) == (3, WEEKS[8] - 21, WEEKS[8])
    assert line.likely == line.order_by + 10
    assert line.need_by == WEEKS[8]
    assert (found.total, found.optimal, found.gap, found.shortages) == (30_000, True, 0.0, [])


def test_what_is_on_order_counts_from_the_day_it_is_counted_on() -> None:
    asked = [need((4, 2), (8, 5))]
    early = made(asked, [offer()], coming=[Coming("P1", "brown", 4, WEEKS[4])])
    assert [(line.quantity, line.need_by) for line in early.lines] == [(1, WEEKS[8])]
    late = made(asked, [offer()], coming=[Coming("P1", "brown", 4, WEEKS[5])])
    assert [(line.quantity, line.arrives) for line in late.lines] == [(2, WEEKS[4])]


def test_need_before_anything_can_be_there_is_told_as_short() -> None:
    found = made([need((0, 2), (6, 4), projects={"river": 0, "inn": 6})], [offer()])
    (short,) = found.shortages
    assert (short.stock_item, short.week, short.until, short.reels) == ("brown", WEEKS[0], WEEKS[2], 2)
    assert short.projects == ("river",)
    assert sum(line.quantity for line in found.lines) == 4
    assert found.optimal


def test_nobody_offers_it() -> None:
    found = made([need((3, 2))], [])
    assert (found.lines, found.total) == ([], 0)
    assert [short.reels for short in found.shortages] == [2]


def test_nothing_is_needed() -> None:
    for needs in ([], [need()], [need((3, 0))]):
        found = made(needs, [offer()])
        assert (found.lines, found.total, found.shortages, found.optimal) == ([], 0, [], True)


def test_why_a_line_is_there() -> None:
    found = made([need((5, 2), (12, 4), projects={"river": 5, "inn": 12})], [offer()])
    assert [[reason.project for reason in line.reasons] for line in found.lines] == [["river"], ["inn"]]


def test_a_quote_is_bought_on_only_while_it_holds() -> None:
    cheap, dear = offer("Quay", 9_000, last_day=TODAY + 3), offer("Harbour", 9_010)
    found = made([need((18, 2))], [cheap, dear])
    assert [(line.supplier, line.order_by) for line in found.lines] == [("Harbour", WEEKS[18] - 21)]
    # where keeping tape costs less than the other's price, it is bought ahead of the quote's end
    found = made([need((18, 2))], [cheap, dear._replace(breaks=((1, 10_000),))])
    assert [(line.supplier, line.order_by) for line in found.lines] == [("Quay", TODAY + 3)]


def test_buying_ahead_of_a_rise() -> None:
    rise = Scenario((Change(200, WEEKS[6]),))
    found = made([need((15, 2))], [offer()], scenario=rise)
    (line,) = found.lines
    assert line.order_by == WEEKS[6] - 1
    assert found.total == 20_000
    little = Scenario((Change(1, WEEKS[6]),))
    (line,) = made([need((15, 2))], [offer()], scenario=little).lines
    assert line.order_by == WEEKS[15] - 21


def test_one_fee_an_order() -> None:
    both = [offer(fee=1_800), offer(stock_item="grey", fee=1_800)]
    found = made([need((8, 2)), need((8, 1), item="grey")], both)
    assert sorted(line.fee for line in found.lines) == [0, 1_800]
    assert found.total == 30_000 + 1_800 == sum(line.cost for line in found.lines)
    assert found.optimal


def test_a_budget_moves_orders_and_then_leaves_some_out() -> None:
    december = month_of(day_number(date(2026, 12, 1)))
    asked = [need((6, 2), projects={"river": 6})]
    assert made(asked, [offer()]).lines[0].order_by == day_number(date(2026, 12, 14))
    moved = made(asked, [offer()], budgets={december: 10_000})
    assert [line.order_by for line in moved.lines] == [day_number(date(2026, 11, 30)), day_number(date(2026, 12, 14))]
    assert moved.optimal
    assert not moved.shortages
    starved = made(asked, [offer()], budgets={december: 10_000, december - 1: 15_000}, committed={december - 1: 9_000})
    # the other is bought as soon as there is a budget for it, in January, which is too late for some weeks
    assert [(line.quantity, month_of(line.order_by)) for line in starved.lines] == [(1, december), (1, december + 1)]
    (short,) = starved.shortages
    assert (short.reels, short.week, short.until, short.projects) == (1, WEEKS[6], WEEKS[8], ("river",))
    assert starved.optimal


def test_an_impossible_budget_is_said() -> None:
    ask = Ask([need((6, 2))], [offer()], TODAY, budgets={month_of(TODAY): 100}, committed={month_of(TODAY): 200})
    (trouble,) = budget_troubles(ask)
    assert (trouble.code, trouble.about) == ("over-budget", "2026-11")
    assert budget_troubles(Ask([], [], TODAY, budgets={month_of(TODAY): 100})) == []


def test_lines_set_by_hand_stay() -> None:
    lock = Lock("Quay", "brown", 2, WEEKS[1])
    found = made([need((8, 5))], [offer(), offer("Quay", 20_000)], locks=[lock])
    assert [(line.supplier, line.quantity, line.locked) for line in found.lines] == [
        ("Quay", 2, True),
        ("Harbour", 3, False),
    ]
    assert found.total == 70_000
    barred = made([need((8, 5))], [offer(), offer("Quay", 20_000)], locks=[Lock("Harbour", "brown", 0, TODAY)])
    assert {line.supplier for line in barred.lines} == {"Quay"}


@pytest.mark.parametrize(
    ("lock", "says"),
    [
        (Lock("Pier", "brown", 2, TODAY), "does not offer"),
        (Lock("Harbour", "brown", 3, TODAY), "cases of 2"),
        (Lock("Harbour", "brown", 2, TODAY - 1), "before today"),
        (Lock("Harbour", "brown", 2, TODAY + 99), "until 2026-12-20"),
    ],
)
def test_lines_that_cannot_be_ordered_are_refused(lock: Lock, says: str) -> None:
    with pytest.raises(BadLock, match=says):
        made([need((8, 5))], [offer(case=2, last_day=TODAY + 30)], locks=[lock])


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(0, 4), min_size=20, max_size=20),
    st.integers(1, 4),
    st.integers(0, 2_500),
    st.lists(st.tuples(st.integers(2, 9), st.integers(0, 1_500)), max_size=2),
    st.booleans(),
)
def test_a_plan_is_never_short_once_it_can_help_it_and_adds_up(
    steps: list[int], case: int, fee: int, bands: list[tuple[int, int]], incremental: bool
) -> None:
    breaks = {1: 10_000} | {start: 10_000 - less for start, less in bands}
    steps[:3] = [0, 0, 0]
    reels = tuple(sum(steps[: at + 1]) for at in range(20))
    asked = need()._replace(service=reels)
    offers = [
        offer(fee=fee, case=case, breaks=tuple(sorted(breaks.items())), incremental=incremental),
        offer("Quay", 10_400, lead_high=7),
    ]
    found = made([asked], offers)
    assert found.optimal
    assert not found.shortages
    assert found.total == sum(line.cost for line in found.lines)
    for week, wanted in zip(WEEKS, reels, strict=True):
        assert sum(line.quantity for line in found.lines if line.arrives <= week) >= wanted
    for line in found.lines:
        assert line.order_by >= TODAY
        assert line.quantity % (case if line.supplier == "Harbour" else 1) == 0
