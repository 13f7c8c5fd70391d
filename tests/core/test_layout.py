"""Layouts against lists of single cells, through any sequence of cuts, joins, moves and corrections."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.facts import Stretch
from stock.core.layout import Edit, Layout, LayoutError, Layouts, LengthFix, merged

from .tape_cells import ACTS, LENGTHS, REELS, Act, Cell, Shelf, cells_of


def told(acts: list[Act]) -> Shelf:
    shelf = Shelf()
    for act in acts:
        shelf.act(act)
    return shelf


@given(ACTS)
def test_reels_hold_the_same_tape_as_lists_of_cells(acts: list[Act]) -> None:
    shelf = told(acts)
    layouts = shelf.layouts
    for reel in REELS:
        layout = layouts.now(reel)
        assert cells_of(layout.pieces) == shelf.reels[reel]
        assert cells_of(layout.beyond) == shelf.beyond[reel]
        assert layout.length == len(shelf.reels[reel])
        assert merged(layout.pieces) == layout.pieces
        touched = {name for edit in shelf.edits for name in (edit.reel, edit.to_reel)}
        assert layouts.edited(reel) == (reel in touched | {fix.reel for fix in shelf.fixes})


@given(ACTS)
def test_every_place_of_tape_is_on_one_reel_or_thrown_away(acts: list[Act]) -> None:
    shelf = told(acts)
    layouts = shelf.layouts
    held = [cell for reel in REELS for cell in cells_of(layouts.now(reel).pieces)]
    held += [cell for reel in REELS for cell in cells_of(layouts.now(reel).beyond)]
    thrown = cells_of([piece for _, piece in layouts.thrown_away])
    assert sorted(thrown) == sorted(shelf.thrown)
    assert set(Counter(held + thrown).values()) == {1}
    # all tape there ever was: as it came, and what longer measurements found more
    assert len(held + thrown) == sum(shelf.fresh.values())


@given(ACTS)
def test_what_comes_later_does_not_disturb_what_was(acts: list[Act]) -> None:
    shelf = told(acts)
    layouts = shelf.layouts
    for stage, reels in enumerate(shelf.stages):
        for reel in REELS:
            assert cells_of(layouts.at(reel, 10 * stage).pieces) == reels[reel]
            assert layouts.at(reel, 10 * stage + 9) == layouts.at(reel, 10 * stage)


@given(ACTS, st.integers(-2, 30), st.integers(0, 12))
def test_locating_and_projecting_are_inverse(acts: list[Act], lo: int, size: int) -> None:
    shelf = told(acts)
    layouts = shelf.layouts
    for reel in REELS:
        layout, cells = layouts.now(reel), shelf.reels[reel]
        stretches = layout.locate(lo, lo + size)
        assert cells_of(stretches) == cells[max(lo, 0) : max(lo + size, 0)]
        back = [span for piece in stretches for span in layout.project(*piece)]
        assert [place for a, b in back for place in range(a, b)] == [
            place for place in range(lo, lo + size) if 0 <= place < len(cells)
        ]
        for tape in REELS:
            spans = layout.project(tape, lo, lo + size)
            assert [place for a, b in spans for place in range(a, b)] == [
                place for place, (of, at) in enumerate(cells) if of == tape and lo <= at < lo + size
            ]


def beside(cells: list[Cell], at: int) -> set[Stretch]:
    """The places of tape that a place on a reel is: the end of the cell before it, the start of the one after."""
    ends = {Stretch(tape, place + 1, place + 1) for tape, place in cells[:at][-1:]}
    return ends | {Stretch(tape, place, place) for tape, place in cells[at : at + 1]}


@given(ACTS)
def test_a_point_is_beside_its_cells(acts: list[Act]) -> None:
    shelf = told(acts)
    layouts = shelf.layouts
    for reel in REELS:
        layout, cells = layouts.now(reel), shelf.reels[reel]
        if not cells:
            assert layout.point(0) is None
        for at in range(len(cells) + 1 if cells else 0):
            point = layout.point(at)
            assert point in beside(cells, at)
            found = layout.project_point(point.tape, point.lo)
            # where tape was cut and moved, one place of it is at the end of a piece and at the start of another
            assert found is not None
            assert point in beside(cells, found)
            assert found == at or len(beside(cells, at)) == 2 or at in (0, len(cells))
        assert layout.point(-1) is None
        assert layout.point(len(cells) + 1) is None
        assert layout.joins() == [at for at in range(1, len(cells)) if len(beside(cells, at)) == 2]


@given(ACTS)
def test_a_tape_remembers_the_reels_it_was_joined_into(acts: list[Act]) -> None:
    shelf = told(acts)
    homes: dict[str, set[str]] = {}
    for edit in shelf.edits:
        for piece in edit.stretches:
            if edit.to_reel is not None:
                homes.setdefault(piece.tape, set()).add(edit.to_reel)
    assert shelf.layouts.homes == homes


def cut(lo: int, hi: int, to_reel: str | None = None, to_at: int | None = None, reel: str = "A") -> Edit:
    return Edit(7, 10, reel, (Stretch("A", lo, hi),), to_reel, to_at)


@pytest.mark.parametrize(
    "edit",
    [
        cut(11, 13),  # runs off the tape
        cut(3, 5, reel="B"),  # tape that is on another reel
        Edit(7, 10, "A", (), None, None),  # nothing at all
        Edit(7, 10, "A", (Stretch("A", 4, 6), Stretch("A", 2, 4)), None, None),  # not in the order of the reel
        Edit(7, 10, "A", (Stretch("A", 2, 4), Stretch("A", 5, 6)), None, None),  # with a gap
        cut(3, 5, "B", 8),  # joined in past the tail
        cut(3, 5, "B", -1),  # before the head
        cut(3, 6, "A", 4),  # inside of what is cut
    ],
)
def test_an_edit_of_tape_that_is_not_there_is_refused(edit: Edit) -> None:
    with pytest.raises(LayoutError) as refused:
        Layouts(LENGTHS, [edit])
    assert refused.value.entry == 7


def test_tape_cut_away_cannot_be_cut_again() -> None:
    first, second = cut(3, 6), cut(5, 7)._replace(entry=8, moment=11)
    with pytest.raises(LayoutError) as refused:
        Layouts(LENGTHS, [second, first])
    assert refused.value.entry == 8
    assert cells_of(Layouts(LENGTHS, [second]).now("A").pieces) == [("A", at) for at in (*range(5), *range(7, 12))]


def test_events_of_one_moment_count_in_order_of_entry() -> None:
    away = cut(0, 4)
    measured = LengthFix(6, 10, "A", 5)
    layouts = Layouts(LENGTHS, [away], [measured])
    assert layouts.now("A") == Layout((Stretch("A", 4, 5),), (Stretch("A", 5, 12),))


def test_what_a_shorter_measurement_leaves_out_comes_back_with_a_longer_one() -> None:
    fixes = [LengthFix(1, 10, "A", 5), LengthFix(2, 20, "A", 14), LengthFix(3, 30, "B", 0), LengthFix(4, 40, "B", 3)]
    layouts = Layouts(LENGTHS, [], fixes)
    assert layouts.at("A", 10) == Layout((Stretch("A", 0, 5),), (Stretch("A", 5, 12),))
    assert layouts.now("A") == Layout((Stretch("A", 0, 14),))
    assert layouts.now("B") == Layout((Stretch("B", 0, 3),), (Stretch("B", 3, 7),))


def test_supposing_an_edit_leaves_the_layouts_as_they_were() -> None:
    layouts = Layouts({"A": 100, "B": 50}, [Edit(1, 10, "A", (Stretch("A", 0, 10),), "B", None)])
    before = layouts.now("A"), layouts.now("B"), [*layouts.thrown_away], {**layouts.homes}
    supposed = layouts.supposing(Edit(9, 99, "B", (Stretch("B", 40, 50), Stretch("A", 0, 10)), None, None))
    assert supposed.now("B").pieces == (Stretch("B", 0, 40),)
    assert len(supposed.thrown_away) == 2
    assert (layouts.now("A"), layouts.now("B"), layouts.thrown_away, layouts.homes) == before
    with pytest.raises(LayoutError):
        layouts.supposing(Edit(9, 99, "B", (Stretch("A", 20, 30),), None, None))
    assert layouts.now("B") == before[1]
