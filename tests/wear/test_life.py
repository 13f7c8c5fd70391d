"""Passes left: ranges that hold the truth as often as they say, and plain words where nothing can be said."""

from __future__ import annotations

from math import exp
from random import Random

from stock.wear.life import Estimate, Track, life_of, predicted

from .made import made_track, true_left

LIMITS = {"critical": 1.0, "standard": 2.0, "scratch": 3.0}


def _exact(reel: str, loss: float, checks: int) -> Track:
    passes = tuple(10.0 * n for n in range(checks))
    return Track(reel, passes, tuple(-loss * p for p in passes), passes[-1])


def test_the_range_holds_the_truth_four_times_of_five() -> None:
    random = Random(7)
    tried = told = right = 0
    for _ in range(800):
        loss = random.uniform(0.01, 0.04)
        track = made_track("this", loss, 8, random)
        if not true_left(track, loss, 3.0):
            continue  # past its limit already: nothing is left to foretell
        tried += 1
        left = life_of([track], [], LIMITS).left.get("scratch")
        if left is not None and left.high is not None:
            told += 1
            right += left.low <= true_left(track, loss, 3.0) < left.high + 1
    assert told > 0.98 * tried > 400
    assert 0.75 <= right / told <= 0.85


def test_a_loss_without_noise_is_found_exactly() -> None:
    life = life_of([_exact("this", 0.0625, 6)], [], LIMITS)
    assert life.basis == "own"
    # 1 dB at 1/16 dB a pass is 16 passes, 50 are made; 3 dB are 48; nothing is left of either
    assert [life.left[grade] for grade in LIMITS] == [(0, 0, 0)] * 3
    assert life_of([_exact("this", 0.03125, 6)], [], LIMITS).left["scratch"] == (46, 46, 46)


def test_the_worst_track_holds() -> None:
    tracks = [_exact("this", 0.01, 6), _exact("this", 0.02, 6), _exact("this", 0.005, 6)]
    life = life_of(tracks, [], LIMITS)
    assert life.worst == 1
    assert "3 tracks seen together" in life.why
    # 3 dB at 0.02 dB a pass are 150 passes, 50 are made
    left = life.left["scratch"]
    assert left.high is not None and left.low < 100 < left.high


def test_the_worst_of_many_tracks_alike_is_not_taken_for_a_worse_one() -> None:
    random = Random(15)
    told = right = 0
    for _ in range(120):
        loss = random.uniform(0.01, 0.03)
        first = made_track("this", loss, 8, random)
        if not true_left(first, loss, 3.0):
            continue
        begin = first.passes[0]
        more = [
            Track(
                "this", first.passes, tuple(-loss * (p - begin) + random.gauss(0, 0.2) for p in first.passes), first.now
            )
            for _ in range(5)
        ]
        left = life_of([first, *more], [], LIMITS).left["scratch"]
        assert left.high is not None
        told += 1
        right += left.low <= true_left(first, loss, 3.0) < left.high + 1
    assert told > 70
    # of these six tracks one by one the worst would hold the truth 65 times of 100
    assert right / told >= 0.73


def test_no_loss_is_no_number_of_passes() -> None:
    flat = Track("this", (0, 10, 20, 30, 40), (0.1, -0.1, 0.1, -0.1, 0.1), 40)
    life = life_of([flat], [], LIMITS)
    assert (life.basis, dict(life.left)) == ("none", {})
    assert "cannot be told from none" in life.why


def test_few_checks_are_pooled_and_it_says_so() -> None:
    random = Random(11)
    others = [made_track(f"other {n}", 0.03, 6, random) for n in range(6)]
    life = life_of([made_track("this", 0.03, 2, random)], others, LIMITS)
    assert life.basis == "pooled"
    assert life.others == 6
    assert "2 checks" in life.why and "6 other reels" in life.why
    left = life.left["scratch"]
    assert left.high is not None and left.low < left.likely < left.high


def test_few_checks_and_few_others_say_nothing() -> None:
    random = Random(12)
    two = [made_track(f"other {n}", 0.03, 6, random) for n in range(2)]
    for others in ([], two):
        life = life_of([made_track("this", 0.03, 4, random)], others, LIMITS)
        assert (life.basis, dict(life.left)) == ("none", {})
        assert "4 checks" in life.why
    assert life_of([], two, LIMITS).why == "no 10 kHz check was made at a place on the tape"


def test_pooled_ranges_hold_the_truth_at_least_about_as_often_as_they_say() -> None:
    random = Random(13)
    right = told = 0
    for _ in range(150):
        usual = random.uniform(0.01, 0.04)
        others = [made_track(f"o{n}", usual * exp(random.gauss(0, 0.15)), 5, random) for n in range(6)]
        loss = usual * exp(random.gauss(0, 0.15))
        track = made_track("this", loss, 3, random)
        left = life_of([track], others, LIMITS).left.get("scratch")
        if left is not None and left.high is not None:
            told += 1
            right += left.low <= true_left(track, loss, 3.0) < left.high + 1
    assert told > 140
    assert right / told >= 0.72


def test_reels_that_differ_widen_the_range() -> None:
    alike = predicted([Estimate(0.02, 1e-6)] * 6, None)
    apart = predicted([Estimate(0.02 + 0.004 * n, 1e-6) for n in (-2, -1, 0, 0, 1, 2)], None)
    assert apart.high - apart.low > 3 * (alike.high - alike.low)


def test_checks_with_no_passes_between_them_stand_for_nothing_alone() -> None:
    random = Random(14)
    still = Track("this", (0, 0, 0, 0, 30), (0.1, 0.0, 0.1, 0.0, -1.0), 30)
    alone = life_of([still], [], LIMITS)
    assert alone.basis == "none"
    assert "too few different counts of passes" in alone.why
    others = [made_track(f"other {n}", 0.03, 6, random) for n in range(6)]
    assert life_of([still], others, LIMITS).basis == "pooled"
