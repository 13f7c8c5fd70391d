"""`cut` and `join` on the demo house."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.label_code import label_code
from tests.cli.conftest import Call

CUT = ("cut", "M-0106", "--start", "0 ft", "--end", "300 ft")


@pytest.mark.parametrize(
    ("given", "status"),
    [((), 2), (("--label", "M-0107"), 2), (("--label", ""), 2), (("--label", "yes"), 2)],
)
def test_tape_is_thrown_away_only_with_the_number_on_its_label(
    call: Call, house: Path, given: tuple[str, ...], status: int
) -> None:
    cells = ("--reel", "M-0106", "--start", "0 ft", "--end", "300 ft")
    for command in ((*CUT, "--yes"), ("add", "edit", *cells)):
        ran = call(*command, *given, on=house)
        assert ran.status == status
        assert "label" in ran.err
    assert call("show", "M-0106", "--json", on=house).answer["length_ft"] == 2500
    assert call("add", "edit", *cells, "--label", label_code("M-0106"), on=house).status == 0
    assert call("show", "M-0106", "--json", on=house).answer["length_ft"] == 2200


def test_a_cut_is_shown_then_entered(call: Call, house: Path) -> None:
    ran = call(*CUT, "--yes", "--label", "m-0106", on=house)
    assert ran.status == 0
    assert "M-0106, before: 2500 ft" in ran.out
    assert "M-0106, after: 2200 ft" in ran.out
    assert "Razor blades" in ran.err
    entry = next(line for line in ran.out.splitlines() if line.startswith("Entered")).split()[2].rstrip(",")
    assert call("show", "M-0106", "--json", on=house).answer["length_ft"] == 2200
    assert call("void", entry, "--why", "a slip", on=house).status == 0
    assert call("show", "M-0106", "--json", on=house).answer["length_ft"] == 2500


def test_a_dry_run_and_a_run_with_nobody_to_ask_enter_nothing(call: Call, house: Path) -> None:
    ran = call(*CUT, "--dry-run", "--json", on=house)
    assert ran.status == 0
    assert ran.answer["entry"] is None
    assert ran.answer["thrown_away"] is True
    (reel,) = ran.answer["reels"]
    assert (reel["length_ft"], reel["length_after_ft"]) == (2500, 2200)
    assert call(*CUT, on=house).status == 2
    assert call("show", "M-0106", "--json", on=house).answer["length_ft"] == 2500


def test_unproved_tape_and_a_full_flange_are_refused(call: Call, house: Path) -> None:
    ran = call("cut", "M-0151", "--start", "0 ft", "--end", "300 ft", "--yes", on=house)
    assert ran.status == 1
    assert "may not be thrown away" in ran.err
    ran = call("join", "M-0155", "M-0156", "--yes", on=house)
    assert ran.status == 1
    assert "flange" in ran.err


def test_a_join_moves_the_tape(call: Call, house: Path) -> None:
    ran = call("join", "M-0155", "M-0156", "--start", "2400 ft", "--yes", "--json", on=house)
    assert ran.status == 0
    assert [reel["length_after_ft"] for reel in ran.answer["reels"]] == [2400, 2600]
    assert len(call("show", "M-0156", "--json", on=house).answer["pieces"]) == 2
