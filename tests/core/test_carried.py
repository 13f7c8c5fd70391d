"""What is known of tape goes where the tape goes: entered at reel places, found again through any edits."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.core.fitness import wear_along
from stock.core.view import View
from stock.store.store import Store

from .builder import AS_OF, Row, Studio, place
from .tape_cells import ACTS, LENGTHS, REELS, Act, Cell, Shelf

WHOLE = ("holds", "releases", "owners", "retirements")
SPANS = ("takes", "passes", "transfers", "findings", "wipes")
NOTES = st.lists(
    st.tuples(
        st.integers(0, 9),
        st.sampled_from((*SPANS, *WHOLE)),
        st.sampled_from(REELS),
        st.integers(0, 20),
        st.integers(0, 20),
    ),
    min_size=1,
    max_size=8,
)


def moment(minute: int, half: bool = False) -> str:
    return f"2026-01-01T10:{minute:02d}:{30 if half else 0:02d}Z"


def cells_for(file: str, name: str) -> Row:
    """The cells a fact of a file must have, apart from its reel, its moment and its place."""
    transfer = {"transfer": name, "speed": "15 ips", "tracks": "1", "sample_rate_hz": "48000", "bit_depth": "24"}
    needed: dict[str, Row] = {
        "takes": {"title": "river", "take": name, "speed": "15 ips"},
        "passes": {"kind": "play"},
        "transfers": transfer,
        "findings": {"kind": "crease", "severity": "1"},
        "wipes": {"method": "machine"},
        "holds": {"hold": name, "reason": "a court asks"},
        "releases": {"granted_by": "Dee Client"},
        "owners": {"owner": "client one"},
    }
    return needed.get(file, {})


def enter_acts(studio: Studio, acts: list[Act]) -> Shelf:
    """Do the acts one a minute, on the lists of cells and in the studio."""
    shelf = Shelf()
    for reel, length in LENGTHS.items():
        studio.reel(reel, length=place(length))
    done = [act for act in acts if shelf.act(act)]
    assert len(done) == len(shelf.stages) - 1
    for minute in range(1, len(shelf.stages)):
        fix = next((fix for fix in shelf.fixes if fix.entry == minute), None)
        if fix is not None:
            studio.add("lengths", reel=fix.reel, date=moment(minute), length=place(fix.length))
            continue
        edit = next(edit for edit in shelf.edits if edit.entry == minute)
        before = shelf.stages[minute - 1][edit.reel]
        start = before.index((edit.stretches[0].tape, edit.stretches[0].lo))
        size = sum(piece.hi - piece.lo for piece in edit.stretches)
        studio.add(
            "edits",
            reel=edit.reel,
            date=moment(minute),
            start=place(start),
            end=place(start + size),
            to_reel=edit.to_reel or "",
            to_at="" if edit.to_at is None else place(edit.to_at),
        )
    return shelf


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None)
@given(acts=ACTS, notes=NOTES)
def test_facts_go_with_their_tape(empty: Store, acts: list[Act], notes: list[tuple[int, str, str, int, int]]) -> None:
    studio = Studio(empty)
    shelf = enter_acts(studio, acts)
    lies_on: dict[str, dict[str, set[Cell]]] = {}
    wear: dict[Cell, int] = {}
    for number, (after, file, reel, start, size) in enumerate(notes):
        minute = after % len(shelf.stages)
        cells = shelf.stages[minute][reel]
        if not cells:
            continue
        row = studio.add(file, reel=reel, date=moment(minute, half=True), **cells_for(file, f"n{number}"))
        if file in WHOLE:
            lies_on.setdefault(file, {})[f"n{number}"] = set(cells)
            continue
        lo = start % len(cells)
        hi = lo + 1 + size % (len(cells) - lo)
        row |= {"start": place(lo), "end": place(hi)}
        lies_on.setdefault(file, {})[f"n{number}"] = set(cells[lo:hi])
        if file in ("takes", "passes", "wipes"):
            for cell in cells[lo:hi]:
                wear[cell] = wear.get(cell, 0) + 10
    house = studio.house(AS_OF)
    for reel in REELS:
        view = View(house, reel)
        on_reel = shelf.reels[reel] + shelf.beyond[reel]
        for file in (*SPANS, *WHOLE):
            found: dict[int, set[int]] = {}
            for lo, hi, row_there in view.spans(file):
                found.setdefault(row_there.entry, set()).update(range(lo, hi))
            wanted = [
                {at for at, cell in enumerate(on_reel) if cell in lies} for lies in lies_on.get(file, {}).values()
            ]
            assert sorted(map(sorted, found.values())) == sorted(sorted(places) for places in wanted if places)
        worn = [tenths for lo, hi, tenths in wear_along(view) for _ in range(lo, hi)]
        assert worn == [wear.get(cell, 0) for cell in shelf.reels[reel]]
