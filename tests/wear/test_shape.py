"""The cause of a loss is named rightly or not at all."""

from __future__ import annotations

from random import Random

import pytest

from stock.wear.shape import ADVICE, shape_of

from .made import CAUSES, SPEED, TONES, made_falls

_TIMES = 200


def _names(cause: str, size_db: float, noise_db: float = 0.2) -> list[str]:
    random = Random(f"{cause} {size_db}")
    return [shape_of(made_falls(cause, size_db, noise_db, random), SPEED).cause for _ in range(_TIMES)]


@pytest.mark.parametrize("cause", CAUSES)
@pytest.mark.parametrize("size_db", [1.0, 2.0, 3.0, 4.0, 6.0])
def test_a_cause_that_is_named_is_right_95_times_of_100(cause: str, size_db: float) -> None:
    named = [name for name in _names(cause, size_db) if name != "cannot tell"]
    assert named.count(cause) >= 0.95 * len(named)


@pytest.mark.parametrize("cause", CAUSES)
def test_at_4_db_a_cause_is_named_80_times_of_100(cause: str) -> None:
    assert _names(cause, 4.0).count(cause) >= 0.8 * _TIMES


@pytest.mark.parametrize("cause", ["contact", "azimuth"])
def test_at_1_db_contact_and_azimuth_are_not_told_apart(cause: str) -> None:
    assert _names(cause, 1.0).count("cannot tell") >= 0.95 * _TIMES


def test_the_spacing_is_that_of_the_formula() -> None:
    # one micrometre at 15 in/s and 10 kHz: 1.432 dB, computed from Wallace's 54.575 d / wavelength
    shape = shape_of({100: 0.0143, 1_000: 0.143, 10_000: 1.432, 15_000: 2.149}, SPEED)
    assert shape.spacing_um == pytest.approx(1.0, abs=1e-3)
    assert shape.fits[0].cause == "contact"


def test_a_rise_and_a_trifle_are_no_loss() -> None:
    rise = shape_of(dict.fromkeys(TONES, -3.0), SPEED)
    assert (rise.cause, rise.spacing_um) == ("cannot tell", 0.0)
    trifle = shape_of(dict.fromkeys(TONES, 0.1), SPEED)
    assert trifle.cause == "cannot tell"
    assert "no loss" in trifle.why


def test_two_tones_tell_nothing() -> None:
    shape = shape_of({10_000: 4.0, 15_000: 6.0}, SPEED)
    assert shape.cause == "cannot tell"
    assert "three frequencies" in shape.why


def test_two_causes_at_once_are_not_taken_for_one() -> None:
    mixed = {100: 3.0, 1_000: 3.0, 10_000: 4.5, 15_000: 12.0}
    assert shape_of(mixed, SPEED).cause == "cannot tell"


def test_heads_are_cleaned_before_the_tape_is_blamed() -> None:
    for cause in (*CAUSES, "cannot tell"):
        steps = ADVICE[cause]  # type: ignore[index]
        assert len(steps) == 3
        assert "tape itself" not in " ".join(steps[:2])
