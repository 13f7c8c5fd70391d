"""Response checks laid over the passes made at their place."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.core.fitness import wear_along
from stock.core.response import Worn, falls_with, series_of
from stock.core.view import View
from stock.store.store import Store

from .builder import Row, Studio, place
from .tape_cells import ACTS, REELS, Act
from .test_carried import cells_for, enter_acts, moment


def _check(studio: Studio, when: str, level: str, tone_hz: str = "10000", **cells: str) -> Row:
    usual = {"reel": "R1", "at": "100 ft", "speed": "15 ips", "machine": "deck one", "track": "1", "tone": "kept"}
    return studio.add("response", **{**usual, **cells}, date=when, frequency_hz=tone_hz, level_db=level)


def _series(studio: Studio) -> list[tuple[int, list[tuple[int, int]]]]:
    return [
        (s.frequency_hz, [(r.passes, r.level_db) for r in s.readings]) for s in series_of(View(studio.house(), "R1"))
    ]


def test_a_check_lies_after_the_passes_made_before_it(empty: Store) -> None:
    studio = Studio(empty)
    _check(studio, "2026-01-10T10:00", "0.5")
    studio.record("0 ft", "400 ft", "2026-01-11T10:00")
    studio.record("200 ft", "400 ft", "2026-01-12T10:00")  # not at the place
    studio.add("passes", reel="R1", date="2026-01-13", kind="wind", count="3")
    _check(studio, "2026-01-13", "0.2")  # the winds of that day are not known to be before it
    _check(studio, "2026-01-14", "0.1")
    assert _series(studio) == [(10_000, [(0, 500), (10, 200), (13, 100)])]


@pytest.mark.parametrize(
    "cells", [{"track": "2"}, {"machine": ""}, {"at": "101 ft"}, {"speed": "30 ips"}, {"tone": "fresh"}]
)
def test_only_like_is_held_against_like(empty: Store, cells: dict[str, str]) -> None:
    studio = Studio(empty)
    _check(studio, "2026-01-10", "0.5")
    _check(studio, "2026-02-10", "0.1", **cells)
    assert [len(readings) for _, readings in _series(studio)] == [1, 1]


def test_passes_before_it_came_and_the_years_passes_are_counted(empty: Store) -> None:
    studio = Studio(empty)
    studio.first_reel.update(arrived_as="erased", passes_before="7")
    studio.record("0 ft", "400 ft", "2024-01-11T10:00")
    studio.record("0 ft", "400 ft", "2026-01-11T10:00")
    _check(studio, "2026-02-10", "0.1")
    (series,) = series_of(View(studio.house(), "R1"))
    assert (series.readings[0].passes, series.passes_now, series.year) == (90, 90, 10)


def test_the_falls_of_one_check_go_together(empty: Store) -> None:
    studio = Studio(empty)
    for tone, first, last in (("100", "0", "0"), ("1000", "0.1", "0"), ("10000", "0.4", "-1.1")):
        _check(studio, "2026-01-10", first, tone)
        _check(studio, "2026-04-10", last, tone)
    _check(studio, "2026-01-10", "0.0", "15000")
    _check(studio, "2026-05-10", "-3.0", "15000")  # another day: not of that check
    every = series_of(View(studio.house(), "R1"))
    (top,) = (series for series in every if series.frequency_hz == 10_000)
    assert falls_with(top, every) == {100: 0.0, 1000: 0.1, 10_000: 1.5}


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(
    acts=ACTS,
    notes=st.lists(
        st.tuples(st.integers(0, 9), st.sampled_from(("takes", "passes", "wipes")), st.sampled_from(REELS)),
        max_size=6,
    ),
)
def test_the_passes_at_each_place_are_those_of_the_wear_map(
    empty: Store, acts: list[Act], notes: list[tuple[int, str, str]]
) -> None:
    studio = Studio(empty)
    shelf = enter_acts(studio, acts)
    for number, (after, file, reel) in enumerate(notes):
        minute = after % len(shelf.stages)
        size = len(shelf.stages[minute][reel])
        if size > 1:
            row = studio.add(file, reel=reel, date=moment(minute, half=True), **cells_for(file, f"n{number}"))
            row |= {"start": place(size // 3), "end": place(size // 3 + max(1, size // 2))}
    house = studio.house()
    for reel in REELS:
        along = [tenths for lo, hi, tenths in wear_along(View(house, reel)) for _ in range(lo, hi)]
        assert [Worn(house, tape, at).now for tape, at in shelf.reels[reel]] == along
