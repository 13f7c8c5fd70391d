"""`cost`: tables on the page, in JSON, CSV and PDF."""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

from tests.cli.conftest import Call


def test_every_part_on_the_page(call: Call, loaded_house: Path) -> None:
    ran = call("cost", on=loaded_house)
    assert ran.status == 0
    for words in ("The shelf at what was paid", "Tape by project", "Written off", "By month", "A minute and a pass"):
        assert words in ran.out
    assert all(len(line) <= 80 for line in ran.out.splitlines())


def test_json(call: Call, loaded_house: Path) -> None:
    answer = call("cost", "--json", on=loaded_house).answer
    assert answer["as_of"] == "2026-11-20"
    assert {row["project"] for row in answer["projects"]} >= {"Slack Water", "Wrenfall II"}
    (row,) = [row for row in answer["projects"] if row["project"] == "Slack Water"]
    assert Decimal(str(row["wears"])) + Decimal(str(row["keeps"])) == Decimal(str(row["charge"]))


def test_csv_is_one_part(call: Call, loaded_house: Path, tmp_path: Path) -> None:
    file = tmp_path / "projects.csv"
    assert call("cost", "projects", "--csv", str(file), on=loaded_house).status == 0
    rows = list(csv.DictReader(file.read_text("utf-8").splitlines()))
    shown = call("cost", "projects", on=loaded_house).out
    total = next(line for line in shown.splitlines() if line.startswith("in all")).split()
    assert sum(Decimal(row["charge"]) for row in rows) == Decimal(total[-2])
    ran = call("cost", "--csv", str(file), on=loaded_house)
    assert ran.status == 2
    assert "name the part" in ran.err


def test_no_cell_of_a_csv_is_a_formula(call: Call, house: Path, tmp_path: Path) -> None:
    cells = ("--stock-item", "C40-2-2500", "--tracks", "24", "--owner", "house", "--price", "5", "--currency", "EUR")
    assert call("add", "reel", "--reel", "=1+1", *cells, on=house).status == 0
    file = tmp_path / "reels.csv"
    assert call("cost", "reels", "--csv", str(file), on=house).status == 0
    assert "\n'=1+1," in file.read_text("utf-8")


def test_pdf(call: Call, loaded_house: Path, tmp_path: Path) -> None:
    file = tmp_path / "cost.pdf"
    ran = call("cost", "--pdf", str(file), on=loaded_house)
    assert ran.status == 0
    assert str(file) in ran.out.replace("\n", "")
    assert file.read_bytes().startswith(b"%PDF-")
    assert file.stat().st_mode & 0o077 == 0
    assert list(tmp_path.glob(".*part")) == []
    ran = call("cost", "--pdf", str(tmp_path / "none" / "cost.pdf"), on=loaded_house)
    assert ran.status == 2
