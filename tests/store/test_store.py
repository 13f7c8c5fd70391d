"""Adding and reading facts, transactions, and what is refused."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from random import Random

import pytest

from stock.core.facts import Fact, Stretch, Value
from stock.core.kinds import BY_NAME, KINDS, columns
from stock.store import bulk
from stock.store.check import check
from stock.store.errors import AlreadyVoided, EntryTaken, FactRefused, NoDatabase, NotCommitted
from stock.store.journal import Line
from stock.store.store import Store
from stock.store.verify import verify

from .conftest import NOW_US
from .random_facts import note_of, random_fact, random_facts

MOVE = BY_NAME["move"]
OWNER = BY_NAME["owner"]
VOID = BY_NAME["void"]


def add(store: Store, *facts: Fact, at_us: int = NOW_US) -> Line:
    with store.writing() as writer:
        line = writer.add(facts, who="Ann", what="test", at_us=at_us)
        writer.commit()
    return line


def everything(store: Store) -> list[Fact]:
    with store.reading() as reader:
        return sorted((fact for kind in KINDS for fact in reader.facts(kind)), key=lambda fact: fact.entry or 0)


def findings(store: Store) -> list[object]:
    with store.reading() as reader:
        return list(verify(reader))


def void_of(target: int) -> Fact:
    given: dict[str, Value] = {"target": target, "day": 20_000, "reason": "a slip", "by": "Ann"}
    return Fact(VOID, tuple(given.get(column.name) for column in columns(VOID)))


def test_facts_come_back_as_they_were_given(store: Store) -> None:
    given = list(random_facts(Random(1), 1000))
    line = add(store, *given)
    assert everything(store) == [
        fact._replace(entry=number, recorded_us=NOW_US) for number, fact in enumerate(given, start=1)
    ]
    assert (line.facts, line.first_entry, line.last_entry) == (1000, 1, 1000)
    assert findings(store) == []


def test_entries_are_numbered_on_from_the_largest(store: Store) -> None:
    add(store, note_of(1), note_of(2))
    add(store, note_of(3)._replace(entry=50))
    line = add(store, note_of(4), note_of(5)._replace(entry=60), note_of(6))
    assert (line.first_entry, line.last_entry, line.facts) == (51, 61, 3)
    assert [fact.entry for fact in everything(store)] == [1, 2, 50, 51, 60, 61]


def test_more_facts_than_one_chunk_keep_their_order(store: Store) -> None:
    given = [note_of(number) for number in range(9001)]
    line = add(store, *given)
    assert (line.first_entry, line.last_entry) == (1, 9001)
    assert [fact.values[0] for fact in everything(store)] == [fact.values[0] for fact in given]
    assert findings(store) == []


def test_indexes_set_aside_for_many_facts_are_built_again(
    store: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("stock.store.writer.CHUNK", 40)
    monkeypatch.setattr(bulk, "BULK", 100)
    set_aside: list[str] = []
    with store.writing() as writer:
        driver = writer._connection
        driver.set_trace_callback(lambda sql: set_aside.append(sql) if sql.startswith("DROP INDEX") else None)
        facts = [*map(note_of, range(300)), *random_facts(Random(5), 300)]
        writer.add(facts, who="Ann", what="test", at_us=NOW_US)
        writer.add(map(note_of, range(300)), who="Ann", what="a table that holds much keeps them", at_us=NOW_US)
        driver.set_trace_callback(None)
        writer.commit()
    assert set_aside == ["DROP INDEX ix_moves_reel"]
    assert check(path) == []


def test_facts_that_are_read_from_the_same_transaction_can_be_many(
    store: Store, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bulk, "BULK", 100)
    add(store, *map(note_of, range(60)))
    with store.writing() as writer:
        unfinished = (fact._replace(entry=None) for fact in writer.facts(MOVE) for _ in range(4))
        writer.add(islice(unfinished, 200), who="Ann", what="test", at_us=NOW_US)
        writer.commit()
        assert next(unfinished)
    assert len(everything(store)) == 260
    assert check(path) == []


def test_facts_may_bring_their_own_numbers_in_any_order(store: Store) -> None:
    rng = Random(2)
    given = [fact._replace(entry=number, recorded_us=number) for number, fact in enumerate(random_facts(rng, 200), 1)]
    rng.shuffle(given)
    line = add(store, *given)
    assert (line.facts, line.first_entry, line.last_entry) == (200, 1, 200)
    assert everything(store) == sorted(given, key=lambda fact: fact.entry or 0)
    assert findings(store) == []


def test_the_same_facts_have_the_same_content_hash_in_any_order(tmp_path: Path) -> None:
    rng = Random(3)
    given = [fact._replace(entry=number, recorded_us=number) for number, fact in enumerate(random_facts(rng, 200), 1)]
    hashes = []
    for name in ("rising", "mixed"):
        opened = Store.open(tmp_path / name)
        hashes.append(add(opened, *given).content_sha256)
        opened.close()
        rng.shuffle(given)
    assert hashes[0] == hashes[1]


def test_the_hashes_are_what_the_journal_says_they_are(store: Store) -> None:
    """Recomputed from the description alone, with no code of the store."""
    fact = Fact(OWNER, ("R-1", 20_000, None, "house", None, "ä\n"), (Stretch("T1", 0, 5), Stretch("T2", 3, 4)))
    line = add(store, fact, note_of(1))
    facts = [
        ["owners", 1, NOW_US, [["T1", 0, 5], ["T2", 3, 4]], "R-1", 20_000, None, "house", None, "ä\n"],
        ["moves", 2, NOW_US, [], "R-1", 20_000, None, "out"],
    ]
    with store.reading() as reader:
        first, second = reader.lines()
        house = [["house", name, value] for name, value in reader.raw("SELECT name, value FROM house ORDER BY name")]
    assert second == line

    def sha256(value: object) -> str:
        return hashlib.sha256(json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()

    assert line.content_sha256 == sha256(facts)
    assert line.sha256 == sha256([2, NOW_US, "Ann", "test", 2, 1, 2, sha256(facts), first.sha256])
    assert first.content_sha256 == sha256(house)
    assert first.sha256 == sha256([1, NOW_US, "", "made", 0, None, None, sha256(house), ""])


def test_a_line_is_never_dated_before_the_newest(store: Store) -> None:
    add(store, note_of(1), at_us=NOW_US + 500)
    assert add(store, note_of(2), at_us=NOW_US - 500).at_us == NOW_US + 500
    with store.reading() as reader:
        assert reader.newest_line_us == NOW_US + 500
        assert reader.made_us == NOW_US


def test_what_is_not_committed_is_undone(store: Store) -> None:
    with store.writing() as writer:
        writer.add([note_of(1)], who="Ann", what="test", at_us=NOW_US)
    assert everything(store) == []
    with pytest.raises(ZeroDivisionError), store.writing() as writer:
        writer.add([note_of(1)], who="Ann", what="test", at_us=NOW_US)
        raise ZeroDivisionError
    assert everything(store) == []
    with store.reading() as reader:
        head = reader.head()
    assert head is not None and head.line == 1


def test_a_committed_transaction_takes_nothing_more(store: Store) -> None:
    with store.writing() as writer:
        writer.add([note_of(1)], who="Ann", what="test", at_us=NOW_US)
        writer.commit()
        with pytest.raises(NotCommitted):
            writer.add([note_of(2)], who="Ann", what="test", at_us=NOW_US)
    assert len(everything(store)) == 1


def test_a_reader_sees_one_state(store: Store) -> None:
    add(store, note_of(1))
    with store.reading() as reader:
        assert len(list(reader.facts(MOVE))) == 1
        with store.writing() as writer:
            writer.add([note_of(2)], who="Ann", what="test", at_us=NOW_US)
        assert len(list(reader.facts(MOVE))) == 1


def test_facts_are_found_by_entry_and_by_reel(store: Store) -> None:
    rng = Random(4)
    pieces = (Stretch("T1", 0, 5), Stretch("T2", 0, 5), Stretch("T3", 0, 5))
    owners = [random_fact(rng, OWNER) for _ in range(1200)]
    owners = [
        fact._replace(values=(f"R-{number % 3}", *fact.values[1:]), places=pieces[: number % 4])
        for number, fact in enumerate(owners)
    ]
    add(store, *owners)
    stored = everything(store)
    with store.reading() as reader:
        assert list(reader.facts(OWNER, reel="R-1")) == [fact for fact in stored if fact.values[0] == "R-1"]
        asked = [entry for entry in range(1, 1300) if entry % 2]
        assert list(reader.facts(OWNER, entries=reversed(asked))) == [fact for fact in stored if fact.entry in asked]
        both = list(reader.facts(OWNER, entries=asked, reel="R-2"))
        assert both == [fact for fact in stored if fact.entry in asked and fact.values[0] == "R-2"]
        assert reader.fact(7) == stored[6]
        assert reader.fact(5000) is None
        with pytest.raises(ValueError):
            list(reader.facts(BY_NAME["machine"], reel="R-1"))


def test_an_iterator_ends_with_its_reader(store: Store) -> None:
    add(store, note_of(1), note_of(2))
    with store.reading() as reader:
        rows = reader.iterate("SELECT entry FROM moves")
        next(rows)
    # Still open, it would hold a lock that this commit cannot get.
    add(store, note_of(3))
    assert len(everything(store)) == 3


def test_voids_are_told_by_what_they_take_back(store: Store) -> None:
    add(store, note_of(1), note_of(2))
    add(store, void_of(2))
    with store.reading() as reader:
        assert reader.voided() == {2: 3}
    with pytest.raises(AlreadyVoided) as refused:
        add(store, void_of(2))
    assert refused.value.about == {"entry": 2}
    assert len(everything(store)) == 3


@pytest.mark.parametrize("taken", [1, 2, 3])
def test_a_number_that_is_taken_is_refused(store: Store, taken: int) -> None:
    """In the same table, in another table, and by a fact on several pieces."""
    pieces = (Stretch("T1", 0, 5), Stretch("T2", 0, 5))
    owner = Fact(OWNER, ("R-1", None, None, "house", None, None))
    add(store, note_of(1), owner, owner._replace(places=pieces))
    for clash in (note_of(9)._replace(entry=taken), owner._replace(entry=taken, places=pieces)):
        with pytest.raises(EntryTaken) as refused:
            add(store, note_of(8), clash)
        assert refused.value.about == {"entry": taken}
    assert len(everything(store)) == 3
    assert findings(store) == []


def test_a_number_given_twice_in_one_call_is_refused(store: Store) -> None:
    owner = Fact(OWNER, ("R-1", None, None, "house", None, None), entry=5)
    for second in (note_of(1)._replace(entry=5), owner):
        with pytest.raises(EntryTaken) as refused:
            add(store, owner, second)
        assert refused.value.about == {"entry": 5}


@dataclass
class Bad:
    says: str
    fact: Callable[[], Fact]


def owner_with(*values: object, places: object = ()) -> Callable[[], Fact]:
    return lambda: Fact(OWNER, values, places)  # type: ignore[arg-type]


GOOD = ("R-1", 20_000, None, "house", None, None)


@pytest.mark.parametrize(
    "bad",
    [
        Bad("too few values", owner_with(*GOOD[:-1])),
        Bad("too many values", owner_with(*GOOD, None)),
        Bad("nothing where something must be", owner_with(None, *GOOD[1:])),
        Bad("text that looks like a number", owner_with("R-1", "20000", *GOOD[2:])),
        Bad("a number as text", owner_with(1, *GOOD[1:])),
        Bad("a broken number", owner_with("R-1", 1.0, *GOOD[2:])),
        Bad("a truth", owner_with("R-1", True, *GOOD[2:])),
        Bad("bytes", owner_with(b"R-1", *GOOD[1:])),
        Bad("a number of more than 64 bits", owner_with("R-1", 1 << 63, *GOOD[2:])),
        Bad("a NUL", owner_with("R\0", *GOOD[1:])),
        Bad("half a surrogate", owner_with("R\ud800", *GOOD[1:])),
        Bad("half a stretch", owner_with(*GOOD, places=(("T1", 0, None),))),
        Bad("half a later stretch", owner_with(*GOOD, places=(("T1", 0, 5), ("T2", None, 5)))),
        Bad("too large a later stretch", owner_with(*GOOD, places=(("T1", 0, 5), ("T2", 0, 1 << 63)))),
        Bad("a NUL in a tape", owner_with(*GOOD, places=(Stretch("T\0", 0, 5),))),
        Bad("a place for a kind without", lambda: note_of(1)._replace(places=(Stretch("T1", 0, 5),))),
        Bad("entry nought", lambda: note_of(1)._replace(entry=0)),
    ],
    ids=lambda bad: bad.says,
)
def test_what_the_tables_cannot_hold_exactly_is_refused(store: Store, bad: Bad) -> None:
    with store.writing() as writer:
        with pytest.raises(FactRefused):
            writer.add([note_of(1), bad.fact()], who="Ann", what="test", at_us=NOW_US)
        with pytest.raises(NotCommitted):
            writer.commit()
    assert everything(store) == []


@pytest.mark.parametrize("who", ["\0", "\udc80"])
def test_a_name_the_journal_cannot_hold_is_refused(store: Store, who: str) -> None:
    with pytest.raises(FactRefused), store.writing() as writer:
        writer.add([note_of(1)], who=who, what="test", at_us=NOW_US)


def test_the_data_version_changes_with_every_commit(store: Store, path: Path) -> None:
    other = Store.open(path)
    before = store.data_version()
    assert store.data_version() == before
    add(other, note_of(1))
    between = store.data_version()
    assert between != before
    add(store, note_of(2))
    assert store.data_version() != between
    other.close()


def test_a_file_that_is_gone_is_said_to_be(store: Store, path: Path) -> None:
    path.unlink()
    with pytest.raises(NoDatabase), store.writing():
        pass
    assert not path.exists()
