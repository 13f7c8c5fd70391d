"""Takes in the forecast are laid by the rules of picking."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stock.core.measure import IPS, MINUTE, SECOND, Speed
from stock.core.picking.candidates import Candidate, Free
from stock.core.picking.request import Request, footprint, footprints, gap
from stock.core.rules import RuleFact, Rules
from stock.planning.forecast.laying import Bench, Measures
from stock.planning.model import option_of, task_of
from stock.planning.ordered import fewest_in_order
from stock.store.store import Store
from tests.core.builder import Studio
from tests.picking.asking import offered

RULES = Rules()
LENGTH = 2500 * 3048
SPEEDS = st.sampled_from([15 * IPS, 30 * IPS, 7 * IPS + IPS // 2, 392_430])
TAKES = st.lists(st.integers(SECOND, 14 * MINUTE), min_size=1, max_size=25)


def reels_opened(takes_us: list[int], speed: int, leftovers: int, rules: Rules = RULES) -> int:
    """How many reels the forecast's bench opens for takes laid in order."""
    measures = Measures.of(LENGTH, speed, rules)
    bench = Bench(1, measures.room, leftovers)
    always = np.ones(1, dtype=np.bool_)
    opened = 0
    for take_us in takes_us:
        need = measures.sizes(np.array([take_us], dtype=np.int64))
        opened += bench.lay(need, need, always, None) is not None
    return opened


@given(takes_us=TAKES, speed=SPEEDS)
def test_footprints_are_those_of_picking_to_the_last_tenth(takes_us: list[int], speed: int) -> None:
    request = Request(tuple(takes_us), Speed(speed))
    sizes = Measures.of(LENGTH, speed, RULES).sizes(np.array(takes_us, dtype=np.int64))
    between = gap(request, RULES)
    assert sizes.tolist() == [print_.length + between for print_ in footprints(request, RULES)]


@given(share=st.integers(0, 500), overrun_s=st.integers(0, 60), take_us=st.integers(1, 20 * MINUTE))
def test_footprints_follow_the_house_rules(share: int, overrun_s: int, take_us: int) -> None:
    rules = Rules([RuleFact(1, "overrun_share", share, 0), RuleFact(2, "overrun_s", overrun_s * SECOND, 0)])
    measures = Measures.of(LENGTH, 15 * IPS, rules)
    whole = footprint(take_us, 15 * IPS, rules).length
    assert measures.sizes(np.array([take_us], dtype=np.int64))[0] == whole + measures.gap


def reels_like_new(count: int, speed: int) -> list[Candidate]:
    """Reels that are all alike, free from the end of the tones to the unused tail."""
    measures = Measures.of(LENGTH, speed, RULES)
    free = (Free(0, measures.room - measures.gap, 0, None),)
    return [Candidate(f"R{at:03d}", "grey nine", ("one",), 0, None, None, free, (), (), (), 0) for at in range(count)]


@settings(deadline=None)
@given(takes_us=TAKES, speed=SPEEDS)
def test_in_order_the_forecast_and_picking_need_the_same_reels(takes_us: list[int], speed: int) -> None:
    measures = Measures.of(LENGTH, speed, RULES)
    fits = [take for take in takes_us if footprint(take, speed, RULES).length <= measures.room - measures.gap]
    if not fits:
        return
    request = Request(tuple(fits), Speed(speed))
    task = task_of(request, RULES)
    found = fewest_in_order(task, [option_of(reel, task) for reel in reels_like_new(len(fits), speed)])
    assert found is not None and found.packing is not None
    assert reels_opened(fits, speed, leftovers=0) == len(found.packing)


def by_hand(takes_us: list[int], speed: int, leftovers: int) -> int:
    """First fit over the reel in use and the last few before it, one take after the other."""
    measures = Measures.of(LENGTH, speed, RULES)
    reels: list[int] = []
    for take_us in takes_us:
        size = footprint(take_us, speed, RULES).length + measures.gap
        near = range(max(0, len(reels) - 1 - leftovers), len(reels))
        at = next((at for at in near if reels[at] >= size), None)
        if at is None:
            reels.append(max(measures.room - size, 0))
        else:
            reels[at] -= size
    return len(reels)


@given(takes_us=TAKES, speed=SPEEDS, leftovers=st.integers(0, 4))
def test_leftovers_take_shorter_titles_oldest_first(takes_us: list[int], speed: int, leftovers: int) -> None:
    assert reels_opened(takes_us, speed, leftovers) == by_hand(takes_us, speed, leftovers)


def test_a_leftover_saves_a_reel() -> None:
    # one reel is free for 30:50 at 15 in/s: a second 9:00 fits beside the first, not beside 27:00
    assert reels_opened([9 * MINUTE, 27 * MINUTE, 9 * MINUTE], 15 * IPS, 0) == 3
    assert reels_opened([9 * MINUTE, 27 * MINUTE, 9 * MINUTE], 15 * IPS, 1) == 2


@pytest.mark.parametrize("ips", [15, 30])
def test_a_new_reel_has_the_room_picking_gives_it(empty: Store, ips: int) -> None:
    request = Request((3 * MINUTE,), Speed(ips * IPS))
    found, _ = offered(Studio(empty), request)
    (stretch,) = found["R1"].stretches
    assert stretch.length + gap(request, RULES) == Measures.of(LENGTH, ips * IPS, RULES).room


def test_a_take_longer_than_any_reel_opens_one_and_is_told() -> None:
    measures = Measures.of(LENGTH, 30 * IPS, RULES)
    bench = Bench(2, measures.room, 2)
    takes: npt.NDArray[np.int64] = np.array([16 * MINUTE, 9 * MINUTE], dtype=np.int64)
    need = measures.sizes(takes)
    laid = bench.lay(need, need, np.ones(2, dtype=np.bool_), None)
    assert laid is not None and laid[0].all()
    assert bench.too_long.tolist() == [True, False]
    assert (bench.left[-1] >= 0).all()


def test_a_reel_passed_over_for_good_says_whether_it_holds_a_master() -> None:
    measures = Measures.of(LENGTH, 15 * IPS, RULES)
    bench = Bench(1, measures.room, 0)
    need = measures.sizes(np.array([20 * MINUTE], dtype=np.int64))
    always, master = np.ones(1, dtype=np.bool_), np.ones(1, dtype=np.bool_)
    told = []
    for is_master in (~master, master, ~master):
        laid = bench.lay(need, need, always, is_master)
        assert laid is not None
        told.append((bool(laid[1][0]), bool(laid[2][0])))
    assert told == [(False, False), (True, False), (False, True)]
    assert [int(count[0]) for count in bench.still_open()] == [1, 0]
