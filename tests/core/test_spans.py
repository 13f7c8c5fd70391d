"""Span algebra against sets of places."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from stock.core.spans import Span, covers, intersect, subtract, total, union

PLACE = st.integers(-3, 25)
ANY = st.lists(st.tuples(PLACE, PLACE), max_size=8)
SPANS = ANY.map(union)


def places(spans: list[Span]) -> set[int]:
    """Every place in some spans; a span that ends before it begins has none."""
    return {place for lo, hi in spans for place in range(lo, hi)}


def tidy(spans: list[Span]) -> bool:
    """Sorted, apart and not empty."""
    return all(lo < hi for lo, hi in spans) and all(left[1] < right[0] for left, right in pairwise(spans))


@given(ANY)
def test_union_is_every_place_in_the_fewest_spans(spans: list[Span]) -> None:
    found = union(spans)
    assert places(found) == places(spans)
    assert tidy(found)
    assert union(reversed(found)) == found
    assert total(found) == len(places(spans))


@given(SPANS, SPANS)
def test_intersect(first: list[Span], second: list[Span]) -> None:
    found = intersect(first, second)
    assert places(found) == places(first) & places(second)
    assert union(found) == found
    assert intersect(second, first) == found


@given(SPANS, SPANS)
def test_subtract(first: list[Span], second: list[Span]) -> None:
    found = subtract(first, second)
    assert places(found) == places(first) - places(second)
    assert tidy(found)
    assert union([*found, *intersect(first, second)]) == first


@given(SPANS, PLACE, st.integers(1, 8))
def test_covers(spans: list[Span], lo: int, size: int) -> None:
    assert covers(spans, lo, lo + size) == (set(range(lo, lo + size)) <= places(spans))
