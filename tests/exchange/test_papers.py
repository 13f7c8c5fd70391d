"""Papers: letters the fonts hold, files that appear whole, QR codes as drawn."""

from __future__ import annotations

import os
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
import segno

from stock.exchange.labels import Label, box_labels, draw_code
from stock.exchange.papers import add_table, paper, printable, write_whole

MADE = datetime(2026, 11, 20, tzinfo=UTC)


def test_letters_that_fonts_do_not_hold() -> None:
    assert printable("Harbour Lïght") == "Harbour Lïght"
    assert printable("Žižka") == "Zizka"
    assert printable("o\u0308") == "ö"
    assert printable("漢") == "U+6F22"
    drawn = "✓ ■ ○ × ═▓░·╱ ├─┤ ▼ › …"
    assert len(printable(drawn)) == len(drawn)
    assert "U+" not in printable(drawn)
    assert "\x1b" not in printable("a\x1b[31m")


def test_a_file_appears_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.pdf"
    write_whole(path, b"first")

    def fail(_: int) -> None:
        raise OSError(28, "no room")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="no room"):
        write_whole(path, b"second")
    assert path.read_bytes() == b"first"
    assert [each.name for each in tmp_path.iterdir()] == ["a.pdf"]


def test_the_code_drawn_is_the_code_of_the_number() -> None:
    """Squares are put back on their grid and compared with the code that the library makes."""
    pdf = paper("code", MADE)
    pdf.set_compression(False)
    pdf.add_page()
    wanted = [bytes(row) for row in segno.make("M-0200", error="m", micro=False).matrix_iter(border=4)]
    size = float(len(wanted))
    draw_code(pdf, "M-0200", 20, 30, size)
    found = [bytearray(len(wanted)) for _ in wanted]
    step = pdf.k
    for x, y, wide, high in re.findall(rb"([\d.]+) ([\d.]+) ([\d.]+) (-?[\d.]+) re f", bytes(pdf.output())):
        across = round((float(x) / step) - 20)
        down = round((pdf.h - float(y) / step) - 30)
        assert round(abs(float(high)) / step) == 1
        for at in range(across, across + round(float(wide) / step)):
            found[down][at] = 1
    assert [bytes(row) for row in found] == wanted


def test_a_long_table_has_its_head_on_every_page() -> None:
    pdf = paper("table", MADE)
    pdf.set_compression(False)
    pdf.add_page()
    add_table(pdf, ("thing", "much"), [(f"row {number}", "1.00") for number in range(120)], frozenset({1}))
    content = bytes(pdf.output())
    assert pdf.pages_count == 3
    assert content.count(b"(thing)") == 3
    assert content.count(b"(row 119)") == 1


def test_many_labels_take_as_many_pages_as_they_need() -> None:
    labels = [Label(f"M-{number:04}", f"M-{number:04}", "brown", (), ("a",) * 30) for number in range(13)]
    content = box_labels(labels, MADE)
    assert content.count(b"/Type /Page\n") == 3 + 1
