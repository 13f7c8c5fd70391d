"""Half-open spans on integers and lists of them: sorted, apart, not empty."""

from __future__ import annotations

from collections.abc import Iterable

Span = tuple[int, int]


def union(spans: Iterable[Span]) -> list[Span]:
    """All places in any of the spans."""
    merged: list[Span] = []
    for lo, hi in sorted(span for span in spans if span[0] < span[1]):
        if merged and lo <= merged[-1][1]:
            if hi > merged[-1][1]:
                merged[-1] = (merged[-1][0], hi)
        else:
            merged.append((lo, hi))
    return merged


def intersect(first: Iterable[Span], second: Iterable[Span]) -> list[Span]:
    """All places in both; each argument is a list as `union` makes it."""
    left, right = list(first), list(second)
    out: list[Span] = []
    i = j = 0
    while i < len(left) and j < len(right):
        lo = max(left[i][0], right[j][0])
        hi = min(left[i][1], right[j][1])
        if lo < hi:
            out.append((lo, hi))
        if left[i][1] < right[j][1]:
            i += 1
        else:
            j += 1
    return out


def subtract(first: Iterable[Span], second: Iterable[Span]) -> list[Span]:
    """All places of the first that are not in the second; each argument is a list as `union` makes it."""
    out: list[Span] = []
    holes = list(second)
    at = 0
    for lo, hi in first:
        while at < len(holes) and holes[at][1] <= lo:
            at += 1
        k = at
        while k < len(holes) and holes[k][0] < hi:
            if lo < holes[k][0]:
                out.append((lo, holes[k][0]))
            lo = max(lo, holes[k][1])
            k += 1
        if lo < hi:
            out.append((lo, hi))
    return out


def covers(spans: Iterable[Span], lo: int, hi: int) -> bool:
    """Whether a list as `union` makes it holds all of [lo, hi)."""
    return any(a <= lo and hi <= b for a, b in spans)


def total(spans: Iterable[Span]) -> int:
    """The length of all spans together."""
    return sum(hi - lo for lo, hi in spans)
