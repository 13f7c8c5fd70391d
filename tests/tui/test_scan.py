"""A scanner told from a hand, by when its keys come."""

from __future__ import annotations

from collections.abc import Iterable

from hypothesis import given
from hypothesis import strategies as st

from stock.core.label_code import label_code
from tui.scan import LATE_S, Scan, Scanning

BURST_S, FAST, HAND = 0.02, 0.002, 0.09
NUMBERS = st.text("ABCM0123456789-/. ", min_size=2, max_size=12).filter(
    lambda text: text == text.strip() and len(set(text)) > 1
)


def typed(
    signs: Iterable[str], apart_s: float, *, typing: bool = False, then_s: float = 1.0
) -> tuple[list[str], list[Scan]]:
    """What keys do and what is scanned, when keys come so far apart. `\\n` stands for Enter."""
    scanning: Scanning[str] = Scanning(BURST_S)
    done: list[str] = []
    scans: list[Scan] = []
    at_s = 100.0
    for sign in signs:
        at_s += apart_s
        key = ("enter", None) if sign == "\n" else (sign, sign)
        taken = scanning.take(sign, key[0], key[1], at_s, typing=typing)
        done += taken.let_go
        scans += [taken.scan] if taken.scan is not None else []
    taken = scanning.look(at_s + then_s)
    done += taken.let_go
    scans += [taken.scan] if taken.scan is not None else []
    return done, scans


@given(NUMBERS, st.booleans(), st.sampled_from(["", "\n"]))
def test_a_label_scanned_fires_nothing_else(number: str, typing: bool, end: str) -> None:
    assert typed(label_code(number) + end, FAST, typing=typing) == ([], [Scan(number)])


@given(NUMBERS, st.booleans())
def test_the_same_by_hand_is_keys(number: str, typing: bool) -> None:
    signs = [*label_code(number), "\n"]
    assert typed(signs, HAND, typing=typing) == (signs, [])


def test_a_code_misread_is_said_and_fires_nothing() -> None:
    for typing in (True, False):
        assert typed(".RMx0151E\n", FAST, typing=typing) == ([], [Scan(None)])


def test_a_label_with_a_bare_number_is_read_outside_fields_only() -> None:
    assert typed("M-0151\n", FAST) == ([], [Scan("M-0151")])
    assert typed("M-0151", FAST) == ([], [Scan("M-0151")])
    assert typed("M-0151\n", FAST, typing=True) == ([*"M-0151", "\n"], [])


def test_two_keys_rolled_over_are_keys() -> None:
    assert typed("ga", FAST) == (["g", "a"], [])
    assert typed("12:", FAST) == (["1", "2", ":"], [])


def test_a_key_held_down_is_no_scan() -> None:
    signs = ["+"] * 30
    assert typed(signs, FAST) == (signs, [])
    assert typed([*signs, "a"], FAST) == ([*signs, "a"], [])


def test_a_far_terminal_passes_a_scan_on_in_lumps() -> None:
    scanning: Scanning[str] = Scanning(BURST_S)
    at_s, code = 0.0, label_code("M-0151")
    for number, sign in enumerate(code):
        at_s += LATE_S * 0.9 if number == 4 else FAST
        assert scanning.take(sign, sign, sign, at_s, typing=True).let_go == []
    assert scanning.look(at_s + LATE_S / 2).scan is None
    assert scanning.look(at_s + LATE_S).scan == Scan("M-0151")


def test_a_point_typed_in_a_field_is_held_back_for_a_moment_only() -> None:
    scanning: Scanning[str] = Scanning(BURST_S)
    taken = scanning.take(".", "full_stop", ".", 5.0, typing=True)
    assert (taken.let_go, taken.again_s) == ([], BURST_S)
    assert scanning.look(5.0 + BURST_S).let_go == ["."]
    assert typed("8.30", FAST, typing=True) == ([*"8.30"], [])


def test_keys_that_type_nothing_let_go_of_what_was_held() -> None:
    scanning: Scanning[str] = Scanning(BURST_S)
    scanning.take("a", "a", "a", 1.0, typing=False)
    assert scanning.take("up", "up", None, 1.001, typing=False).let_go == ["a", "up"]


def test_without_a_gap_nothing_is_held() -> None:
    scanning: Scanning[str] = Scanning(0)
    assert scanning.take("a", "a", "a", 1.0, typing=False).let_go == ["a"]
