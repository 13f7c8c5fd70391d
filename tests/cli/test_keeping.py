"""Exchange folders, checks, backups and restores from the command line."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from importlib.resources import as_file, files
from pathlib import Path

import pytest

from tests.cli.conftest import Call


def test_load_reports_every_bad_cell_and_stores_nothing(call: Call, tmp_path: Path, house: Path) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "moves.csv").write_text("reel,date,kind\nM-0101,2026-11-02,away\nM-0101,02.11.2026,out\n")
    (folder / "passes.csv").write_text("reel,date,kind,speed\nM-0101,2026-11-02,play,9 kg\n")
    before = call("check", "--json", on=house).answer["head"]
    ran = call("load", str(folder), on=house)
    assert (ran.status, ran.out) == (2, "")
    assert "moves.csv line 2, column kind: away is not one of the choices" in ran.err
    assert "moves.csv line 3, column date: 02.11.2026" in ran.err
    assert "passes.csv line 2, column speed: 9 kg is a mass; a speed was expected" in ran.err
    answer = call("load", str(folder), "--json", on=house).answer
    assert (answer["ok"], answer["found"], answer["line"]) == (False, 3, None)
    assert answer["problems"][0].keys() == {"file", "line", "column", "value", "expected", "says"}
    assert call("check", "--json", on=house).answer["head"] == before


def test_load_adds_what_is_new_and_the_same_folder_adds_nothing(call: Call, tmp_path: Path, house: Path) -> None:
    file = tmp_path / "moves.csv"
    file.write_text("reel,date,kind,to\nM-0101,2026-11-02,out,Dunmorrow\n")
    dry = call("load", str(file), "--dry-run", "--json", on=house).answer
    assert (dry["ok"], dry["dry_run"], dry["added"], dry["line"]) == (True, True, {"moves": 1}, None)
    first = call("load", str(file), "--json", on=house).answer
    assert (first["added"], first["known"]) == ({"moves": 1}, 0)
    again = call("load", str(file), "--json", on=house).answer
    assert (again["ok"], again["added"], again["known"]) == (True, {}, 1)
    assert call("advise", "M-0101", on=house).status == 1


def test_a_dry_run_makes_no_house(call: Call, tmp_path: Path) -> None:
    path = tmp_path / "new" / "house.db"
    with as_file(files("seed")) as folder:
        ran = call("load", str(folder), "--dry-run", on=path)
    assert ran.status == 0
    assert "1357 facts would be loaded; nothing was stored" in ran.out
    assert not path.parent.exists()


def test_a_dump_loaded_elsewhere_gives_the_same_answers(call: Call, loaded_house: Path, tmp_path: Path) -> None:
    folder, other = tmp_path / "dumped", tmp_path / "other" / "house.db"
    assert call("dump", str(folder), on=loaded_house).status == 0
    assert call("load", str(folder), on=other).status == 0
    assert call("advise", "--json", on=other).out == call("advise", "--json", on=loaded_house).out
    full = call("dump", str(folder), on=other)
    assert full.status == 2
    assert "not empty" in full.err
    assert "--overwrite" in full.err
    assert call("dump", str(folder), "--overwrite", on=other).status == 0


def test_a_sound_house_is_told_with_its_head_hash(call: Call, loaded_house: Path) -> None:
    answer = call("check", "--json", on=loaded_house).answer
    assert (answer["sound"], answer["findings"], len(answer["head"])) == (True, [], 64)
    assert call("check", "--head", answer["head"][:12], on=loaded_house).status == 0
    assert answer["head"] in call("check", on=loaded_house).out
    lost = call("check", "--head", "0123456789", on=loaded_house)
    assert lost.status == 1
    assert "tail-missing" in lost.out


def test_a_changed_row_fails_the_check(call: Call, house: Path) -> None:
    with closing(sqlite3.connect(house)) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
            connection.execute(f'DROP TRIGGER "{name}"')
        connection.execute("UPDATE takes SET title = 'other' WHERE entry = (SELECT min(entry) FROM takes)")
        connection.commit()
    ran = call("check", "--json", on=house)
    assert ran.status == 1
    assert not ran.answer["sound"]
    assert {"code", "where", "says"} == ran.answer["findings"][0].keys()
    assert "is not sound" in call("check", on=house).out


def test_a_backup_is_restored_and_what_stood_there_is_kept(call: Call, house: Path, tmp_path: Path) -> None:
    folder = tmp_path / "away"
    ran = call("backup", str(folder), on=house)
    (made,) = folder.iterdir()
    head = call("check", "--json", on=house).answer["head"]
    assert ran.status == 0
    assert str(made) in ran.out
    assert head in ran.out
    assert call("add", "move", "--reel", "M-0101", "--kind", "out", on=house).status == 0
    restored = call("restore", str(made), on=house)
    assert restored.status == 0
    assert "is kept" in restored.out
    assert call("check", "--json", on=house).answer["head"] == head
    elsewhere = tmp_path / "fresh" / "house.db"
    assert call("restore", str(made), on=elsewhere).status == 0
    assert call("advise", "M-0101", on=elsewhere).status == 0


def test_what_is_no_backup_is_not_restored(call: Call, house: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.db"
    broken.write_bytes(house.read_bytes()[:5000])
    before = house.read_bytes()
    for file in (broken, tmp_path / "none.db", tmp_path):
        ran = call("restore", str(file), on=house)
        assert (ran.status, ran.out) == (2, "")
        assert "Traceback" not in ran.err
    assert house.read_bytes() == before


@pytest.mark.parametrize(
    "args",
    [
        ["advise"],
        ["reels"],
        ["show", "M-0101"],
        ["check"],
        ["add", "move", "--reel", "M-0101", "--kind", "out"],
        ["backup"],
    ],
)
def test_a_newer_database_is_refused_and_not_touched(call: Call, house: Path, args: list[str]) -> None:
    with closing(sqlite3.connect(house)) as connection:
        columns = [row[1] for row in connection.execute("PRAGMA table_info(schema_steps)")]
        values = ["9999" if name == "step" else "0" for name in columns]
        marks = ", ".join("?" * len(values))
        connection.execute(f"INSERT INTO schema_steps VALUES ({marks})", values)
        connection.commit()
    before = house.read_bytes()
    ran = call(*args, on=house)
    assert (ran.status, ran.out) == (2, "")
    assert "newer version" in ran.err
    assert house.read_bytes() == before


@pytest.mark.parametrize("args", [["advise"], ["add", "move", "--reel", "M-0101", "--kind", "out"]])
def test_what_is_no_database_is_refused(call: Call, tmp_path: Path, args: list[str]) -> None:
    text, folder = tmp_path / "text.db", tmp_path / "folder.db"
    text.write_text("words " * 2000)
    folder.mkdir()
    foreign = tmp_path / "foreign.db"
    with closing(sqlite3.connect(foreign)) as connection:
        connection.execute("CREATE TABLE other (a)")
    for path in (text, folder, foreign):
        ran = call(*args, on=path)
        assert (ran.status, ran.out) == (2, "")
        assert str(path) in ran.err


def test_an_output_folder_that_cannot_be_is_bad_input(call: Call, loaded_house: Path, tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("in the way")
    for args in (["dump", str(file / "folder")], ["backup", str(file / "folder")]):
        ran = call(*args, on=loaded_house)
        assert (ran.status, ran.out) == (2, "")
        assert str(file) in ran.err


def test_load_takes_a_house_of_several_folders(call: Call, tmp_path: Path) -> None:
    with as_file(files("seed")) as seed:
        base, rest = tmp_path / "base", tmp_path / "rest"
        base.mkdir()
        for name in ("formulations", "stock_items", "machines", "reels"):
            shutil.copy(seed / f"{name}.csv", base)
        rest.mkdir()
        shutil.copy(seed / "moves.csv", rest)
    path = tmp_path / "house.db"
    assert call("load", str(rest), on=path).status == 2
    assert call("load", str(base), on=path).status == 0
    assert call("load", str(rest), on=path).status == 0
