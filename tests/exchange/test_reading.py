"""Which files are read, on which lines their rows begin, and what is said about cells and rows that are wrong."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.core.kinds import BY_FILE, KINDS
from stock.core.moments import Calendar, datetime_of
from stock.core.places import AtLength
from stock.exchange.reading import MOST_KEPT, read
from stock.exchange.report import Misread

CALENDAR = Calendar("Europe/Berlin")
HEADER = "reel,date,kind,speed,note"
GOOD = "R-1,2026-03-01,record,15 ips,"
BAD = "R-1,2026-03-01,record,9 kg,"


def passes(folder: Path, *lines: str, end: str = "\n") -> Path:
    path = folder / "passes.csv"
    path.write_bytes("".join(line + end for line in lines).encode())
    return path


def only(path: Path) -> Misread:
    """The one problem of a reading that has one."""
    reading = read(path, CALENDAR)
    assert reading.found == 1
    return reading.problems[0]


def test_a_folder_is_read_in_the_order_of_the_kinds_and_the_rest_of_it_left_alone(tmp_path: Path) -> None:
    passes(tmp_path, HEADER, GOOD)
    (tmp_path / "machines.csv").write_text("machine\nM-1\n")
    (tmp_path / "README.md").write_text("about this house")
    (tmp_path / ".passes.csv.part").write_text("half")
    (tmp_path / ".hidden.csv").write_text("of the operating system")
    reading = read(tmp_path, CALENDAR)
    assert (reading.problems, reading.found) == ([], 0)
    assert list(reading.rows) == ["machines", "passes"]
    assert reading.rows["passes"].path == tmp_path / "passes.csv"


@pytest.mark.parametrize("name", ["pases.csv", "Passes.csv", "passes.CSV", "passes (1).csv", "pass.csv"])
def test_another_csv_in_the_folder_is_a_problem_that_names_the_files_there_are(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text(HEADER)
    problem = only(tmp_path)
    assert (problem.file, problem.line, problem.value) == (name, None, name)
    assert all(f"{kind.file}.csv" in problem.expected for kind in KINDS)


def test_a_single_file_is_known_by_its_stem(tmp_path: Path) -> None:
    path = passes(tmp_path, HEADER, GOOD).rename(tmp_path / "passes.txt")
    (tmp_path / "machines.csv").write_text("machine\nM-1\n")
    assert list(read(path, CALENDAR).rows) == ["passes"]
    assert only(path.rename(tmp_path / "other.txt")).file == "other.txt"


def test_what_is_not_there_is_a_problem(tmp_path: Path) -> None:
    assert "cannot be read" in only(tmp_path / "nowhere").says
    assert "cannot be read" in only(tmp_path / "passes.csv").says


def test_an_empty_folder_holds_nothing(tmp_path: Path) -> None:
    assert read(tmp_path, CALENDAR) == ({}, [], 0)


@pytest.mark.parametrize("content", ["", "\n\n\r\n", "\ufeff"])
def test_an_empty_file_has_no_header(tmp_path: Path, content: str) -> None:
    path = tmp_path / "passes.csv"
    path.write_text(content, encoding="utf-8", newline="")
    assert "header" in only(path).expected


def test_a_header_alone_is_no_problem(tmp_path: Path) -> None:
    reading = read(passes(tmp_path, HEADER), CALENDAR)
    assert reading.rows["passes"].rows == []
    assert reading.found == 0


def test_a_mark_of_utf8_blanks_in_the_header_and_quotes_are_accepted(tmp_path: Path) -> None:
    path = passes(tmp_path, '\ufeff"reel", date,kind,start,end', '"R-1",2026-03-01,play,300 ft,400 ft')
    reading = read(path, CALENDAR)
    assert reading.found == 0
    (line, fact) = reading.rows["passes"].rows[0]
    assert line == 2
    assert (fact.start, fact.end) == (AtLength(300 * 3048), AtLength(400 * 3048))


def test_every_bad_cell_of_every_file_is_found(tmp_path: Path) -> None:
    passes(tmp_path, HEADER, BAD, GOOD, "R-1,12/1/2030,rec,15 ips,")
    (tmp_path / "machines.csv").write_text("machine,tracks\n,99\n")
    (tmp_path / "holds.csv").write_text("hold,reel\n")
    reading = read(tmp_path, CALENDAR)
    assert [(problem.file, problem.line, problem.column, problem.value) for problem in reading.problems] == [
        ("machines.csv", 2, "machine", ""),
        ("passes.csv", 2, "speed", "9 kg"),
        ("passes.csv", 4, "date", "12/1/2030"),
        ("passes.csv", 4, "kind", "rec"),
        ("holds.csv", 1, "date", "date"),
        ("holds.csv", 1, "reason", "reason"),
    ]
    assert reading.found == 6
    assert len(reading.rows["passes"].rows) == 1
    assert reading.rows["holds"].rows == []


@pytest.mark.parametrize(
    "header, column, why",
    [
        ("reel,date,kind,sped", "sped", "is not a column"),
        ("reel,date,kind,Speed", "Speed", "is not a column"),
        ("reel,date,kind,reel", "reel", "is there twice"),
        ("reel,date", "kind", "is missing"),
        ("reel,date,kind,", "", "is not a column"),
    ],
)
def test_a_wrong_header_stops_its_file_only(tmp_path: Path, header: str, column: str, why: str) -> None:
    passes(tmp_path, header, "x,x,x,x", "x,x,x,x")
    (tmp_path / "machines.csv").write_text("machine\nM-1\n")
    reading = read(tmp_path, CALENDAR)
    assert [(problem.line, problem.column) for problem in reading.problems] == [(1, column)]
    assert why in reading.problems[0].says
    assert len(reading.rows["machines"].rows) == 1


@pytest.mark.parametrize("row, cells", [("R-1,2026-03-01,play", 3), ("R-1,2026-03-01,play,15 ips,,", 6), ("x", 1)])
def test_a_row_of_the_wrong_length_says_how_many_cells_were_expected(tmp_path: Path, row: str, cells: int) -> None:
    problem = only(passes(tmp_path, HEADER, GOOD, row))
    assert problem.line == 3
    assert f"has {cells} cells" in problem.says
    assert "5 cells" in problem.expected


def test_empty_rows_are_passed_over_and_counted_as_lines(tmp_path: Path) -> None:
    path = passes(tmp_path, "", HEADER, "", GOOD, ",,,,", '" ",,', GOOD, "")
    reading = read(path, CALENDAR)
    assert reading.found == 0
    assert [line for line, _ in reading.rows["passes"].rows] == [4, 7]


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    notes=st.lists(st.tuples(st.booleans(), st.text("ab\n,'", max_size=6)), max_size=8),
    end=st.sampled_from(["\n", "\r\n", "\r"]),
)
def test_a_row_is_where_its_first_line_is(tmp_path: Path, notes: list[tuple[bool, str]], end: str) -> None:
    lines = [HEADER]
    good: list[int] = []
    bad: list[int] = []
    at = 2
    for is_good, note in notes:
        (good if is_good else bad).append(at)
        lines.append(f'{GOOD if is_good else BAD}"{note}"')
        at += 1 + note.count("\n")
    reading = read(passes(tmp_path, *lines, end=end), CALENDAR)
    assert [line for line, _ in reading.rows["passes"].rows] == good
    assert [problem.line for problem in reading.problems] == bad


def test_the_first_thousand_problems_are_kept_and_all_counted(tmp_path: Path) -> None:
    reading = read(passes(tmp_path, HEADER, *[BAD] * (MOST_KEPT + 234)), CALENDAR)
    assert reading.found == MOST_KEPT + 234
    assert [problem.line for problem in reading.problems] == list(range(2, MOST_KEPT + 2))


def test_an_instant_without_offset_is_of_the_house(tmp_path: Path) -> None:
    path = passes(tmp_path, "reel,date,kind", "R-1,2026-07-01T10:00,play")
    _, at_us = read(path, CALENDAR).rows["passes"].rows[0][1].values[1:3]
    assert isinstance(at_us, int)
    assert datetime_of(at_us).isoformat() == "2026-07-01T08:00:00+00:00"


def test_the_collector_runs_again_after_a_reading(tmp_path: Path) -> None:
    assert gc.isenabled()
    read(passes(tmp_path, HEADER, BAD), CALENDAR)
    assert gc.isenabled()


def test_every_kind_has_a_file_that_is_read(tmp_path: Path) -> None:
    for kind in KINDS:
        columns = [field.name for field in kind.fields]
        (tmp_path / f"{kind.file}.csv").write_text(",".join(columns) + "\n")
    reading = read(tmp_path, CALENDAR)
    assert reading.found == 0
    assert list(reading.rows) == list(BY_FILE)
