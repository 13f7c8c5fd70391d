"""A load stores all or nothing: what is wrong is named by file, line and column, and the database stays as it was."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

import pytest
from exchange.test_hostile import HOSTILE

from stock.core.kinds import BY_FILE, KINDS, Cell
from stock.desk.desk import Desk
from stock.desk.errors import CannotEnter
from stock.desk.exchanging import dump, load
from stock.edge.texts import BLANKS
from stock.exchange.report import Misread, words
from stock.store.check import check

from .houses import DEMO, answers_of, facts_of, load_well, write_house

BAD: dict[Cell, tuple[str, ...]] = {
    "text": ("bell\a", "x" * 5_000, "half\u202e"),
    "name": ("esc\x1b[2J", "two\nlines", "y" * 300),
    "person": ("nul\0", "\x9b31m"),
    "length": ("9 kg", "-1 ft", "long"),
    "place": ("9 kg", "1:60", "99:99:99:99"),
    "time": ("9 kg", "1:60"),
    "speed": ("15", "0 ips", "15 ips +900%", "9 kg"),
    "speeds": ("15 ips; fast",),
    "size": ("0 in", "2 kg"),
    "thickness": ("1.5 degree", "thin"),
    "tracks": ("0", "1-999", "1,1", "kick 1"),
    "moment": ("2026-02-30", "12/1/2026", "soon", "2300-01-01"),
    "day": ("2026-02-30", "soon"),
    "count": ("many", "-1", "1.5"),
    "thousandths": ("loud", "1.23456"),
    "share": ("2", "half"),
    "hertz": ("9 kg", "0"),
    "money": ("ten", "1,000"),
    "currency": ("eu", "EURO"),
    "yesno": ("perhaps",),
    "choice": ("perhaps", "record; play"),
    "timecode": ("25:00:00:00", "1:00"),
    "sha256": ("zz", "ab" * 31),
    "entry": ("0", "-3", "x"),
}


class Sheet:
    """One exchange file as rows that know their lines."""

    def __init__(self, path: Path) -> None:
        self.name = path.name
        with path.open(encoding="utf-8", newline="") as file:
            self.header, *self.rows = csv.reader(file)

    def changed(self, folder: Path, row: int, column: str, cell: str) -> int:
        """Write the file with one cell changed; the line its row begins on."""
        rows = [self.header, *([*each] for each in self.rows)]
        rows[row + 1][self.header.index(column)] = cell
        with (folder / self.name).open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, lineterminator="\n", quoting=csv.QUOTE_ALL).writerows(rows)
        return 1 + sum(1 + sum(each.count("\n") for each in of_row) for of_row in rows[: row + 1])


@pytest.fixture
def untouched(demo: Desk) -> Iterator[Desk]:
    """The demo house, which must be byte for byte the same afterwards."""
    before = demo.store.path.read_bytes()
    yield demo
    assert demo.store.path.read_bytes() == before


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the demo folder to spoil."""
    return Path(shutil.copytree(DEMO, tmp_path / "spoiled", ignore=shutil.ignore_patterns("*.py*", "__pycache__")))


def said(problem: Misread) -> str:
    """A problem as it is shown, which nothing in a terminal obeys."""
    says = words(problem)
    assert says.isprintable()
    return says


@pytest.mark.parametrize("file", sorted(BY_FILE))
def test_one_bad_cell_anywhere_is_named_by_its_place(untouched: Desk, folder: Path, file: str) -> None:
    rng = Random(file)
    sheet = Sheet(folder / f"{file}.csv")
    columns = [column for column in sheet.header if column not in ("entry", "void_entry")]
    for column in rng.sample(columns, min(3, len(columns))):
        row = rng.randrange(len(sheet.rows))
        bad = rng.choice(BAD[BY_FILE[file].field(column).cell])
        line = sheet.changed(folder, row, column, bad)
        loaded = load(untouched, folder)
        assert (loaded.line, loaded.added) == (None, {})
        at_place = [problem for problem in loaded.problems if problem[:3] == (f"{file}.csv", line, column)]
        assert len(at_place) == 1, (column, bad, loaded.problems)
        assert said(at_place[0]).startswith(f"{file}.csv line {line}, column {column}: ")
        assert at_place[0].expected
        assert loaded.found == 1


Cells = dict[str, str]
PASS = {"reel": "M-0101", "date": "2026-11-01", "kind": "play"}
TAKE = {"reel": "M-0101", "date": "2026-11-01", "title": "t", "take": "1", "start": "0:15", "end": "1:00"}
EDIT = {"reel": "M-0107", "date": "2026-11-10", "start": "0 ft", "end": "10 ft"}
TRANSFER = {
    "transfer": "new", "reel": "M-0101", "date": "2026-11-01", "start": "0 ft", "end": "9 ft", "speed": "15 ips",
    "tracks": "1", "sample_rate_hz": "96000", "bit_depth": "24",
}  # fmt: skip
REEL = {"reel": "new", "stock_item": "C40-2-2500", "tracks": "24"}
ORDER = {
    "order": "new", "date": "2026-11-01", "supplier": "s", "stock_item": "C40-2-2500", "quantity": "1",
    "unit_price": "1", "currency": "EUR",
}  # fmt: skip
VOID = {"date": "2026-11-01", "reason": "slip", "by": "Ines Quill"}

UNBEARABLE: dict[str, tuple[str, Cells, str]] = {
    "a reel that is not there": ("passes", PASS | {"reel": "M-9999"}, "reel"),
    "a machine that is not there": ("passes", PASS | {"machine": "Deck 99"}, "machine"),
    "a formulation that is not there": (
        "stock_items", {"stock_item": "n", "formulation": "x", "width": "2 in", "length": "2500 ft"}, "formulation",
    ),
    "a stock item that is not there": ("reels", REEL | {"stock_item": "x"}, "stock_item"),
    "a reel to join to that is not there": ("edits", EDIT | {"to_reel": "M-9999"}, "to_reel"),
    "a transfer that is not there": ("listens", {"transfer": "x", "date": "2026-11-01", "by": "I. Quill"}, "transfer"),
    "a copy that is not there": (
        "copy_checks",
        {"transfer": "SW-1", "copy": "Z", "date": "2026-11-01", "method": "read", "result": "pass"},
        "copy",
    ),
    "an order that is not there": (
        "receipts", {"order": "x", "date": "2026-11-01", "stock_item": "C40-2-2500", "quantity": "1"}, "order",
    ),
    "a hold that is not there": ("hold_ends", {"hold": "x", "date": "2026-11-01"}, "hold"),
    "a formulation named twice": ("formulations", {"formulation": "Corvane C40", "note": "again"}, "formulation"),
    "a machine named twice": ("machines", {"machine": "Deck 1", "note": "again"}, "machine"),
    "a stock item named twice": (
        "stock_items",
        {"stock_item": "C40-2-2500", "formulation": "Corvane C40", "width": "2 in", "length": "2400 ft"},
        "stock_item",
    ),
    "a reel named twice": ("reels", REEL | {"reel": "M-0101"}, "reel"),
    "a transfer named twice": ("transfers", TRANSFER | {"transfer": "SW-1"}, "transfer"),
    "a copy named twice": ("copies", {"transfer": "SW-1", "copy": "A", "medium": "m", "place": "here"}, "copy"),
    "an order named twice": ("orders", ORDER | {"order": "PO-001"}, "order"),
    "a fact of tomorrow": ("passes", PASS | {"date": "2026-11-21"}, "date"),
    "a fact of the next minute": ("passes", PASS | {"date": "2026-11-20T20:01Z"}, "date"),
    "a reel that comes tomorrow": ("reels", REEL | {"acquired": "2026-11-21"}, "acquired"),
    "a void of tomorrow": ("voids", VOID | {"entry": "1", "date": "2026-11-21"}, "date"),
    "a start beyond the tape": ("takes", TAKE | {"start": "9:00:00", "end": "9:01:00", "speed": "15 ips"}, "start"),
    "an end beyond the tape": ("takes", TAKE | {"end": "2500.01 ft", "speed": "15 ips"}, "end"),
    "an end before the start": ("takes", TAKE | {"end": "0:15", "speed": "15 ips"}, "end"),
    "a point beyond the tape": ("splices", {"reel": "M-0101", "date": "2026-11-01", "at": "2501 ft"}, "at"),
    "a place before the head": ("takes", TAKE | {"start": "-0:01", "speed": "15 ips"}, "start"),
    "timecode on a reel without": ("takes", TAKE | {"start": "01:00:00:00", "speed": "15 ips"}, "start"),
    "an edit of tape that is not there": ("edits", EDIT | {"end": "9000 ft"}, "end"),
    "a join beyond the other reel": ("edits", EDIT | {"to_reel": "M-0101", "to_at": "2501 ft"}, "start"),
    "tape not there by on_tape": ("edits", EDIT | {"on_tape": "M-0101:0.0000-1.0000"}, "start"),
    "tape that never was": ("passes", PASS | {"on_tape": "M-9999:0.0000-1.0000"}, "on_tape"),
    "a decision on no take": (
        "decisions",
        {"reel": "M-0101", "title": "x", "take": "1", "date": "2026-11-01", "keep": "keep", "by": "Ines Quill"},
        "take",
    ),
    "a decision on another take's entry": (
        "decisions",
        {
            "reel": "M-0101", "title": "Harbour Light", "take": "2", "date": "2026-11-01", "keep": "discard",
            "by": "Ines Quill", "take_entry": "9006",
        },
        "take_entry",
    ),
    "a rule that is none": ("rules", {"rule": "x", "value": "1", "date": "2026-11-01", "by": "Ines Quill"}, "rule"),
    "a rule's value that is none": (
        "rules", {"rule": "passes_critical", "value": "few", "date": "2026-11-01", "by": "Ines Quill"}, "value",
    ),
    "a void of no entry": ("voids", VOID | {"entry": "99999"}, "entry"),
    "a void of what was voided": ("voids", VOID | {"entry": "9001"}, "entry"),
    "an entry that is another": ("passes", PASS | {"entry": "9001"}, "entry"),
    "a void's own number that is another's": ("voids", VOID | {"entry": "9006", "void_entry": "9001"}, "void_entry"),
    "an entry no number comes after": ("passes", PASS | {"entry": "9223372036854775807"}, "entry"),
}  # fmt: skip


@pytest.mark.parametrize(("file", "row", "column"), UNBEARABLE.values(), ids=UNBEARABLE.keys())
def test_what_the_record_cannot_bear_is_named_and_nothing_is_stored(
    untouched: Desk, tmp_path: Path, file: str, row: Cells, column: str
) -> None:
    good = {"reel": "M-0102", "date": "2026-11-01", "kind": "play", "note": "would be stored"}
    rows = {"passes.csv": [good], f"{file}.csv": [good, row] if file == "passes" else [row]}
    loaded = load(untouched, write_house(rows, tmp_path / "folder"))
    where = [problem[:3] for problem in loaded.problems]
    assert where == [(f"{file}.csv", 3 if file == "passes" else 2, column)], [said(each) for each in loaded.problems]
    assert (loaded.line, loaded.found) == (None, 1)
    assert said(loaded.problems[0])


def entry_of(desk: Desk, file: str, where: str) -> int:
    """The entry of the one fact found so."""
    with desk.store.reading() as reader:
        ((entry,),) = reader.raw(f"SELECT entry FROM {file} WHERE {where}")
    return int(entry)


@pytest.mark.parametrize(
    ("file", "where"),
    [
        ("reels", "reel = 'M-0101'"),
        ("transfers", "transfer = 'SW-1'"),
        ("stock_items", "stock_item = 'C40-2-2500'"),
        ("orders", "\"order\" = 'PO-001'"),
        ("edits", "reel = 'H-0301'"),
    ],
)
def test_a_void_in_a_file_is_asked_what_rests_on_its_entry_as_one_by_hand_is(
    untouched: Desk, tmp_path: Path, file: str, where: str
) -> None:
    entry = entry_of(untouched, file, where)
    with pytest.raises(CannotEnter) as by_hand:
        untouched.void(entry, "slip")
    rows = {"voids.csv": [VOID | {"entry": str(entry)}]}
    loaded = load(untouched, write_house(rows, tmp_path / "folder"))
    assert [problem[:3] for problem in loaded.problems] == [("voids.csv", 2, "entry")]
    assert by_hand.value.problems[0].says in said(loaded.problems[0])


def test_two_voids_of_one_entry_in_a_file(untouched: Desk, tmp_path: Path) -> None:
    entry = entry_of(untouched, "listens", "transfer = 'SW-1'")
    rows = {"voids.csv": [VOID | {"entry": str(entry)}, VOID | {"entry": str(entry), "reason": "another"}]}
    loaded = load(untouched, write_house(rows, tmp_path / "folder"))
    assert [problem[:3] for problem in loaded.problems] == [("voids.csv", 3, "entry")]


def test_all_problems_are_found_at_once_and_a_dry_run_finds_the_same(untouched: Desk, tmp_path: Path) -> None:
    rows: dict[str, list[Cells]] = {}
    for file, row, _ in UNBEARABLE.values():
        if file in ("passes", "takes", "splices", "decisions"):
            rows.setdefault(f"{file}.csv", []).append(row)
    folder = write_house(rows, tmp_path / "folder")
    loaded = load(untouched, folder)
    places = {problem[:2] for problem in loaded.problems}
    assert places == {(file, line) for file, of_file in rows.items() for line in range(2, len(of_file) + 2)}
    assert load(untouched, folder, dry_run=True).problems == loaded.problems


def test_a_dry_run_says_what_would_be_added_and_adds_nothing(untouched: Desk, tmp_path: Path) -> None:
    folder = write_house({"passes.csv": [PASS, PASS]}, tmp_path / "folder")
    loaded = load(untouched, folder, dry_run=True)
    assert (dict(loaded.added), loaded.line) == ({"passes": 2}, None)


@pytest.mark.parametrize("file", ["takes", "edits", "holds"])
def test_a_fact_of_today_is_no_fact_of_tomorrow_by_the_houses_clock(demo: Desk, tmp_path: Path, file: str) -> None:
    """At 20:00 UTC the house's own day, Dublin's, is still the 20th; in Auckland it is the 21st already."""
    cells = {
        "takes": TAKE | {"speed": "15 ips"},
        "edits": EDIT | {"to_reel": "M-0102", "to_at": "0 ft"},
        "holds": {"hold": "h", "reel": "M-0101", "reason": "r"},
    }
    row = cells[file] | {"date": "2026-11-21"}
    assert load(demo, write_house({f"{file}.csv": [row]}, tmp_path / "one")).found == 1
    demo.add("rule", {"rule": "time_zone", "value": "Pacific/Auckland"})
    assert load(demo, write_house({f"{file}.csv": [row]}, tmp_path / "two")).problems == ()


# many rows

ROWS_EACH = 10_000


class Fuzz:
    """Rows made of the demo house's by changing cells, by file, written as a folder.

    plausible: whether cells come from the same column, so that it takes the record to refuse them; else from anywhere,
    hostile ones among them.
    """

    def __init__(self, rng: Random, size: int, *, plausible: bool) -> None:
        self.sheets = [Sheet(DEMO / f"{kind.file}.csv") for kind in KINDS]
        everything = [cell for sheet in self.sheets for row in sheet.rows for cell in row]
        self.rows: dict[str, list[list[str]]] = {}
        for sheet in self.sheets:
            made = self.rows[sheet.name] = []
            columns = list(zip(*sheet.rows, strict=True))
            for _ in range(size // len(self.sheets) + 1):
                row = [*rng.choice(sheet.rows)]
                for index in range(len(row)):
                    if rng.random() < 0.1:
                        row[index] = rng.choice(
                            columns[index] if plausible else everything if rng.random() < 0.7 else HOSTILE
                        )
                made.append(row)

    def write(self, folder: Path) -> Path:
        folder.mkdir(exist_ok=True)
        for sheet in self.sheets:
            with (folder / sheet.name).open("w", encoding="utf-8", newline="") as file:
                csv.writer(file, lineterminator="\n", quoting=csv.QUOTE_ALL).writerows(
                    [sheet.header, *self.rows[sheet.name]]
                )
        return folder

    def count(self) -> int:
        return sum(map(len, self.rows.values()))

    def without(self, problems: tuple[Misread, ...]) -> None:
        """Take out every row that was named."""
        named = {problem[:2] for problem in problems}
        for name, rows in self.rows.items():
            line, kept = 2, []
            for row in rows:
                if (name, line) not in named:
                    kept.append(row)
                line += 1 + sum(len(cell.replace("\r\n", "\n").replace("\r", "\n").split("\n")) - 1 for cell in row)
            self.rows[name] = kept


@pytest.mark.parametrize("part", range(10))
def test_a_hundred_thousand_fuzzed_rows_are_refused_in_words(untouched: Desk, tmp_path: Path, part: int) -> None:
    rows = Fuzz(Random(part), ROWS_EACH, plausible=part % 2 == 1)
    loaded = load(untouched, rows.write(tmp_path / "folder"))
    if part % 2:
        # without what no cell or row alone can be, so that the record is asked about the rest
        rows.without(loaded.problems)
        loaded = load(untouched, rows.write(tmp_path / "folder"))
    assert loaded.found > 1_000
    assert loaded.line is None
    assert all(said(problem) for problem in loaded.problems)


@pytest.mark.parametrize("part", range(6))
def test_what_is_left_of_fuzzed_rows_without_those_named_is_stored_whole(
    demo: Desk, fresh: Callable[[], Desk], tmp_path: Path, part: int
) -> None:
    rows = Fuzz(Random(100 + part), 700, plausible=part % 2 == 1)
    facts = len(facts_of(demo))
    loaded, left = load(demo, rows.write(tmp_path / "folder")), rows.count()
    while loaded.found:
        assert len(facts_of(demo)) == facts
        rows.without(loaded.problems)
        assert rows.count() < left, "a problem names a row that is not there"
        loaded, left = load(demo, rows.write(tmp_path / "folder")), rows.count()
    assert loaded.line is not None
    assert sum(loaded.added.values()) == len(facts_of(demo)) - facts
    assert check(demo.store.path) == []
    answers = answers_of(demo)
    dump(demo, tmp_path / "dump")
    other = fresh()
    load_well(other, tmp_path / "dump")
    assert facts_of(other) == facts_of(demo)
    assert answers_of(other) == answers


# hostile cells


@pytest.mark.parametrize("cell", [*HOSTILE, "z" * 100_000, "\n" * 100_000, "[/]" * 1_000])
def test_a_hostile_cell_is_kept_as_typed_or_refused_whole_whichever_way_it_comes(
    desk: Desk, fresh: Callable[[], Desk], tmp_path: Path, cell: str
) -> None:
    row = {"reel": "R1", "date": "2026-03-01", "kind": "play"}
    by_hand: str | None = None
    try:
        desk.add("pass", row | {"note": cell})
    except CannotEnter as error:
        assert str(error).isprintable()
        assert [problem.column for problem in error.problems] == ["note"]
    else:
        by_hand = note_of(desk)
        assert by_hand == (cell.strip(BLANKS) or None)
    reels = [{"reel": reel, "stock_item": "grey nine 2", "tracks": "8"} for reel in ("R8", "R9")]
    reels[1]["reel"] = cell
    before = desk.store.path.read_bytes()
    loaded = load(desk, write_house({"reels.csv": reels}, tmp_path / "folder"))
    if loaded.found:
        assert [problem[:3] for problem in loaded.problems] == [("reels.csv", 3, "reel")]
        assert all(said(problem) for problem in loaded.problems)
        assert desk.store.path.read_bytes() == before
    else:
        desk.add("pass", {"reel": cell.removeprefix("'"), "kind": "play", "date": "2026-03-01"})
    dump(desk, tmp_path / "dump")
    other = fresh()
    load_well(other, tmp_path / "dump")
    assert facts_of(other) == facts_of(desk)
    assert answers_of(other) == answers_of(desk)


def note_of(desk: Desk) -> str | None:
    """The note of the newest pass."""
    with desk.store.reading() as reader:
        ((note,),) = reader.raw("SELECT note FROM passes ORDER BY entry DESC LIMIT 1")
    return note if note is None else str(note)
