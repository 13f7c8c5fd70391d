"""A reel's price divided among those who wore it: exact, whatever the wear."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from stock.core.costing import Priced, charges, divide, prices_paid, values, write_offs

FOOT = 3048
LIFE = 400
WHOLE = 2500 * FOOT * LIFE * 10
"""A whole life of a 2500 ft reel: tenths of a millimetre times tenths of a pass."""


def reel(number: str = "R1", **given: object) -> Priced:
    usual = Priced(number, "brown", 20_000, "EUR", 100, "Quay", 2500 * FOOT, True, None, "", None)
    return usual._replace(**given)  # type: ignore[arg-type]


def parts(own: Priced, work: dict[str | None, int]) -> dict[tuple[str, str | None], int]:
    return {(share.what, share.project): share.amount for share in divide(own, work, LIFE)}


def test_a_quarter_of_a_life_is_a_quarter_of_the_price() -> None:
    assert parts(reel(), {"river": WHOLE // 4}) == {("worn", "river"): 5_000, ("left", None): 15_000}
    assert parts(reel(), {}) == {("left", None): 20_000}


def test_two_projects_and_nobody() -> None:
    found = parts(reel(), {"river": WHOLE // 4, "inn": WHOLE // 8, None: WHOLE // 8})
    assert found == {
        ("worn", "river"): 5_000,
        ("worn", "inn"): 2_500,
        ("worn", None): 2_500,
        ("left", None): 10_000,
    }


def test_no_more_than_the_price_is_worn() -> None:
    assert parts(reel(), {"river": 3 * WHOLE, "inn": WHOLE}) == {
        ("worn", "river"): 15_000,
        ("worn", "inn"): 5_000,
        ("left", None): 0,
    }


def test_who_keeps_a_reel_pays_what_others_left_of_it() -> None:
    own = reel(keeper="inn", end="retired", end_day=9)
    assert parts(own, {"river": WHOLE // 4}) == {("worn", "river"): 5_000, ("kept", "inn"): 15_000}
    shares = divide(own, {"river": WHOLE // 4}, LIFE)
    assert [(row.project, row.worn, row.kept) for row in charges([own], shares)] == [
        ("inn", 0, 15_000),
        ("river", 5_000, 0),
    ]
    assert write_offs([own], shares) == []


def test_what_is_lost_to_use_is_written_off() -> None:
    own = reel(end="lost", end_day=7)
    shares = divide(own, {"river": WHOLE // 4}, LIFE)
    ((number, end, day, currency, cost, amount),) = write_offs([own], shares)
    assert (number, end, day, currency, cost, amount) == ("R1", "lost", 7, "EUR", 20_000, 15_000)
    assert values([own], shares) == []


def test_currencies_stand_apart() -> None:
    both = [reel(), reel("R2", currency="GBP"), reel("R3")]
    shares = [share for own in both for share in divide(own, {"inn": WHOLE // 2}, LIFE)]
    assert [(row.currency, row.reels, row.value) for row in values(both, shares)] == [
        ("EUR", 2, 20_000),
        ("GBP", 1, 10_000),
    ]
    assert [(row.currency, row.worn) for row in charges(both, shares)] == [("EUR", 20_000), ("GBP", 10_000)]


def test_prices_are_compared_like_with_like() -> None:
    bought = [
        reel("R1"),
        reel("R2"),
        reel("R3", acquired=200, price=22_000),
        reel("R4", acquired=150, price=5_000, new=False),
        reel("R5", acquired=300, price=4_000, new=False),
        reel("R6", acquired=250, price=0),
        reel("R7", acquired=None, price=22_000),
    ]
    assert [(row.day, row.reels, row.price, row.since) for row in prices_paid(bought)] == [
        (None, 1, 22_000, None),
        (100, 2, 20_000, -91),
        (150, 1, 5_000, None),
        (200, 1, 22_000, 100),
        (250, 1, 0, None),
        (300, 1, 4_000, -200),
    ]


@given(
    st.integers(0, 10**7),
    st.integers(0, 10**8),
    st.dictionaries(st.one_of(st.none(), st.text(max_size=3)), st.integers(0, 10**12), max_size=6),
    st.sampled_from(["", "retired", "lost"]),
    st.one_of(st.none(), st.just("keeper")),
    st.integers(1, 1000),
)
def test_the_parts_add_up_to_the_price(
    price: int, length: int, work: dict[str | None, int], end: str, keeper: str | None, life: int
) -> None:
    own = reel(price=price, length=length, end=end, keeper=keeper)
    shares = divide(own, work, life)
    assert sum(share.amount for share in shares) == price
    assert all(share.amount >= 0 for share in shares)
    worn = {share.project: share.amount for share in shares if share.what == "worn"}
    exact = price * min(1.0, sum(work.values()) / (length * life * 10)) if length else 0.0
    assert abs(sum(worn.values()) - exact) <= 0.5 + exact * 1e-9
    for project, amount in worn.items():
        assert abs(amount - sum(worn.values()) * work[project] / sum(work.values())) <= 1
