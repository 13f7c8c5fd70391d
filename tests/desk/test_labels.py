"""Labels and track sheets: what stands on them is what is on the tape today."""

from __future__ import annotations

from pathlib import Path

import pytest

from stock.core.label_code import number_of_code
from stock.desk.desk import Desk
from stock.desk.errors import NoSuchReel
from stock.desk.labels import label_of, sheet_of, write_labels, write_sheet

from .entries import TAKE, add


def facts(desk: Desk, reel: str) -> dict[str, str]:
    return dict(label_of(desk, reel).facts)


def test_a_box_label_says_what_engineers_ask_of_one(demo: Desk) -> None:
    label = label_of(demo, "M-0101")
    said = dict(label.facts)
    assert label.reel == "M-0101"
    assert number_of_code(label.code) == "M-0101"
    assert label.stock == "C40-2-2500, Corvane C40, 2 in"
    assert said["artist"] == "Brindle & Tarn"
    assert (said["date"], said["tracks"], said["speed"]) == ("2023-01-16", "24", "30 ips")
    assert (said["equalisation"], said["level"], said["tones"]) == ("AES", "355 nWb/m", "0:15")
    assert (said["wound"], said["noise red."], said["place"]) == ("tails out", "", "")
    assert label.titles[0] == "Harbour Light tk 2  2:45"
    assert not any("tk 1 " in title and "Harbour" in title for title in label.titles), "a take discarded as it was made"


def test_a_set_is_numbered(demo: Desk) -> None:
    assert facts(demo, "M-0113")["set"] == "Ferry score pair, 1 of 2"
    assert facts(demo, "M-0114")["set"] == "Ferry score pair, 2 of 2"


def test_an_assembled_master_lists_what_was_joined_into_it(demo: Desk) -> None:
    assert [title.split("  ")[0] for title in label_of(demo, "H-0308").titles] == [
        "Undertow tk mix 2",
        "Saltgrass tk mix 2",
    ]


def test_what_was_wiped_is_on_no_label(desk: Desk) -> None:
    add(desk, "take", **TAKE)
    assert label_of(desk, "R1").titles == ("river tk 1  1:20",)
    rows = sheet_of(desk, "R1").takes
    assert rows[0][:6] == ("river", "1", "inn", "1:20", "5:20", "15 ips")
    over = {**TAKE, "title": "harbour", "date": "2026-03-03T10:00"}
    add(desk, "take", **over)
    assert label_of(desk, "R1").titles == ("harbour tk 1  1:20",)


def test_tracks_by_title_with_the_newest_names(desk: Desk) -> None:
    add(desk, "take", **{**TAKE, "tracks": "1 kick; 2 snare; 3"})
    add(
        desk, "take",
        **{**TAKE, "take": "2", "start": "500 ft", "end": "800 ft", "date": "2026-03-03T10:00", "tracks": "2 side; 4"},
    )  # fmt: skip
    assert sheet_of(desk, "R1").tracks == (("river", {1: "kick", 2: "side", 3: "", 4: ""}),)


def test_files_are_written_whole(demo: Desk, tmp_path: Path) -> None:
    path = tmp_path / "labels.pdf"
    write_labels(demo, ["M-0101", "E-0214", "Q-0408"], path)
    write_sheet(demo, "M-0101", tmp_path / "sheet.pdf")
    for each in (path, tmp_path / "sheet.pdf"):
        assert each.read_bytes().startswith(b"%PDF-")
    assert sorted(each.name for each in tmp_path.glob("*.pdf")) == ["labels.pdf", "sheet.pdf"]
    kept = path.read_bytes()
    with pytest.raises(NoSuchReel):
        write_labels(demo, ["M-0101", "M-9999"], path)
    assert path.read_bytes() == kept
    assert not list(tmp_path.glob(".*.part"))


@pytest.mark.parametrize("text", ["\u202egnirts \x1b[31m", "漢字 and e\u0301 Žižek", "[b]x[/b] <i>"])
def test_any_text_can_be_printed(desk: Desk, tmp_path: Path, text: str) -> None:
    title = "".join(sign for sign in text if sign.isprintable())
    add(desk, "take", **{**TAKE, "title": title})
    write_labels(desk, ["R1"], tmp_path / "labels.pdf")
    write_sheet(desk, "R1", tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").stat().st_size > 1000
