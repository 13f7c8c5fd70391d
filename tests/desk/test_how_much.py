"""How much tape there is: ranges against the record, and what is refused."""

from __future__ import annotations

import pytest

from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter, NoSuchReel
from stock.desk.how_much import enter_length, how_much

from .entries import FOOT, add


@pytest.fixture
def sized(desk: Desk) -> Desk:
    add(desk, "formulation", formulation="brown four", thickness="50 um")
    add(desk, "formulation", formulation="plain", base="polyester")
    for item, formulation in (("stated", "brown four"), ("unstated", "plain")):
        add(
            desk, "stock-item", stock_item=item, formulation=formulation, width="2 in", length="2500 ft",
            reel_size="10.5 in", core="4.5 in",
        )  # fmt: skip
    for reel, item in (("A", "stated"), ("B", "unstated")):
        add(desk, "reel", reel=reel, stock_item=item, tracks="8", owner="house", arrived_as="sealed")
    return desk


@pytest.mark.parametrize("given", [{"diameter": "248.1 mm"}, {"depth": "9.3 mm"}])
def test_2500_ft_of_50_um_on_a_core_of_4_5_in(sized: Desk, given: dict[str, str]) -> None:
    # computed from L = pi (D^2 - d^2) / (4 t): 248.1 mm across, 9.3 mm of flange left; the core is from memory
    found = how_much(sized, "A", given)
    assert found.length.low < 2500 * FOOT < found.length.high
    assert found.length.high - found.length.low < 250 * FOOT
    assert found.agrees and found.correction is None


def test_a_thickness_not_stated_covers_both_kinds(sized: Desk) -> None:
    thin = how_much(sized, "B", {"diameter": "248.1 mm", "thickness": "50 um"})
    thick = how_much(sized, "B", {"diameter": "248.1 mm", "thickness": "54.1 um"})
    both = how_much(sized, "B", {"diameter": "248.1 mm"})
    stated = how_much(sized, "B", {"diameter": "248.1 mm", "thickness": "50 um", "thickness_most": "54.1 um"})
    assert both.length == stated.length
    for one in (thin, thick):
        assert both.length.low <= one.length.middle <= both.length.high


def test_a_record_that_does_not_agree_is_corrected_by_a_fact(sized: Desk) -> None:
    found = how_much(sized, "A", {"counter_end": "30:00", "speed": "15 ips"})
    assert not found.agrees
    assert found.correction == 2250 * FOOT
    enter_length(sized, found)
    again = how_much(sized, "A", {"counter_end": "30:00", "speed": "15 ips"})
    assert (again.recorded, again.agrees) == (2250 * FOOT, True)


def test_a_counter_set_to_zero_along_the_tape_is_read_from_there(sized: Desk) -> None:
    found = how_much(sized, "A", {"counter_start": "3:20", "counter_end": "36:40", "speed": "15 ips +3%"})
    # 33:20 at 15 in/s are 2500 ft: a counter goes by the nominal speed
    assert found.agrees


def test_weight_corrects_nothing(sized: Desk) -> None:
    # 762 m of 2 in tape at 93 g/m2 are 3.6 kg; both figures from memory
    rough = how_much(sized, "A", {"weight": "4.3 kg", "empty": "700 g"})
    assert rough.rough and rough.agrees
    light = how_much(sized, "A", {"weight": "1.7 kg", "empty": "700 g"})
    assert not light.agrees and light.correction is None


@pytest.mark.parametrize(
    ("given", "column"),
    [
        ({}, "diameter"),
        ({"diameter": "248 mm", "depth": "9 mm"}, "diameter"),
        ({"diameter": "9 kg"}, "diameter"),
        ({"diameter": "100 mm"}, "diameter"),
        ({"depth": "120 mm"}, "depth"),
        ({"counter_end": "30:00"}, "speed"),
        ({"counter_end": "3:00", "counter_start": "4:00", "speed": "15 ips"}, "counter_end"),
        ({"weight": "4 kg"}, "empty"),
        ({"weight": "1 kg", "empty": "2 kg"}, "empty"),
        ({"diameter": "248 mm", "thickness": "0 um"}, "thickness"),
    ],
)
def test_what_cannot_be_measured_by_is_said(sized: Desk, given: dict[str, str], column: str) -> None:
    with pytest.raises(CannotEnter) as caught:
        how_much(sized, "A", given)
    assert [problem.column for problem in caught.value.problems] == [column]


def test_a_core_that_is_not_recorded_is_asked_for(desk: Desk) -> None:
    with pytest.raises(CannotEnter) as caught:
        how_much(desk, "R1", {"diameter": "248 mm"})
    assert caught.value.problems[0].column == "core"
    assert how_much(desk, "R1", {"diameter": "248.1 mm", "core": "4.5 in"}).length.low > 0
    with pytest.raises(NoSuchReel):
        how_much(desk, "R77", {"diameter": "248 mm"})
