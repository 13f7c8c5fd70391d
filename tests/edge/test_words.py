"""Measures and texts as people read them."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.core.measure import FOOT, IPS, SECOND, Speed
from stock.core.words import clock, feet, speed_words
from stock.edge.visible import safe
from stock.edge.words import money_words


@pytest.mark.parametrize(
    ("time_us", "spelled"),
    [
        (0, "0:00"),
        (1720 * SECOND, "28:40"),
        (1720 * SECOND + 999_999, "28:40"),
        (59 * SECOND, "0:59"),
        (3599 * SECOND, "59:59"),
        (3600 * SECOND, "1:00:00"),
        (3723 * SECOND, "1:02:03"),
        (-30 * SECOND, "-0:30"),
        (-999_999, "0:00"),
    ],
)
def test_playing_time(time_us: int, spelled: str) -> None:
    assert clock(time_us) == spelled


def test_lengths_are_told_in_feet() -> None:
    assert feet(7_620_000) == "2500 ft"
    assert feet(FOOT * 25 // 2) == "12.5 ft"
    assert feet(FOOT * 100 + 10) == "100 ft"
    assert feet(0) == "0 ft"
    assert feet(-FOOT) == "-1 ft"


def test_speeds_are_told_as_the_machine_names_them() -> None:
    assert speed_words(Speed(15 * IPS)) == "15 ips"
    assert speed_words(Speed(95_250)) == "3.75 ips"
    assert speed_words(Speed(15 * IPS, 300)) == "15 ips +3%"
    assert speed_words(Speed(15 * IPS, -250)) == "15 ips -2.5%"
    assert speed_words(Speed(190_000)) == "19 cm/s"


def test_money_is_told_with_its_places() -> None:
    assert money_words(21_000, "EUR") == "210.00 EUR"
    assert money_words(21_000, "JPY") == "21000 JPY"
    assert money_words(5, "BHD") == "0.005 BHD"


def test_nothing_a_terminal_obeys_is_let_through() -> None:
    assert safe("\x1b[31mred\x07\n\x7f") == "␛[31mred␇␊␡"
    assert safe("\x9b31m \u202eabc\u2066 \ud800") == "<U+009B>31m <U+202E>abc<U+2066> <U+D800>"
    assert safe("Grüße, 音 [b] 🎛") == "Grüße, 音 [b] 🎛"


@given(st.text(st.characters(categories=("Cc", "Cf", "Cs", "Zl", "Zp", "L")), max_size=20))
def test_safe_text_can_be_written_and_has_no_controls(text: str) -> None:
    shown = safe(text)
    shown.encode()
    assert not {"Cc", "Zl", "Zp", "Cs"} & set(map(unicodedata.category, shown))
    assert safe(shown) == shown
