"""Orders received: in part, in full, with reels numbered in sequence; nothing by halves."""

from __future__ import annotations

import pytest

from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.receiving import NoSuchOrder, NothingOpen, numbers_from, orders, receive

from .entries import add, fact, value

ORDER = {"supplier": "Portside", "stock_item": "grey nine 2", "unit_price": "189.00", "currency": "EUR"}


def reels(desk: Desk) -> dict[str, tuple[object, ...]]:
    with desk.store.reading() as reader:
        rows = reader.raw("SELECT reel, tracks, batch, price, currency, supplier, arrived_as, passes_before FROM reels")
    return {reel: tuple(rest) for reel, *rest in rows}


def test_an_order_comes_in_two_parts(known: Desk) -> None:
    receipt, numbers = receive(known, "PO 1", quantity=3, first_reel="M-0098", batch="40-2612")
    assert numbers == ["M-0098", "M-0099", "M-0100"]
    assert len(receipt.entries) == 4
    held = reels(known)
    assert held["M-0099"] == (8, "40-2612", 18_900, "EUR", "Portside", "sealed", 0)
    entry = next(entry for entry in receipt.entries if fact(known, entry).kind.name == "receipt")
    came = fact(known, entry)
    assert (value(came, "quantity"), value(came, "first_reel"), value(came, "batch")) == (3, "M-0098", "40-2612")
    (standing,) = orders(known)
    assert (standing.received, standing.open) == (3, 5)
    # the rest, numbered on from the newest
    assert receive(known, "PO 1")[1] == [f"M-{number:04}" for number in range(101, 106)]
    assert orders(known)[0].open == 0
    with pytest.raises(NothingOpen):
        receive(known, "PO 1")


def test_no_more_comes_than_was_ordered(known: Desk) -> None:
    before = reels(known)
    with pytest.raises(NothingOpen, match="8 reels, 8 are still to come, not 9"):
        receive(known, "PO 1", quantity=9, first_reel="M-0001")
    assert reels(known) == before
    with pytest.raises(NoSuchOrder):
        receive(known, "PO 7", quantity=1)


def test_all_or_nothing_where_a_number_is_taken(known: Desk) -> None:
    before = reels(known)
    with pytest.raises(CannotEnter) as refused:
        receive(known, "PO 1", quantity=3, first_reel="R2")
    assert any("R2" in problem.says for problem in refused.value.problems)
    assert reels(known) == before
    assert orders(known)[0].received == 0


def test_numbers_go_on_from_those_there_are(known: Desk) -> None:
    assert receive(known, "PO 1", quantity=2)[1] == ["R4", "R5"]


def test_a_first_reel_without_a_number_is_refused(known: Desk) -> None:
    with pytest.raises(CannotEnter, match="does not end in a number"):
        receive(known, "PO 1", quantity=2, first_reel="the blue one")
    assert numbers_from("M-0999", 2) == ["M-0999", "M-1000"]
    assert numbers_from("7", 2) == ["7", "8"]


def test_the_head_format_is_asked_for_where_nothing_tells_it(known: Desk) -> None:
    add(known, "stock-item", stock_item="grey half", formulation="grey nine", width="0.5 in", length="2500 ft")
    add(known, "order", order="PO 5", date="2026-05-01", quantity="2", **{**ORDER, "stock_item": "grey half"})
    with pytest.raises(CannotEnter) as refused:
        receive(known, "PO 5", first_reel="H1")
    assert [problem.column for problem in refused.value.problems] == ["tracks"]
    receive(known, "PO 5", first_reel="H1", tracks=2)
    assert reels(known)["H2"][0] == 2


def test_what_came_used_says_nothing_of_its_passes(known: Desk) -> None:
    receive(known, "PO 1", quantity=1, first_reel="U1", arrived_as="unknown", date="2026-05-01")
    assert reels(known)["U1"][5:] == ("unknown", None)
    assert receive(known, "PO 1", quantity=1, first_reel="U2", date="2026-05-02T10:00")[1] == ["U2"]
    with pytest.raises(CannotEnter) as refused:
        receive(known, "PO 1", quantity=1, first_reel="U3", date="last week")
    assert [problem.column for problem in refused.value.problems] == ["date"]


def test_a_receipt_is_one_line_of_the_journal(known: Desk) -> None:
    with known.store.reading() as reader:
        before = reader.head()
    receipt, _ = receive(known, "PO 1", quantity=4, first_reel="M-0001")
    with known.store.reading() as reader:
        after = reader.head()
    assert before is not None
    assert after is not None
    assert receipt.line == after.line == before.line + 1


def test_two_people_receive_the_same_order_at_once(known: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """The other's receipt is entered after this one's looked and before it writes."""
    seen = orders(known)
    receive(known, "PO 1", quantity=6, first_reel="M-0001")
    monkeypatch.setattr("stock.desk.receiving.orders", lambda _: seen)
    with pytest.raises(NothingOpen, match="2 are still to come, not 5"):
        receive(known, "PO 1", quantity=5, first_reel="M-0101")
    assert "M-0101" not in reels(known)
