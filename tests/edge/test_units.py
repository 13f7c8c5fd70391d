"""Typed measures become exact integers, and the short table agrees with the registry."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import stock
from stock.core.measure import FOOT, INCH, IPS, METRE
from stock.edge import units
from stock.edge.problems import CellError


@pytest.mark.parametrize(
    ("text", "measure", "value"),
    [
        # computed from the definition 1 in = 25.4 mm
        ("2500 ft", units.LENGTH, 7_620_000),
        ("762 m", units.LENGTH, 7_620_000),
        ("1 in", units.LENGTH, INCH),
        ("1'", units.LENGTH, FOOT),
        ("10 yards", units.LENGTH, 30 * FOOT),
        ("0.5 metres", units.LENGTH, METRE // 2),
        ("2500 FEET", units.LENGTH, 7_620_000),
        (".25 in", units.SIZE, 6_350),
        ('10.5"', units.SIZE, 266_700),
        ("1.5 mil", units.THICKNESS, 38_100),
        ("2.1 mil", units.THICKNESS, 53_340),
        ("50 um", units.THICKNESS, 50_000),
        ("50 µm", units.THICKNESS, 50_000),
        ("50 microns", units.THICKNESS, 50_000),
        ("30ips", units.SPEED, 30 * IPS),
        ("3.75 in/s", units.SPEED, 95_250),
        ("38.1 cm/s", units.SPEED, 15 * IPS),
        ("0.762 metres per second", units.SPEED, 30 * IPS),
        ("540 s", units.DURATION, 540_000_000),
        ("1.5 hours", units.DURATION, 5_400_000_000),
        ("96 kHz", units.FREQUENCY, 96_000),
        ("1000000 m", units.LENGTH, 10**10),
    ],
)
def test_typed_measures_are_exact(text: str, measure: units.Measure, value: int) -> None:
    assert units.whole(text, measure) == value


def test_what_falls_between_two_stored_units_goes_to_the_nearest() -> None:
    assert units.whole("0.33333 ft", units.LENGTH) == 1016  # 1015.98984 tenths of a millimetre
    assert units.whole("0.00004 m", units.LENGTH) == 0
    assert units.whole("0.00005 m", units.LENGTH) == 1


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("9 kg", "is a mass"),
        ("15 ips", "is a speed"),
        ("9 min", "is a time"),
        ("10 kHz", "is a frequency"),
        ("9 kg/m", "is another kind of measure"),
        ("2500", "names no unit"),
        ("-3 ft", "is below nothing"),
        ("\u22123 ft", "is below nothing"),
        ("1000001 m", "is far too much"),
        ("5 spools", "has a unit that is not known here"),
        ("5 nan", "has a unit that is not known here"),
        ("5 m per s per s", "has a unit that is not known here"),
        ("5 \u00bc", "has a unit that is not known here"),
        ("5 \u00e9", "has a unit that is not known here"),
        ("5 lambda", "has a unit that is not known here"),
        ("nan m", "is not a plain number"),
        ("inf ft", "is not a plain number"),
        ("1/3 ft", "is not a plain number"),
        ("2,500 ft", "is not a plain number"),
        ("1e3 m", "is not a plain number"),
        ("3 m**9999", "is not a plain number"),
        ("٣ ft", "is not a plain number"),
        ("9" * 40 + " ft", "is not a plain number"),
        ("__import__('os') ft", "is not a plain number"),
    ],
)
def test_what_is_no_length_is_refused_in_words(text: str, found: str) -> None:
    with pytest.raises(CellError) as refused:
        units.whole(text, units.LENGTH)
    assert found in str(refused.value)
    assert "`2500 ft` or `762 m`" in str(refused.value)
    assert refused.value.expected.startswith("a length")


def test_the_message_says_what_was_given_and_what_was_expected() -> None:
    with pytest.raises(CellError) as refused:
        units.whole("9 kg", units.LENGTH)
    assert str(refused.value) == "9 kg is a mass; a length was expected, such as `2500 ft` or `762 m`"


def test_a_speed_over_ten_metres_a_second_is_refused() -> None:
    assert units.whole("10 m/s", units.SPEED) == 10**7
    with pytest.raises(CellError, match="far too much"):
        units.whole("10.001 m/s", units.SPEED)


@pytest.mark.parametrize("unit", sorted(units._PLAIN))
def test_the_short_table_agrees_with_the_registry(unit: str) -> None:
    assert units.unit_by_registry(unit) == units._PLAIN[unit]


@given(st.sampled_from(["m", "cm", "mm", "um", "in", "ft", "mil"]), st.decimals(0, 10**5, places=4))
def test_arithmetic_agrees_with_the_registry_conversion(unit: str, number: object) -> None:
    own = units.registry()
    metres = own.Quantity(Fraction(str(number)), own.parse_units(unit)).to("metre").magnitude
    measure = units.LENGTH
    assert abs(units.whole(f"{number} {unit}", measure) - Fraction(metres) * measure.per_base) <= Fraction(1, 2)


def test_importing_the_room_loads_neither_pint_nor_pydantic() -> None:
    script = (
        "import sys\n"
        "from stock.edge import cells, forms, rows, words, units\n"
        "assert units.whole('2500 ft', units.LENGTH) == 7620000\n"
        "sys.exit(any(name in sys.modules for name in ('pint', 'pydantic', 'sqlalchemy')))\n"
    )
    root = Path(stock.__file__).parents[1]
    assert subprocess.run([sys.executable, "-c", script], cwd=root, check=False).returncode == 0
