"""Certificates as pages: whole files, the same bytes each time, every word of them there."""

from __future__ import annotations

import re
import zlib
from datetime import UTC, datetime
from pathlib import Path

import pytest

from stock.exchange.certificate import certificate_pdf
from stock.exchange.papers import printable, write_whole

MADE = datetime(2026, 3, 2, 9, tzinfo=UTC)
LINES = ["Certificate of a wipe: reel R1", "given to Ann", "", "What was on it:", "  take Ferry Song/1", "a" * 300]


def words_of(pdf: bytes) -> str:
    """The words drawn on the pages, run together."""
    streams = [zlib.decompress(found) for found in re.findall(rb"stream\n(.*?)\nendstream", pdf, re.DOTALL)]
    drawn = b"".join(part for stream in streams for part in re.findall(rb"\((.*?)\) Tj", stream))
    return drawn.decode("latin-1")


def test_every_line_is_on_the_page_and_long_ones_are_broken() -> None:
    pdf = certificate_pdf(LINES, MADE)
    assert pdf.startswith(b"%PDF-")
    words = words_of(pdf)
    for line in LINES[:-1]:
        assert line.strip() in words
    assert words.count("a" * 40) >= 300 // 100
    assert sum(len(run) for run in re.findall("a{40,}", words)) == 300


def test_the_same_lines_give_the_same_bytes() -> None:
    assert certificate_pdf(LINES, MADE) == certificate_pdf(LINES, MADE)
    assert certificate_pdf(LINES, MADE) != certificate_pdf([*LINES, "more"], MADE)


@pytest.mark.parametrize(
    ("text", "shown"), [("Sjöström", "Sjöström"), ("o\u0308", "ö"), ("漢", "U+6F22"), ("a\x1b[31m", "aU+241B[31m")]
)
def test_letters_a_page_lacks_are_told_by_their_codes(text: str, shown: str) -> None:
    assert printable(text) == shown
    assert certificate_pdf([text, text], MADE)


def test_a_long_certificate_goes_on_over_pages() -> None:
    pdf = certificate_pdf([LINES[0], *(f"  file {n:03}.wav" for n in range(200))], MADE)
    assert "file 000.wav" in words_of(pdf)
    assert "file 199.wav" in words_of(pdf)
    assert len(re.findall(rb"/Type /Page\b", pdf)) >= 3


def test_a_file_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "certificate.pdf"
    path.write_bytes(b"before")
    write_whole(path, b"after")
    assert path.read_bytes() == b"after"
    with pytest.raises(TypeError):
        write_whole(path, "no bytes")  # type: ignore[arg-type]
    assert path.read_bytes() == b"after"
    assert list(tmp_path.iterdir()) == [path]
