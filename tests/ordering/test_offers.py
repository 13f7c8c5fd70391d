"""Quotes made into offers: the newest counts, what binds most is taken, what cannot be used is said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.planning.ordering.model import Choice
from stock.planning.ordering.offers import Change, Offer, Quote, Scenario, breaks_on, last_day, offers_of, tiers

TODAY = 20_000


def quote(**given: object) -> Quote:
    usual = Quote(1, "Harbour", "brown", TODAY - 9, None, 10_000, "EUR", None, None, None, None, 7, 14, 21, TODAY + 60)
    return usual._replace(**given)  # type: ignore[arg-type]


def offer(**given: object) -> Offer:
    (found,), troubles, currency = offers_of([quote()], TODAY)
    assert (troubles, currency) == ([], "EUR")
    return found._replace(**given)  # type: ignore[arg-type]


def test_the_newest_quote_replaces_the_older() -> None:
    old = quote(day=TODAY - 99, unit_price=1)
    (found,), _, _ = offers_of([quote(entry=2), old], TODAY)
    assert found.breaks == ((1, 10_000),)
    undated = quote(day=None, unit_price=1)
    (found,), _, _ = offers_of([undated, quote(entry=2)], TODAY)
    assert found.breaks == ((1, 10_000),)


def test_an_older_quote_does_not_come_back_when_the_newer_has_run_out() -> None:
    found, (trouble,), _ = offers_of([quote(day=TODAY - 99), quote(entry=2, valid_until=TODAY - 1)], TODAY)
    assert found == []
    assert trouble.code == "quote-ended"
    assert offers_of([quote(valid_until=TODAY)], TODAY)[0]


@pytest.mark.parametrize(
    ("other", "code"),
    [
        (quote(entry=2, unit_price=9_000), "two-prices"),
        (quote(entry=2, from_quantity=5, pricing="incremental"), "mixed-quote"),
        (quote(entry=2, from_quantity=5, currency="GBP"), "mixed-quote"),
        (quote(entry=2, from_quantity=5, case=4), "mixed-quote"),
    ],
)
def test_quotes_that_contradict_themselves_are_not_used(other: Quote, code: str) -> None:
    found, (trouble,), _ = offers_of([quote(), other], TODAY)
    assert found == []
    assert trouble.code == code
    assert trouble.about == "Harbour, brown"


def test_a_quote_without_a_lead_time_is_not_used() -> None:
    found, (trouble,), _ = offers_of([quote(lead_low=None, lead_likely=None, lead_high=None)], TODAY)
    assert (found, trouble.code) == ([], "no-lead-time")
    (found,), _, _ = offers_of([quote(lead_high=None)], TODAY)
    assert found.lead_high == 14


def test_currencies_are_never_mixed() -> None:
    rows = [quote(), quote(supplier="Quay", currency="GBP"), quote(supplier="Pier")]
    found, (trouble,), currency = offers_of(rows, TODAY)
    assert currency == "EUR"
    assert [each.supplier for each in found] == ["Harbour", "Pier"]
    assert trouble.code == "other-currency"
    found, _, _ = offers_of(rows, TODAY, "GBP")
    assert [each.supplier for each in found] == ["Quay"]


def test_what_binds_most_is_taken() -> None:
    rows = [
        quote(minimum=2, order_fee=500, valid_until=None),
        quote(entry=2, from_quantity=9, minimum=4, lead_high=30, valid_until=TODAY + 5),
    ]
    (found,), _, _ = offers_of(rows, TODAY)
    assert (found.minimum, found.fee, found.lead_high, found.last_day) == (4, 500, 30, TODAY + 5)


def goods(bands: Offer, cases: int) -> int:
    return Choice(0, "", 0, 0, bands.case, tiers(bands, TODAY, Scenario()), 0, 0).goods(cases)


def test_all_units_and_incremental_prices() -> None:
    breaks = ((1, 100), (11, 90))
    assert goods(offer(breaks=breaks), 11) == 990
    assert goods(offer(breaks=breaks, incremental=True), 11) == 1090
    assert goods(offer(breaks=breaks, incremental=True), 10) == 1000


def test_cases_and_minimum() -> None:
    bands = offer(breaks=((1, 100), (10, 90)), case=4, minimum=6)
    with pytest.raises(ValueError):
        goods(bands, 1)
    assert goods(bands, 2) == 800
    assert goods(bands, 3) == 12 * 90
    # no number of whole cases lies in the middle band
    assert [tier.first for tier in tiers(offer(breaks=((1, 9), (5, 8), (7, 7)), case=4), TODAY, Scenario())] == [1, 2]


@given(
    st.lists(st.integers(1, 500), min_size=1, max_size=4),
    st.lists(st.integers(1, 9), min_size=3, max_size=3),
    st.integers(1, 60),
    st.integers(1, 5),
)
def test_incremental_prices_are_the_sum_of_each_reels_own(
    prices: list[int], gaps: list[int], cases: int, case: int
) -> None:
    starts = [1]
    for gap in gaps[: len(prices) - 1]:
        starts.append(starts[-1] + gap)
    bands = offer(breaks=tuple(zip(starts, prices, strict=True)), incremental=True, case=case)
    one_by_one = sum(
        [price for start, price in bands.breaks if start <= number][-1] for number in range(1, cases * case + 1)
    )
    assert goods(bands, cases) == one_by_one


def test_other_prices() -> None:
    bands = offer(breaks=((1, 101), (10, 95)))
    rise = Change(100, TODAY + 3)
    assert breaks_on(bands, TODAY + 2, Scenario((rise,))) == bands.breaks
    # 111.1 and 104.5: to the minor unit, a half up
    assert breaks_on(bands, TODAY + 3, Scenario((rise,))) == ((1, 111), (10, 105))
    assert breaks_on(bands, TODAY, Scenario((Change(100, None, "Quay"),))) == bands.breaks
    assert breaks_on(bands, TODAY, Scenario(prices=(("brown", 350),))) == ((1, 350),)
    assert last_day(bands, Scenario(ends=(("Harbour", TODAY + 9), ("Quay", TODAY)))) == TODAY + 9
    assert last_day(bands, Scenario(ends=(("Harbour", TODAY + 99),))) == TODAY + 60
