"""Files made to do harm, or made by accident: each is a problem with its place, and none an exception."""

from __future__ import annotations

import os
from pathlib import Path
from random import Random

import pytest

from stock.core.kinds import BY_FILE, KINDS
from stock.core.moments import Calendar
from stock.edge.plan import plan_of
from stock.exchange.reading import read
from stock.exchange.report import Misread, words
from stock.exchange.source import LONGEST_LINE, MOST_BYTES

CALENDAR = Calendar("UTC")
HEADER = b"reel,date,kind,note\n"
GOOD = b"R-1,2026-03-01,play,\n"

HOSTILE = (
    "=cmd|' /C calc'!A0", "+1+1", "-1", "@SUM(A1)", "\t=1", "'", "''", "'=1",
    "\x1b[2J\x1b]0;x\x07", "\x9b31m", "\x00", "a\x00b", "\x7f", "\x85", "\u2028", "\x0b", "\x1c",
    "[bold]x[/bold]", "side [A] take [/]", "[@click=app.quit]x[/]", "<script>alert(1)</script>", "{0.__class__}",
    "%s%n", "\u202egnp.exe", "\u2066x\u2069", "\u200b", "e\u0301", "\U0001f39e", "\ufeff", "\ufffd", "\u0661\u0662",
    "\u00bd", "'; DROP TABLE facts; --", "../../etc/passwd", "$(id)", "`id`", "x" * 5_000, "9" * 400, "1e999", "NaN",
    "inf", "-0", "0x10",
    "1_000", "12/1/2030", "2026-02-30", "9999-12-31", "2026-03-29T02:30", "2026-01-01T00:00:00+99:99",
    "9 kg", "15 ips +900%", "1 m per m", "((((1 m", "2**999999 m", "m", "ft ft", "1/0 ft", "-5 ft", "99:99:99:99",
    "1:60", "1-48", "48-1", "1-", "0", "1-999999999", "1 a; 1 b", ";;;", "A:0.0000-1.0000", "A:2.0000-1.0000",
    "%zz:0.0-1.0", "none", 'quo"te', "new\nline", "cr\rhere", "a,b", "\u00a0", " ", "",
)  # fmt: skip


def passes(folder: Path, content: bytes) -> Path:
    path = folder / "passes.csv"
    path.write_bytes(content)
    return path


def only(path: Path) -> Misread:
    """The one problem of a reading that has one."""
    reading = read(path, CALENDAR)
    assert reading.found == 1
    return reading.problems[0]


@pytest.mark.parametrize(
    "before, bad, line",
    [
        (HEADER + GOOD, b"\xff", 3),
        (HEADER + b"R-1,2026-03-01,play,caf", b"\xe9\n", 2),
        (HEADER.replace(b"\n", b"\r") + b"\r\n\r", b"\xc0\xaf", 4),
        (HEADER + "Ä€😀\n".encode(), b"\xed\xa0\x80", 3),
        (HEADER + GOOD, b"\xe2\x82", 3),
        (HEADER.replace(b"\n", b"\r") + GOOD + b"y" + b"x," * 500_000 + b"\n" + b"\r\n" * 600_001, b"\x80", 600_005),
        (b"", b"\x1f\x8b\x08\x00", 1),
    ],
)
def test_a_byte_that_is_not_utf8_is_found(tmp_path: Path, before: bytes, bad: bytes, line: int) -> None:
    path = passes(tmp_path, before + bad)
    problems = [problem for problem in read(path, CALENDAR).problems if problem.expected == "text saved as UTF-8"]
    offset = len(before) + (2 if bad.startswith(b"\x1f") else 1)
    assert [problem.line for problem in problems] == [line]
    assert f"byte {offset} of the file is not UTF-8" in problems[0].says


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-16-le", "utf-32-le"])
def test_utf16_is_said_to_be_no_utf8(tmp_path: Path, encoding: str) -> None:
    problem = only(passes(tmp_path, (HEADER + GOOD).decode().encode(encoding)))
    assert (problem.line, problem.expected) == (1, "text saved as UTF-8")
    assert "UTF-16" in problem.says or encoding == "utf-32-le"


def test_utf16_with_its_mark_is_called_so(tmp_path: Path) -> None:
    assert "the file is UTF-16 (0xFE)" in only(passes(tmp_path, b"\xfe\xff" + HEADER.decode().encode("utf-16-be"))).says


def test_a_nul_is_found_in_its_cell(tmp_path: Path) -> None:
    reading = read(passes(tmp_path, HEADER + GOOD + b"R-1,2026-03-01,play,a\x00b\nR\x00,2026-03-01,play,\n"), CALENDAR)
    assert [(problem.line, problem.column) for problem in reading.problems] == [(3, "note"), (4, "reel")]
    assert "U+0000, at place 2" in reading.problems[0].says


@pytest.mark.parametrize(
    "rows, bad, good",
    [
        (b'"R"-1,2026-03-01,play,\n' + GOOD, [2], [3]),
        (GOOD + b'R-1,2026-03-01,play,"never closed\n' + GOOD + GOOD, [3], [2]),
        (b'R-1,2026-03-01,play,"one\n' + GOOD + b'R-2,2026-03-01,play,"x"\n' + GOOD, [2], [5]),
        (b'R-1,2026-03-01,play,"a "quoted" word"\n' + GOOD + b'"', [2, 4], [3]),
        (b'R-1,2026-03-01,play,"' + b"y" * 200_000 + b'"\n' + GOOD, [2], [3]),
        (b"R-1,2026-03-01,play," + b"y" * 200_000 + b"\n" + GOOD, [2], [3]),
        (b"R-1,2026-03-01,play," + b"y" * 5_000 + b"\n" + GOOD, [2], [3]),
        (b"," * 100_000 + b"x\n" + GOOD, [2], [3]),
    ],
)
def test_rows_that_are_not_csv_or_too_long_are_problems_where_they_begin(
    tmp_path: Path, rows: bytes, bad: list[int], good: list[int]
) -> None:
    reading = read(passes(tmp_path, HEADER + rows), CALENDAR)
    assert [problem.line for problem in reading.problems] == bad
    assert [line for line, _ in reading.rows["passes"].rows] == good
    assert all(len(problem.value) < 300 and len(problem.says) < 1_000 for problem in reading.problems)


def test_a_lone_quote_inside_a_bare_cell_is_a_character(tmp_path: Path) -> None:
    reading = read(passes(tmp_path, HEADER + b'R-1,2026-03-01,play,7" reel\n'), CALENDAR)
    assert reading.rows["passes"].rows[0][1].values[-1] == '7" reel'


def test_a_line_without_an_end_is_not_read_to_its_end(tmp_path: Path) -> None:
    problem = only(passes(tmp_path, HEADER + GOOD + b"y" * (LONGEST_LINE + 1)))
    assert problem.line == 3
    assert str(LONGEST_LINE) in problem.expected


def test_a_file_too_large_is_not_read(tmp_path: Path) -> None:
    path = passes(tmp_path, HEADER)
    os.truncate(path, MOST_BYTES + 1)
    assert "too large" in only(path).says


def test_only_regular_files_are_opened(tmp_path: Path) -> None:
    real = tmp_path / "elsewhere.txt"
    real.write_bytes(HEADER + GOOD)
    folder = tmp_path / "house"
    folder.mkdir()
    (folder / "passes.csv").mkdir()
    os.mkfifo(folder / "takes.csv")
    (folder / "holds.csv").symlink_to(real)
    (folder / "moves.csv").symlink_to("nowhere")
    (folder / "wipes.csv").symlink_to("/dev/zero")
    (folder / "rules.csv").symlink_to("rules.csv")
    reading = read(folder, CALENDAR)
    assert {problem.file: problem.says.split(";")[0] for problem in reading.problems} == {
        "passes.csv": "this is a folder",
        "takes.csv": "this is a pipe or a device",
        "holds.csv": "this is a link",
        "moves.csv": "this is a link",
        "wipes.csv": "this is a link",
        "rules.csv": "this is a link",
    }
    assert all(sheet.rows == [] for sheet in reading.rows.values())
    assert only(folder / "holds.csv").says.startswith("this is a link")


@pytest.mark.parametrize("kind", ["link", "pipe"])
def test_what_takes_a_files_place_after_it_was_looked_at_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    real = tmp_path / "real"
    real.write_bytes(HEADER + GOOD)
    looked_at = real.lstat()
    path = tmp_path / "passes.csv"
    if kind == "link":
        path.symlink_to(real)
    else:
        os.mkfifo(path)
    monkeypatch.setattr(Path, "lstat", lambda _: looked_at)
    reading = read(path, CALENDAR)
    assert reading.found == 1
    assert reading.rows["passes"].rows == []


def test_a_folder_may_be_reached_by_a_link(tmp_path: Path) -> None:
    (tmp_path / "house").mkdir()
    passes(tmp_path / "house", HEADER + GOOD)
    (tmp_path / "link").symlink_to("house")
    assert len(read(tmp_path / "link", CALENDAR).rows["passes"].rows) == 1


@pytest.mark.parametrize("cell", HOSTILE)
def test_a_hostile_cell_is_kept_as_typed_or_refused_in_words_no_terminal_obeys(tmp_path: Path, cell: str) -> None:
    quoted = cell.replace('"', '""')
    reading = read(passes(tmp_path, HEADER + f'R-1,2026-03-01,play,"{quoted}"\n'.encode()), CALENDAR)
    if reading.found:
        said = words(reading.problems[0])
        assert said.isprintable()
        assert reading.problems[0].column == "note"
    else:
        kept = reading.rows["passes"].rows[0][1].values[-1]
        assert kept == (cell.removeprefix("'").strip(" \t\r\n\u00a0") or None)


def test_a_hostile_file_name_is_shown_safely(tmp_path: Path) -> None:
    (tmp_path / "\x1b[2J\u202e.csv").write_bytes(HEADER)
    (tmp_path / os.fsdecode(b"\xff\xfe.csv")).write_bytes(HEADER)
    for problem in read(tmp_path, CALENDAR).problems:
        assert words(problem).isprintable()


def test_twenty_thousand_fuzzed_rows_are_each_a_fact_or_a_problem(tmp_path: Path) -> None:
    random = Random(28)
    known = (
        "R-1",
        "2026-03-01",
        "300 ft",
        "15 ips",
        "1",
        "yes",
        "EUR",
        "keep",
        "record",
        "play",
        "read",
        "fail",
        "M-1",
    )
    rows_each = 20_000 // len(KINDS) + 1
    for kind in KINDS:
        columns = [slot.column for slot in plan_of(kind).slots]
        lines = [",".join(columns)]
        for _ in range(rows_each):
            cells = [random.choice(HOSTILE if random.random() < 0.3 else known) for _ in columns]
            lines.append(",".join('"{}"'.format(cell.replace('"', '""')) for cell in cells))
        (tmp_path / f"{kind.file}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8", newline="")
    reading = read(tmp_path, CALENDAR)
    facts = sum(len(sheet.rows) for sheet in reading.rows.values())
    assert list(reading.rows) == list(BY_FILE)
    assert 0 < facts < rows_each * len(KINDS)
    assert reading.found >= rows_each * len(KINDS) - facts
    assert all(words(problem).isprintable() for problem in reading.problems)


def test_a_good_file_with_some_bytes_changed_gives_no_exception(tmp_path: Path) -> None:
    random = Random(21)
    good = HEADER + GOOD * 3 + b'"R-2","2026-03-01T10:00Z","wind","two\nlines ""quoted"""\n' + GOOD
    outcomes = set()
    for _ in range(400):
        content = bytearray(good)
        for _ in range(random.randint(1, 4)):
            content[random.randrange(len(content))] = random.choice(b"\x00\xff\",\n\r'\x80\xe2=") & 255
        reading = read(passes(tmp_path, bytes(content)), CALENDAR)
        outcomes.add(bool(reading.found))
    assert outcomes == {True, False}
