"""Measured wear through the desk: entered as people enter it, answered for one reel."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from stock.desk.desk import Desk
from stock.desk.errors import NoSuchReel
from stock.desk.measuring import measure
from stock.desk.wear_words import life_words, shape_words, trim_words

from .entries import FOOT, add

TONE = {"at": "100 ft", "speed": "15 ips", "machine": "deck one", "track": "1", "tone": "kept"}


def wear_down(desk: Desk, reel: str, loss_db: float, checks: int, every: int = 10) -> None:
    """Check a reel's 10 kHz before and after every so many passes."""
    for month in range(checks):
        date = f"2026-{month + 1:02d}-02T10:00"
        level = f"{-loss_db * every * month:.3f}"
        add(desk, "response", reel=reel, date=date, frequency_hz="10000", level_db=level, **TONE)
        add(desk, "pass", reel=reel, date=f"2026-{month + 1:02d}-03", kind="play", count=str(every))


def test_a_known_loss_gives_the_passes_left_and_when(desk: Desk) -> None:
    wear_down(desk, "R1", 0.032, 6)  # 31.25 passes a dB; 60 are made by now
    measured = measure(desk, "R1")
    assert measured.life.basis == "own"
    assert measured.life.left["critical"] == (0, 0, 0)
    assert measured.life.left["standard"] == (2, 2, 2)
    assert measured.life.left["scratch"] == (33, 33, 33)
    assert measured.left_by_limit == {"critical": 0, "standard": 90, "scratch": 340}
    assert measured.rate == pytest.approx(60 / 365)
    # 33 passes at 60 a year are 200 days from the 20th of November 2026
    assert any("33 to 33 passes left by its loss, 2027-06" in words for words in life_words(measured))


def test_one_check_says_that_nothing_can_be_said(desk: Desk) -> None:
    wear_down(desk, "R1", 0.03, 1)
    measured = measure(desk, "R1")
    assert measured.life.basis == "none"
    assert "The house's limit on passes stands alone" in life_words(measured)[0]
    assert measured.shape is None


def test_few_checks_are_pooled_with_the_formulations_reels(fresh: Callable[[], Desk]) -> None:
    desk = fresh()
    add(desk, "formulation", formulation="grey nine")
    add(desk, "stock-item", stock_item="s", formulation="grey nine", width="2 in", length="2500 ft")
    add(desk, "machine", machine="deck one")
    for number in range(1, 6):
        add(desk, "reel", reel=f"R{number}", stock_item="s", tracks="8", arrived_as="sealed")
    for number in range(2, 6):
        wear_down(desk, f"R{number}", 0.03 + 0.002 * number, 4)
    wear_down(desk, "R1", 0.035, 2)
    life = measure(desk, "R1").life
    assert (life.basis, life.others) == ("pooled", 4)
    left = life.left["scratch"]
    assert left.low <= 3 / 0.035 - 20 <= (left.high or 1000)


def test_contact_is_named_from_four_tones(desk: Desk) -> None:
    # 2 um of spacing at 15 in/s: 1.432 and 2.149 dB for each at 10 and 15 kHz (Wallace's 54.575 d / wavelength)
    falls = {"100": 0.03, "1000": 0.29, "10000": 2.86, "15000": 4.30}
    for date, part in (("2026-01-02", 0), ("2026-06-02", 1)):
        for tone, fall in falls.items():
            add(desk, "response", reel="R1", date=date, frequency_hz=tone, level_db=f"{-fall * part:.3f}", **TONE)
    measured = measure(desk, "R1")
    assert measured.shape is not None
    assert measured.shape.cause == "contact"
    assert measured.shape.spacing_um == pytest.approx(2.0, abs=0.01)
    words = shape_words(measured)
    assert "clean the heads" in words[2]
    assert "2.0 \u00b5m" in words[1]


def test_a_retired_reel_and_a_reel_in_use_make_a_curve(desk: Desk) -> None:
    add(desk, "pass", reel="R2", date="2026-02-02", kind="play", count="40")
    add(desk, "pass", reel="R3", date="2026-02-02", kind="play", count="90")
    add(desk, "retirement", reel="R2", date="2026-03-02", reason="worn")
    lasting = measure(desk, "R1").lasting
    assert lasting is not None
    # at 40 passes two reels are at risk: the one retired there, and the one in use with 90
    assert [(step.passes, step.at_risk, step.share) for step in lasting.steps] == [(40, 2, 0.5)]


def test_trimming_is_worth_a_share_of_the_price_paid(desk: Desk) -> None:
    add(
        desk, "reel", reel="R9", stock_item="grey nine 2", tracks="8", arrived_as="sealed", price="200.00",
        currency="EUR", acquired="2026-01-02",
    )  # fmt: skip
    add(desk, "finding", reel="R9", date="2026-11-01", kind="inspection", severity="0")
    add(desk, "finding", reel="R9", date="2026-11-02", kind="edge", severity="2", start="0 ft", end="100 ft")
    ((trim, worth),) = measure(desk, "R9").trims
    assert (trim.lo, trim.hi) == (0, 100 * FOOT)
    # usable: 2500 and 2400 ft, each less 25 at the head and 37.5 at the tail: 2337.5 of 2437.5
    assert worth.share == 1000 * 23375 // 24375
    assert worth.units == 20_000 * worth.share // 1000
    (words,) = trim_words(measure(desk, "R9"))
    assert "Cut 100 ft off the head" in words and "200.00 EUR" in words


def test_a_reel_that_is_not_there_is_said_so(desk: Desk) -> None:
    with pytest.raises(NoSuchReel):
        measure(desk, "R77")
