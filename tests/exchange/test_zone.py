"""The house's time zone, which is read before all else."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.exchange.reading import zone_of


def rules(folder: Path, *rows: str, header: str = "rule,value,date,by") -> Path:
    path = folder / "rules.csv"
    path.write_text("\n".join([header, *rows, ""]), encoding="utf-8")
    return path


def test_the_newest_zone_stands_whatever_the_order_of_rows(tmp_path: Path) -> None:
    rows = [
        "time_zone,Europe/Berlin,2020-01-01,Ann",
        "time_zone,Asia/Tokyo,2024-05-01T10:00:00Z,Ann",
        "time_zone,Europe/Lisbon,2023-12-31,Ann",
        "usual_speed,30 ips,2025-01-01,Ann",
    ]
    path = rules(tmp_path, *rows)
    assert zone_of(tmp_path) == zone_of(path) == "Asia/Tokyo"
    rules(tmp_path, *reversed(rows))
    assert zone_of(tmp_path) == "Asia/Tokyo"


def test_a_zone_voided_in_the_same_folder_counts_for_nothing(tmp_path: Path) -> None:
    header = "entry,rule,value,date,by"
    rules(tmp_path, "7,time_zone,Asia/Tokyo,2024-05-01,Ann", "3,time_zone,UTC,2020-05-01,Ann", header=header)
    assert zone_of(tmp_path) == "Asia/Tokyo"
    (tmp_path / "voids.csv").write_text("entry,date,reason,by\n7,2024-05-02,mistyped,Ann\n")
    assert zone_of(tmp_path) == "UTC"


@pytest.mark.parametrize("value", ["Mars/Olympus", "../../etc/passwd", "/etc/passwd", "Europe", "", "a\0b", "x" * 999])
def test_a_zone_that_is_not_known_is_passed_over(tmp_path: Path, value: str) -> None:
    rules(tmp_path, f"time_zone,{value},2025-01-01,Ann", "time_zone,Europe/Berlin,2020-01-01,Ann")
    assert zone_of(tmp_path) == "Europe/Berlin"


def test_rows_that_cannot_be_read_are_passed_over(tmp_path: Path) -> None:
    rules(tmp_path, "time_zone", '"x"y', "time_zone,Europe/Berlin,2020-01-01,Ann,more,cells", '"')
    assert zone_of(tmp_path) == "Europe/Berlin"


def test_where_none_is_set_there_is_none(tmp_path: Path) -> None:
    assert zone_of(tmp_path) is None
    assert zone_of(tmp_path / "nowhere") is None
    assert zone_of(rules(tmp_path, "usual_speed,30 ips,2025-01-01,Ann")) is None
    assert zone_of(rules(tmp_path, header="")) is None
    (tmp_path / "machines.csv").write_text("machine\nM-1\n")
    assert zone_of(tmp_path / "machines.csv") is None
    (tmp_path / "rules.csv").write_bytes(b"\xff\xfe")
    assert zone_of(tmp_path) is None
