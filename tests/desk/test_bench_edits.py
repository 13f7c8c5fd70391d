"""Cuts and joins: seen before they are entered, refused where they would lose something or not fit, and taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.core.fitness import wear_along
from stock.core.view import View
from stock.desk.desk import Desk
from stock.desk.editing import see_edit, throw_away
from stock.desk.errors import CannotEnter, DoesNotFit, NoSuchReel, Unproved

from .clock import Clock
from .entries import FOOT, TAKE, add
from .houses import facts_of

REELS = ("R1", "R2", "R3")


def test_a_look_at_an_edit_enters_nothing(desk: Desk) -> None:
    add(desk, "take", **TAKE)
    before = facts_of(desk)
    seen = see_edit(desk, {"reel": "R1", "start": "90 ft", "end": "410 ft", "to_reel": "R2", "to_at": "0 ft"})
    assert [advice.view.length for advice in seen.before] == [2500 * FOOT, 2500 * FOOT]
    assert [advice.view.length for advice in seen.after] == [2180 * FOOT, 2820 * FOOT]
    assert seen.after[1].verdict == "keep"
    assert (seen.lo, seen.hi, seen.thrown_away) == (90 * FOOT, 410 * FOOT, False)
    assert any("river" in words for words in seen.along)
    assert facts_of(desk) == before
    with desk.store.reading() as reader:
        head = reader.head()
    assert head is not None and head.what != "try an edit"


def test_what_is_unproved_is_not_thrown_away_and_the_look_says_so(desk: Desk) -> None:
    add(desk, "take", **TAKE)
    cells = {"reel": "R1", "start": "90 ft", "end": "410 ft"}
    for refused in (lambda: see_edit(desk, cells), lambda: throw_away(desk, cells, label="R1")):
        with pytest.raises(Unproved):
            refused()
    assert see_edit(desk, {"reel": "R1", "start": "500 ft", "end": "600 ft"}).thrown_away


def test_places_off_the_tape_and_reels_not_there_are_refused(desk: Desk) -> None:
    with pytest.raises(CannotEnter):
        see_edit(desk, {"reel": "R1", "start": "90 ft", "end": "9000 ft"})
    with pytest.raises(NoSuchReel):
        see_edit(desk, {"reel": "R1", "start": "90 ft", "end": "900 ft", "to_reel": "R77"})


def _sized(desk: Desk, thickness: str) -> None:
    add(desk, "formulation", formulation="brown four", thickness=thickness)
    for name, width in (("half", "0.5 in"), ("two", "2 in")):
        add(
            desk, "stock-item", stock_item=name, formulation="brown four", width=width, length="2500 ft",
            reel_size="10.5 in", core="4.5 in",
        )  # fmt: skip
    for reel, item in (("A", "two"), ("B", "two"), ("H", "half")):
        add(desk, "reel", reel=reel, stock_item=item, tracks="8", owner="house", arrived_as="sealed")


def test_a_join_that_overgrows_the_flange_is_refused(desk: Desk) -> None:
    # computed: at 50 um a 10.5 in reel with a 4.5 in core is brim-full at 2992 ft; at 49 um, 2 % less, at 3053 ft
    _sized(desk, "50 um")
    see_edit(desk, {"reel": "A", "start": "0 ft", "end": "550 ft", "to_reel": "B"})
    with pytest.raises(DoesNotFit, match="flange is 267 mm"):
        see_edit(desk, {"reel": "A", "start": "0 ft", "end": "560 ft", "to_reel": "B"})
    with pytest.raises(DoesNotFit):
        desk.add("edit", {"reel": "A", "start": "0 ft", "end": "560 ft", "to_reel": "B"})


def test_thicker_tape_fits_less(desk: Desk) -> None:
    _sized(desk, "54.1 um")  # brim-full at 2766 ft, at 2 % less at 2822 ft
    with pytest.raises(DoesNotFit):
        see_edit(desk, {"reel": "A", "start": "0 ft", "end": "330 ft", "to_reel": "B"})
    see_edit(desk, {"reel": "A", "start": "0 ft", "end": "320 ft", "to_reel": "B"})


def test_tape_of_another_width_is_not_joined(desk: Desk) -> None:
    _sized(desk, "50 um")
    with pytest.raises(DoesNotFit, match="0.5 in wide"):
        see_edit(desk, {"reel": "H", "start": "0 ft", "end": "10 ft", "to_reel": "A"})


def _state(desk: Desk) -> list[object]:
    house = desk.house(REELS)
    state: list[object] = []
    for reel in REELS:
        view = View(house, reel)
        state.append((view.pieces, view.length, wear_along(view)))
        state += [sorted(view.spans(file), key=str) for file in ("takes", "passes", "findings", "holds")]
    return state


STEP = st.tuples(
    st.sampled_from(REELS), st.sampled_from(REELS), st.integers(0, 99), st.integers(1, 99), st.integers(0, 99)
)


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow], max_examples=12, deadline=None
)
@given(steps=st.lists(STEP, min_size=1, max_size=4))
def test_the_last_edit_taken_back_restores_the_record(
    steps: list[tuple[str, str, int, int, int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    clock = Clock()
    desk = Desk.open(tmp_path_factory.mktemp("edits") / "house.db", "Ann", now_us=clock)
    add(desk, "formulation", formulation="grey nine")
    add(desk, "stock-item", stock_item="s", formulation="grey nine", width="2 in", length="2500 ft")
    for reel in REELS:
        add(desk, "reel", reel=reel, stock_item="s", tracks="8", owner="house", arrived_as="sealed")
        add(desk, "pass", reel=reel, kind="play", start="100 ft", end="900 ft")
        add(desk, "finding", reel=reel, kind="crease", severity="1", start="300 ft", end="350 ft")
        add(desk, "hold", hold=f"hold {reel}", reel=reel, reason="asked for")
    before, last = _state(desk), 0
    worn = _worn_by_tape(desk)
    for reel, into, start, size, at in steps:
        clock.now_us += 60_000_000
        length, room = (View(desk.house(REELS), number).length // FOOT for number in (reel, into))
        lo = length * start // 100
        hi = min(length, lo + 1 + length * size // 200)
        cells = {
            "reel": reel,
            "start": f"{lo} ft",
            "end": f"{hi} ft",
            "to_reel": into,
            "to_at": f"{room * at // 100} ft",
        }
        if hi <= lo or (reel == into and lo < room * at // 100 < hi):
            continue
        before = _state(desk)
        last = add(desk, "edit", **cells)
        # what each stretch of tape has been through is the same whichever reel it is on
        assert _worn_by_tape(desk) == worn
    if last:
        desk.void(last, "a slip")
        assert _state(desk) == before
    desk.close()


def _worn_by_tape(desk: Desk) -> dict[tuple[str, int], int]:
    """Tenths of a pass of each foot of each tape, on whatever reel it is."""
    house = desk.house(REELS)
    worn: dict[tuple[str, int], int] = {}
    for reel in REELS:
        view = View(house, reel)
        along = [tenths for lo, hi, tenths in wear_along(view) for _ in range(lo // FOOT, hi // FOOT)]
        for start, piece in view.on_reel:
            for foot in range((piece.hi - piece.lo) // FOOT):
                key = piece.tape, piece.lo // FOOT + foot
                assert key not in worn
                worn[key] = along[start // FOOT + foot]
    return worn


def test_the_demo_house_is_left_as_it_was(demo: Desk, tmp_path: Path) -> None:
    before = facts_of(demo)
    see_edit(demo, {"reel": "M-0106", "start": "0 ft", "end": "300 ft"})
    assert facts_of(demo) == before
