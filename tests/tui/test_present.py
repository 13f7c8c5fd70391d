"""How a reel is put into lines, rows and words, without an app."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from stock.core.measure import FOOT, IPS, SECOND, length_of
from stock.core.places import AtCode, AtLength, AtTime
from stock.core.verdict import Advice
from stock.desk.history import HistoryLine
from stock.edge.cells import parse_place
from tests.tui.reel_fixtures import demo_desk
from tui.present.history import history_blocks, newest_first
from tui.present.line import Piece, clip, text_of, wrap
from tui.present.places import PlaceError, reel_place
from tui.present.readout import place_words, readout, time_words, timecode_at
from tui.present.reasons import answer_blocks
from tui.present.rows import GUTTER, draw, height_of
from tui.present.tape import Bar, lanes_of, tape_of
from tui.present.window import Window, whole

SPEED = 15 * IPS


@cache
def demo() -> dict[str, Advice]:
    with demo_desk(Path(mkdtemp(prefix="reelward-tests-"))) as desk:
        return {advice.reel: advice for advice in desk.advise()}


def row(reel: str, name: str, width: int = 72) -> str:
    tape = tape_of(demo()[reel])
    lines = [text_of(line) for line in draw(tape, whole(tape.length, width), 0, SPEED)]
    (found,) = (line for line in lines if line.startswith(name))
    return found[GUTTER:]


def said(reel: str, place: int, label: str) -> str:
    advice = demo()[reel]
    (found,) = (line for line in readout(advice, tape_of(advice), place, SPEED) if line.label == label)
    return text_of(found.pieces)


def at(minutes: int, seconds: int) -> int:
    return length_of((60 * minutes + seconds) * SECOND, SPEED)


@given(st.text(max_size=120), st.integers(12, 60), st.integers(0, 4))
def test_wrapped_lines_fit_and_lose_no_word(text: str, width: int, indent: int) -> None:
    clean = " ".join(text.split())
    lines = wrap((Piece(clean),), width, indent)
    assert all(cell_len(text_of(line)) <= width for line in lines)
    assert "".join("".join(text_of(line) for line in lines).split()) == "".join(clean.split())


@given(st.lists(st.text(max_size=30), max_size=5), st.integers(0, 40))
def test_a_clipped_line_fits(texts: list[str], width: int) -> None:
    line = tuple(Piece(text) for text in texts)
    cut = clip(line, width)
    assert cell_len(text_of(cut)) <= width
    if cell_len(text_of(line)) <= width:
        assert cut == line


@given(st.integers(0, 10**7), st.integers(1, 10**7), st.integers(1, 300), st.data())
def test_a_column_holds_the_places_from_its_first_to_the_next_ones(
    lo: int, size: int, width: int, data: st.DataObject
) -> None:
    window = Window(lo, lo + size, width)
    place = data.draw(st.integers(lo, lo + size - 1))
    column = window.column(place)
    assert 0 <= column < width
    assert window.place(column) <= place < window.place(column + 1)


@given(st.integers(1, 10**7), st.lists(st.tuples(st.sampled_from([1, -1]), st.floats(0, 1)), max_size=12))
def test_zooming_stays_on_the_reel_and_shows_the_place(length: int, moves: list[tuple[int, float]]) -> None:
    window = whole(length, 72)
    for closer, part in moves:
        place = int(part * (length - 1))
        window = window.showing(place, length).zoomed(place, closer, length, SPEED)
        assert window.lo >= 0
        assert window.hi <= length
        assert window.lo <= place < window.hi


@pytest.mark.parametrize("reel", ["M-0135", "M-0151", "Q-0409", "H-0308", "Q-0402", "M-0143", "M-0155", "M-0108"])
@pytest.mark.parametrize("width", [1, 7, 40, 72, 112])
def test_every_line_of_the_map_is_as_wide_as_its_window(reel: str, width: int) -> None:
    tape = tape_of(demo()[reel])
    window = whole(tape.length, width)
    for _ in range(6):
        lines = draw(tape, window, tape.length, SPEED)
        assert len(lines) == height_of(tape)
        assert {cell_len(text_of(line)) for line in lines[:-1]} == {GUTTER + width}
        window = window.zoomed(tape.length // 3, 1, tape.length, SPEED)


def test_the_cursor_is_marked_in_each_line_of_the_map() -> None:
    tape = tape_of(demo()["M-0107"])
    lines = draw(tape, whole(tape.length, 72), tape.length, SPEED)
    assert all(sum(piece.cursor for piece in line) == 1 for line in lines[:-1])


def test_the_map_of_a_reel_with_an_overdub_not_yet_transferred() -> None:
    proof = row("M-0151", "proof")
    assert "▓▓" in proof
    assert "══" in proof
    assert "░" in proof
    assert proof.endswith("╱")
    assert "Lampl…/2" in row("M-0151", "takes")


def test_the_map_shows_marks_splices_and_findings() -> None:
    assert row("M-0135", "marks").startswith("1Z")
    assert row("Q-0409", "marks").count("|") == 7
    assert row("Q-0406", "marks").count("x") == 2
    assert row("M-0143", "marks").strip().startswith("2~")


def test_wear_is_told_in_numbers_at_its_steps() -> None:
    assert "27" in row("M-0131", "wear")
    assert "44" in row("M-0131", "wear")


def test_takes_that_overlap_lie_in_lanes_and_the_rest_are_counted() -> None:
    bars = [Bar(f"take {n}", ((0, 100),), 1 << n, None) for n in range(6)]
    lanes, left = lanes_of([*bars, Bar("later", ((100, 200),), 1, None)], 4)
    assert [len(lane) for lane in lanes] == [2, 1, 1, 1]
    assert left == 2


def test_the_readout_names_take_tracks_proof_and_passes() -> None:
    assert said("M-0107", at(12, 40), "place").startswith("12:40 from the head at 15 ips · 950.0 ft")
    assert "Breakwater/1 for Slack Water of 2023-01-26, tracks 1-24" in said("M-0107", at(12, 40), "take")
    assert "last read" in said("M-0107", at(12, 40), "proof")
    assert said("M-0131", at(10, 0), "proof") == "proved by transfer TR-2 (tracks 1-24)"
    assert said("M-0131", at(10, 0), "tape").startswith("44 passes, standard bears 150")
    assert "14 vox" in said("M-0151", at(2, 20), "take")
    assert "tracks 1-13,15-24" in said("M-0151", at(2, 20), "proof")
    assert said("M-0151", at(25, 0), "take") == "nothing recorded here"


def test_the_readout_names_splices_on_both_sides_and_findings() -> None:
    tape = said("Q-0406", at(7, 0), "tape")
    assert "splice failed repair 0:36 before, failed repair 4:28 after" in tape
    assert tape.endswith("most 71 at 0:20")
    assert "stray-field, severity 1" in said("M-0131", 0, "also")


def test_a_place_is_spelled_so_that_it_reads_back() -> None:
    assert place_words(475 * FOOT + 1524) == "475.5 ft"
    assert place_words(1_450_000) == "145.0000 m"
    assert place_words(0) == "0 ft"


@given(st.integers(0, 10**8))
def test_a_place_as_spelled_is_that_place(place: int) -> None:
    assert parse_place(place_words(place), None) == AtLength(place)  # type: ignore[arg-type]


def test_times_are_told_to_the_tenth() -> None:
    assert time_words(760 * SECOND) == "12:40"
    assert time_words(760 * SECOND + 260_000) == "12:40.3"
    assert time_words(-30_500_000) == "-0:30.5"
    assert time_words(59_990_000) == "1:00"


def test_places_typed_count_from_head_zero_mark_and_stripe() -> None:
    zeroed, striped = tape_of(demo()["M-0135"]), tape_of(demo()["M-0113"])
    assert reel_place(AtLength(100 * FOOT), zeroed, SPEED) == 100 * FOOT
    assert reel_place(AtTime(0), zeroed, SPEED) == zeroed.zero == at(0, 48)
    assert striped.stripe is not None
    assert reel_place(AtCode(striped.stripe.start_code), striped, SPEED) == striped.stripe.at
    assert timecode_at(striped, striped.stripe.at, SPEED) == striped.stripe.start_code
    for place in (AtLength(zeroed.length + 1), AtTime(-100 * SECOND), AtCode("01:00:00:00")):
        with pytest.raises(PlaceError):
            reel_place(place, zeroed, SPEED)


def test_the_answers_carry_every_reason_and_remedy() -> None:
    for advice in demo().values():
        words = "\n".join(text_of(line) for block in answer_blocks(advice, 10_000, SPEED) for line in block.lines)
        for reason in advice.reasons:
            assert reason.says in words
            assert reason.remedy in words


def test_history_is_newest_first_and_voided_lines_are_struck() -> None:
    from stock.core.kinds import BY_NAME

    voided = HistoryLine(
        7, BY_NAME["move"], "2026-01-02", "out [/]", "Una Thorp", "a\x1bnote", (), (9, "slip", "Pim Oake")
    )
    kept = HistoryLine(8, BY_NAME["splice"], "2026-01-03", "sound", "", "", ((at(3, 0), at(3, 0)),), None)
    blocks = history_blocks(newest_first([voided, kept]), 100, SPEED)
    assert blocks[0].at == at(3, 0)
    assert "at 3:00" in text_of(blocks[0].lines[0])
    struck = blocks[1]
    assert {piece.ink for piece in struck.lines[0] if "out" in piece.text} == {"gone"}
    assert "(voided: slip; by Pim Oake, entry 9)" in text_of(struck.lines[-1])
