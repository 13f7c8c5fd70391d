"""`length` on the demo house."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Call


def test_a_roll_that_agrees_and_one_that_does_not(call: Call, house: Path) -> None:
    ran = call("length", "M-0106", "--diameter", "256 mm", on=house)
    assert ran.status == 0
    assert "it agrees" in ran.out
    ran = call("length", "M-0106", "--counter-end", "30:00", "--speed", "15 ips", on=house)
    assert ran.status == 1
    assert "--enter" in ran.out
    ran = call("length", "M-0106", "--counter-end", "30:00", "--speed", "15 ips", "--enter", "--json", on=house)
    assert ran.status == 0
    assert ran.answer["entry"] is not None
    assert (ran.answer["recorded_ft"], ran.answer["correction_ft"]) == (2500, 2250)
    assert call("show", "M-0106", "--json", on=house).answer["length_ft"] == 2250


def test_a_scale_is_said_to_be_rough(call: Call, house: Path) -> None:
    ran = call("length", "M-0106", "--weight", "2 kg", "--empty", "1 kg", "--enter", on=house)
    assert ran.status == 1
    assert "a rough check only" in " ".join(ran.out.split())
    assert "nothing is corrected by a scale" in ran.out


def test_what_is_missing_is_told(call: Call, house: Path) -> None:
    ran = call("length", "M-0106", on=house)
    assert ran.status == 2
    assert "no way of measuring" in ran.err
