"""`orders`, `receive`, `labels`, `sheet`."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Call


def test_an_order_is_received_in_part_and_labelled(call: Call, house: Path, tmp_path: Path) -> None:
    listed = call("orders", "--json", on=house).answer["orders"]
    assert {row["order"]: row["open"] for row in listed} == {"PO-012": 12, "PO-013": 4, "PO-015": 4}
    labels = tmp_path / "labels.pdf"
    ran = call(
        "receive", "PO-012", "--quantity", "4", "--first-reel", "M-0200", "--batch", "40-2611", "--labels", str(labels),
        "--json", on=house,
    )  # fmt: skip
    assert ran.status == 0
    assert ran.answer["reels"] == ["M-0200", "M-0201", "M-0202", "M-0203"]
    assert labels.read_bytes().startswith(b"%PDF-")
    shown = call("show", "M-0203", "--json", on=house).answer
    assert (shown["verdict"], shown["batch"], shown["price"]) == ("blank", "40-2611", "204.00 EUR")
    (left,) = [row for row in call("orders", "--json", on=house).answer["orders"] if row["order"] == "PO-012"]
    assert (left["received"], left["open"]) == (4, 8)
    assert call("check", on=house).status == 0


def test_what_is_refused_enters_nothing(call: Call, house: Path) -> None:
    ran = call("receive", "PO-012", "--quantity", "13", "--first-reel", "M-0200", on=house)
    assert ran.status == 2
    assert "12 are still to come, not 13" in " ".join(ran.err.split())
    assert call("receive", "PO-999", on=house).status == 2
    assert call("show", "M-0200", on=house).status == 2


def test_late_orders_say_so(call: Call, loaded_house: Path) -> None:
    ran = call("orders", "--today", "2026-11-20", on=loaded_house)
    (late,) = [line for line in ran.out.splitlines() if "late" in line]
    assert late.startswith("PO-015")
    assert "32 days late" in late
    assert "PO-013" in ran.out
    assert "PO-001" in call("orders", "--all", on=loaded_house).out


def test_labels_and_sheets(call: Call, loaded_house: Path, tmp_path: Path) -> None:
    path = tmp_path / "x.pdf"
    assert call("labels", "M-0101", "M-0151", "--pdf", str(path), on=loaded_house).status == 0
    assert path.exists()
    assert call("sheet", "M-0101", "--pdf", str(path), on=loaded_house).status == 0
    assert call("sheet", "M-9999", "--pdf", str(path), on=loaded_house).status == 2
    assert call("labels", "--pdf", str(path), on=loaded_house).status == 2
