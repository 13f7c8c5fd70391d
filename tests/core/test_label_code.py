"""The code on a label: read back exactly, and a misread never taken for another number."""

from __future__ import annotations

from string import ascii_uppercase, digits

from hypothesis import given
from hypothesis import strategies as st

from stock.core.label_code import check_character, label_code, number_of_code, number_read


def test_the_check_character_is_that_of_the_standard() -> None:
    """The example of the GRid Handbook (IFPI), whose check is ISO/IEC 7064 MOD 37,36: A1-2425G-ABC1234002-M."""
    assert check_character("A12425GABC1234002") == "M"


@given(st.text(min_size=1).filter(lambda text: text.strip() == text))
def test_a_code_gives_its_number(number: str) -> None:
    assert number_of_code(label_code(number)) == number


@given(st.text(digits + ascii_uppercase, min_size=1, max_size=12), st.data())
def test_one_sign_misread_shows(number: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(number) - 1))
    other = data.draw(st.sampled_from(digits + ascii_uppercase).filter(lambda sign: sign != number[at]))
    code = label_code(number)
    assert number_of_code(code[: 2 + at] + other + code[3 + at :]) is None


def test_signs_that_keyboard_layouts_exchange_show() -> None:
    for number, misread in (("M-0151", "Mß0151"), ("Z-12", "Y-12"), ("A/7", "A-7"), ("M-0151", "M'0151")):
        code = label_code(number)
        assert number_of_code(code.replace(number, misread)) is None


def test_what_is_no_code_is_no_number() -> None:
    for text in ("", ".R", ".RA", "M-0151", ".rM-0151E", "RM-0151E", ".R E", ".RM-0151"):
        assert number_of_code(text) is None
    assert number_read("M-0151") == "M-0151"
    assert number_read(label_code("M-0151") + "\n") == "M-0151"
