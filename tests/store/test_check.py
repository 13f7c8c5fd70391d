"""A changed, missing or added row is found, whatever changed it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from stock.store.check import check
from stock.store.errors import StoreError
from stock.store.store import Store
from stock.store.tables import build

from .conftest import NOW_US
from .random_facts import note_of, random_facts

TABLES = sorted(build().tables)


def by_hand(path: Path, *statements: str) -> None:
    """What somebody does to the file who takes the triggers away first and puts them back."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("BEGIN")
        triggers = connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            assert connection.execute(statement).rowcount, "the statement must change something"
        for _, sql in triggers:
            connection.execute(sql)
        connection.execute("COMMIT")


def codes(path: Path, head: str | None = None) -> set[str]:
    return {found.code for found in check(path, head=head)}


@pytest.fixture
def house(filled: Store, path: Path) -> Path:
    filled.close()
    assert check(path) == []
    return path


@pytest.mark.parametrize(
    ("statement", "code"),
    [
        ("UPDATE reels SET note = 'sound' WHERE entry = (SELECT min(entry) FROM reels)", "facts-changed"),
        ("UPDATE passes SET lo = 1 WHERE entry = (SELECT max(entry) FROM passes)", "facts-changed"),
        ("UPDATE holds SET line = 3 WHERE line = 2", "facts-changed"),
        ("UPDATE holds SET entry = 9999 WHERE line = 2", "facts-changed"),
        ("UPDATE holds SET recorded_us = recorded_us + 1 WHERE line = 2", "facts-changed"),
        ("UPDATE places SET hi = hi + 1 WHERE entry = (SELECT min(entry) FROM places)", "facts-changed"),
        ("UPDATE places SET entry = 9999 WHERE entry = (SELECT max(entry) FROM places)", "place-without-fact"),
        ("UPDATE places SET seq = 7 WHERE seq = 1 AND entry = (SELECT max(entry) FROM places)", "place-without-fact"),
        ("INSERT INTO places VALUES (9999, 1, 'T', 0, 5)", "place-without-fact"),
        ("DELETE FROM holds WHERE line = 2", "facts-changed"),
        ("DELETE FROM places WHERE entry = (SELECT min(entry) FROM places)", "facts-changed"),
        (
            "INSERT INTO rules (entry, line, recorded_us, rule, value, by) VALUES (9999, 2, 0, 'a', '1', 'Ann')",
            "fact-added",
        ),
        (
            "INSERT INTO rules (entry, line, recorded_us, rule, value, by) VALUES (9999, 1, 0, 'a', '1', 'Ann')",
            "facts-changed",
        ),
        (
            "INSERT INTO rules (entry, line, recorded_us, rule, value, by) VALUES (9999, 9, 0, 'a', '1', 'Ann')",
            "line-missing",
        ),
        (
            (
                "INSERT INTO rules (entry, line, recorded_us, rule, value, by) "
                "SELECT min(entry), line, 0, 'a', '1', 'Ann' FROM holds"
            ),
            "entry-twice",
        ),
        ("UPDATE journal SET who = 'Bob' WHERE line = 3", "line-changed"),
        ("UPDATE journal SET facts = 41 WHERE line = 3", "facts-changed"),
        ("UPDATE journal SET sha256 = content_sha256 WHERE line = 3", "chain-broken"),
        ("DELETE FROM journal WHERE line = 3", "line-missing"),
        ("DELETE FROM journal WHERE line = 1", "line-missing"),
        ("DELETE FROM journal", "line-missing"),
        ("UPDATE house SET value = '0' WHERE name = 'made_us'", "house-changed"),
        ("DELETE FROM house WHERE name = 'house_id'", "house-changed"),
        ("INSERT INTO house VALUES ('another', '1')", "house-changed"),
        ("DELETE FROM schema_steps", "foreign-database"),
    ],
)
def test_a_hand_at_work_is_found(house: Path, statement: str, code: str) -> None:
    by_hand(house, statement)
    assert code in codes(house)


@pytest.mark.parametrize(
    ("statement", "code"),
    [
        ("DROP TRIGGER passes_no_update", "schema-missing"),
        ("DROP INDEX ix_passes_reel", "schema-missing"),
        ("CREATE TABLE mine (a)", "schema-added"),
        ("CREATE TRIGGER mine AFTER INSERT ON holds BEGIN DELETE FROM holds; END", "schema-added"),
        ("ALTER TABLE passes ADD COLUMN more TEXT", "schema-changed"),
    ],
)
def test_a_changed_schema_is_found(house: Path, statement: str, code: str) -> None:
    with closing(sqlite3.connect(house)) as connection:
        connection.execute(statement)
    assert code in codes(house)


def test_a_trigger_with_another_body_is_found(house: Path) -> None:
    with closing(sqlite3.connect(house)) as connection:
        connection.execute("DROP TRIGGER passes_no_update")
        connection.execute("CREATE TRIGGER passes_no_update BEFORE UPDATE ON passes BEGIN SELECT 1; END")
    assert codes(house) == {"schema-changed"}


def test_a_line_written_anew_with_a_right_hash_breaks_the_chain(house: Path) -> None:
    """Somebody who knows how the hashes are made still has to write every later line anew: the head then differs."""
    opened = Store.open(house)
    with opened.reading() as reader:
        lines = list(reader.lines())
    opened.close()
    forged = lines[2]._replace(who="Bob").sealed()
    by_hand(house, f"UPDATE journal SET who = 'Bob', sha256 = '{forged.sha256}' WHERE line = 3")
    assert codes(house) == {"chain-broken"}


def test_a_cut_off_tail_is_found_by_the_head_printed_elsewhere(house: Path) -> None:
    opened = Store.open(house)
    with opened.reading() as reader:
        heads = [line.sha256 for line in reader.lines()]
    opened.close()
    assert all(codes(house, head) == set() for head in (*heads, heads[-1][:12].upper()))
    facts = [table for table in TABLES if table not in {"journal", "house", "places", "schema_steps"}]
    by_hand(
        house,
        "DELETE FROM places WHERE entry > 80",
        *(f"DELETE FROM {table} WHERE line = 4" for table in facts),
        "DELETE FROM journal WHERE line = 4",
    )
    assert codes(house) == set()
    assert codes(house, heads[-2]) == set()
    assert codes(house, heads[-1]) == {"tail-missing"}
    assert codes(house, "") == {"tail-missing"}


def everything_read(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """All rows as a plain sqlite3 connection reads them, told apart by type too."""
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as connection:
        return {
            table: [tuple(map(repr, row)) for row in connection.execute(f"SELECT * FROM {table}")] for table in TABLES
        }


def flips(whole: bytes, rng: Random, number: int) -> Iterator[bytes]:
    for _ in range(number):
        at, bit = rng.randrange(len(whole)), rng.randrange(8)
        flipped = bytearray(whole)
        flipped[at] ^= 1 << bit
        yield bytes(flipped)


def test_of_400_flipped_bits_every_one_that_changes_a_fact_is_found(tmp_path: Path) -> None:
    path, flipped_path = tmp_path / "house.db", tmp_path / "flipped.db"
    rng = Random(20)
    opened = Store.open(path, now_us=lambda: NOW_US)
    with opened.writing() as writer:
        for number in range(12):
            facts = random_facts(rng, 74, first_target=1 + 74 * number)
            writer.add(facts, who="Ann", what=f"line {number}", at_us=NOW_US)
        writer.commit()
    opened.close()
    original = everything_read(path)
    assert sum(map(len, original.values())) > 800
    changed = 0
    for whole in flips(path.read_bytes(), rng, 400):
        flipped_path.write_bytes(whole)
        findings = check(flipped_path)
        try:
            differs = everything_read(flipped_path) != original
        except (sqlite3.Error, MemoryError, UnicodeError):
            differs = True
        changed += differs
        assert findings or not differs
    assert changed > 100, "too few flips hit a fact to say anything"


@pytest.mark.parametrize("damage", [lambda whole: whole[:5000], lambda whole: whole[:100], lambda whole: whole[:-4096]])
def test_a_file_cut_short_is_found(house: Path, damage: Callable[[bytes], bytes]) -> None:
    house.write_bytes(damage(house.read_bytes()))
    assert check(house)
    with pytest.raises(StoreError):
        opened = Store.open(house)
        with opened.writing() as writer:
            writer.add([note_of(1)], who="Ann", what="test", at_us=NOW_US)
            writer.raw("SELECT * FROM voids ORDER BY reason")
            for table in TABLES:
                writer.raw(f"SELECT * FROM {table}")


def test_a_missing_file_is_a_finding(tmp_path: Path) -> None:
    assert [found.code for found in check(tmp_path / "none.db")] == ["unreadable"]
    assert list(tmp_path.iterdir()) == []
