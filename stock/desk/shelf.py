"""The shelf as a list: one row a reel with its verdict, kept for speed beside the database and made from the facts.

The list is a cache in a file of its own. It says which journal line and which day it was made for; what differs from
those is worked out anew, so nothing in it can disagree with the facts for longer than a refresh takes. A damaged or
foreign file is thrown away and made again. It is long because what writes a row and what reads it stand together.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from threading import Lock
from typing import NamedTuple

from stock.core.custody import owners
from stock.core.house import WHOLE_REEL_FAULTS, House
from stock.core.moments import Calendar
from stock.core.now import Task, reel_tasks
from stock.core.verdict import Advice, advise
from stock.desk.desk import Desk
from stock.desk.laying import reader_of
from stock.desk.reading import some_reels, whole_house, zone_in_force
from stock.store.reader import Reader

_VERSION = "3"
_CHUNK = 500
_TELLS_OF_ALL = frozenset({"formulation", "stock-item", "project", "rule", "edit", "length"})
"""Kinds of fact that may change the answer of any reel."""

SORTS = {
    "reel": "reel",
    "verdict": "verdict_rank, longest DESC, reel",
    "longest": "longest DESC, reel",
    "wear": "wear, reel",
    "owner": "owner COLLATE NOCASE, reel",
    "stock item": "stock_item COLLATE NOCASE, reel",
    "shelf": "shelf COLLATE NOCASE, reel",
}
"""The orders a list can be asked in, by their names on the screen."""

_RANK = {"clear": 0, "blank": 1, "inspect": 2, "keep": 3, "retire": 4, "": 5}


class ShelfRow(NamedTuple):
    """One reel in the list. verdict is empty while it is being worked out. Lengths in tenths of a millimetre, wear in
    tenths of a pass; says: the weightiest reason in a sentence."""

    id: int
    reel: str
    verdict: str
    grade: str
    longest: int
    wear: int
    splices: int
    stock_item: str
    formulation: str
    tracks: int
    length: int
    owner: str
    shelf: str
    projects: str
    says: str
    note: str


@dataclass(frozen=True)
class ShelfQuery:
    """What to list. words: each must begin a word of number, project, client, title, formulation, owner or note."""

    words: str = ""
    verdict: str | None = None
    owner: str | None = None
    stock_item: str | None = None
    shelf: str | None = None
    sort: str = "reel"


_COLUMNS = ", ".join(ShelfRow._fields)
_STANDINGS = "SELECT reel, verdict, grade FROM shelf"
_TASK_COLUMNS = ", ".join(f'"{name}"' for name in Task._fields)

_SCHEMA = f"""
CREATE TABLE stamp (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE shelf (
  id INTEGER PRIMARY KEY, reel TEXT NOT NULL UNIQUE, verdict TEXT NOT NULL, grade TEXT NOT NULL,
  longest INTEGER NOT NULL, wear INTEGER NOT NULL, splices INTEGER NOT NULL, stock_item TEXT NOT NULL,
  formulation TEXT NOT NULL, tracks INTEGER NOT NULL, length INTEGER NOT NULL, owner TEXT NOT NULL,
  shelf TEXT NOT NULL, projects TEXT NOT NULL, says TEXT NOT NULL, note TEXT NOT NULL, verdict_rank INTEGER NOT NULL
);
CREATE TABLE tasks ({_TASK_COLUMNS});
CREATE INDEX tasks_reel ON tasks (reel);
CREATE INDEX shelf_verdict ON shelf (verdict_rank, longest DESC, reel);
CREATE VIRTUAL TABLE shelf_words USING fts5(words, tokenize="unicode61 tokenchars '-_'", prefix='1 2 3');
INSERT INTO stamp VALUES ('version', '{_VERSION}');
"""


def shelf_path(database: Path) -> Path:
    """Where the list of a database is kept."""
    return database.with_name(f"{database.stem}.shelf")


class Shelf:
    """The list of a house's reels. Its methods may be called from any thread, one at a time does the work."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._path = shelf_path(desk.store.path)
        self._lock = Lock()
        self._keeping_up = Lock()
        self._connection = self._open()
        self._order: tuple[tuple[ShelfQuery, int], list[int]] | None = None

    def close(self) -> None:
        with self._lock:
            self._connection.close()

    def _open(self) -> sqlite3.Connection:
        with suppress(sqlite3.Error):
            if self._path.exists():
                connection = self._connect()
                if dict(connection.execute("SELECT name, value FROM stamp")).get("version") == _VERSION:
                    return connection
                connection.close()
        self._path.unlink(missing_ok=True)
        descriptor = os.open(self._path, os.O_CREAT | os.O_WRONLY, 0o600)
        os.close(descriptor)
        connection = self._connect()
        connection.executescript(f"BEGIN; {_SCHEMA} COMMIT;")
        return connection

    def _connect(self) -> sqlite3.Connection:
        connection = sqlite3.connect(self._path, check_same_thread=False, isolation_level=None, timeout=10)
        # a list lost with the power is made again from the facts
        connection.execute("PRAGMA synchronous = OFF")
        return connection

    @contextmanager
    def _changing(self) -> Iterator[sqlite3.Connection]:
        with self._lock:
            self._connection.execute("BEGIN IMMEDIATE")
            self._order = None
            try:
                yield self._connection
            except BaseException:
                self._connection.execute("ROLLBACK")
                raise
            self._connection.execute("COMMIT")

    # asking

    def find(self, query: ShelfQuery) -> list[int]:
        """The ids of the rows asked for, in order."""
        match = _match(query.words)
        with self._lock:
            ids = self._in_order(replace(query, words=""))
            if not match:
                return ids
            rows = self._connection.execute("SELECT rowid FROM shelf_words WHERE shelf_words MATCH ?", (match,))
            found = {each for (each,) in rows}
        return [each for each in ids if each in found]

    def _in_order(self, query: ShelfQuery) -> list[int]:
        """The ids of the rows asked for without their words, kept while somebody types: to sort them takes longest."""
        # another process may keep up the same list
        key = query, self._connection.execute("PRAGMA data_version").fetchone()[0]
        if self._order is None or self._order[0] != key:
            asked = {column: getattr(query, column) for column in ("verdict", "owner", "stock_item", "shelf")}
            given = {column: value for column, value in asked.items() if value is not None}
            where = f" WHERE {' AND '.join(f'{column} = ?' for column in given)}" if given else ""
            sql = f"SELECT id FROM shelf{where} ORDER BY {SORTS[query.sort]}"
            rows = self._connection.execute(sql, tuple(given.values()))
            self._order = key, [each for (each,) in rows]
        return self._order[1]

    def rows(self, ids: Sequence[int]) -> list[ShelfRow]:
        """The rows of some ids, in the order given; those that are gone are left out."""
        marks = ", ".join("?" * len(ids))
        with self._lock:
            found = self._connection.execute(f"SELECT {_COLUMNS} FROM shelf WHERE id IN ({marks})", ids).fetchall()
        by_id = {row[0]: ShelfRow._make(row) for row in found}
        return [by_id[each] for each in ids if each in by_id]

    def id_of(self, reel: str) -> int | None:
        """The id of a reel's row."""
        with self._lock:
            row = self._connection.execute("SELECT id FROM shelf WHERE reel = ?", (reel,)).fetchone()
        return None if row is None else int(row[0])

    def values(self, column: str) -> list[tuple[str, int]]:
        """The values to filter by of `verdict`, `owner`, `stock_item` or `shelf`, and how many reels have each."""
        if column not in ("verdict", "owner", "stock_item", "shelf"):
            raise ValueError(column)
        with self._lock:
            sql = f"SELECT {column}, count(*) FROM shelf GROUP BY {column} ORDER BY {column} COLLATE NOCASE"
            return self._connection.execute(sql).fetchall()

    def standings(self, reader: Reader, day: int) -> dict[str, tuple[str, str]] | None:
        """The verdict and the best grade (empty for none) of every reel, where the list is of just what is read now and
        of that day; None where it is of anything else."""
        head = reader.head()
        assert head is not None
        ours = {
            "version": _VERSION, "house": reader.house_id, "head": head.sha256, "line": str(head.line), "day": str(day),
        }  # fmt: skip
        with self._lock:
            if dict(self._connection.execute("SELECT name, value FROM stamp")) != ours:
                return None
            return {reel: (verdict, grade) for reel, verdict, grade in self._connection.execute(_STANDINGS)}

    def tasks(self) -> list[Task]:
        """What is to be done with each reel, as its answer says."""
        with self._lock:
            return list(map(Task._make, self._connection.execute(f"SELECT {_TASK_COLUMNS} FROM tasks")))

    def version(self) -> tuple[int, int]:
        """What changes whenever anything in the list does, by whichever hand: this one's, or another process's."""
        with self._lock:
            (of_others,) = self._connection.execute("PRAGMA data_version").fetchone()
            return of_others, self._connection.total_changes

    # keeping up

    def refresh(self, told: Callable[[int, int], None] | None = None) -> set[str] | None:
        """Bring the list up to date; gives the reels whose rows were worked out anew, or None for all.

        told: called with how many are done, of how many, while all are worked out. Who asks while that is under way
        waits for it.
        """
        with self._keeping_up:
            return self._refresh(told)

    def _refresh(self, told: Callable[[int, int], None] | None) -> set[str] | None:
        with self._desk.store.reading() as reader:
            head = reader.head()
            assert head is not None
            calendar = Calendar(zone_in_force(reader))
            as_of = self._desk.as_of()
            with self._lock:
                stamp = dict(self._connection.execute("SELECT name, value FROM stamp"))
            ours = {"version": _VERSION, "house": reader.house_id, "head": head.sha256, "day": str(as_of.day)}
            if stamp == {**ours, "line": str(head.line)}:
                return set()
            touched: set[str] | None = None
            if all(stamp.get(name) == ours[name] for name in ("house", "day")) and "line" in stamp:
                touched = _since(reader, int(stamp["line"]), stamp["head"])
            if touched is not None and len(touched) > _CHUNK:
                touched = None
            clients = _clients(reader)
            if touched is None:
                house = whole_house(reader, calendar, as_of)
            else:
                house = some_reels(reader, calendar, as_of, touched)
        # the answers are worked out when the reading is over: it would keep others from entering facts
        if touched is None:
            self._put_all(house, clients, told)
        else:
            known = set(house.reel_numbers)
            self._put(house, clients, advise(house, touched & known), gone=touched - known)
        with self._changing() as connection:
            stamp = {**ours, "line": str(head.line)}
            connection.executemany("INSERT OR REPLACE INTO stamp VALUES (?, ?)", stamp.items())
        return touched

    def differences(self) -> list[str]:
        """The reels whose rows are not what the facts say now, for a list that holds itself to be up to date."""
        if self.refresh():
            return []
        house = self._desk.house()
        with self._desk.store.reading() as reader:
            clients = _clients(reader)
        with self._lock:
            rows = self._connection.execute(f"SELECT {_COLUMNS} FROM shelf").fetchall()
        held = {row[1]: ShelfRow._make(row)._replace(id=0) for row in rows}
        to_do: dict[str, list[Task]] = {}
        for task in self.tasks():
            to_do.setdefault(task.reel, []).append(task)
        told = {answer.reel: (_row(house, answer, clients)[0], reel_tasks(answer)) for answer in advise(house)}
        kept = {reel: (row, to_do.get(reel, [])) for reel, row in held.items()}
        return sorted(reel for reel in kept.keys() | told.keys() if kept.get(reel) != told.get(reel))

    def _put_all(self, house: House, clients: dict[str, str], told: Callable[[int, int], None] | None) -> None:
        numbers = house.reel_numbers
        with self._changing() as connection:
            known = {reel: each for each, reel in connection.execute("SELECT id, reel FROM shelf")}
            gone = known.keys() - set(numbers)
            bare = [_bare_row(house, reel, clients) for reel in numbers if reel not in known]
            _store(connection, bare, gone)
        answers = advise(house)
        done = 0
        while some := list(islice(answers, _CHUNK)):
            self._put(house, clients, some)
            done += len(some)
            if told is not None:
                told(done, len(numbers))

    def _put(self, house: House, clients: dict[str, str], answers: Iterable[Advice], gone: Iterable[str] = ()) -> None:
        rows, tasks = [], list[Task]()
        for answer in answers:
            rows.append(_row(house, answer, clients))
            tasks += reel_tasks(answer)
        with self._changing() as connection:
            _store(connection, rows, gone)
            connection.executemany(f"INSERT INTO tasks VALUES ({', '.join('?' * len(Task._fields))})", tasks)


def _since(reader: Reader, line: int, head: str) -> set[str] | None:
    """The reels that later journal lines bear on; None where it may be any, or where that line is another's."""
    rows = reader.raw("SELECT sha256 FROM journal WHERE line = ?", (line,))
    return reels_told_of(reader, line) if rows and rows[0][0] == head else None


def reels_told_of(reader: Reader, line: int) -> set[str] | None:
    """The reels that facts of journal lines after a line bear on; None where it may be any reel."""
    entries: list[int] = []
    for first, last in reader.raw("SELECT first_entry, last_entry FROM journal WHERE line > ?", (line,)):
        if first is None:
            continue
        if last - first > _CHUNK:
            return None
        entries += range(first, last + 1)
    return reels_bearing(reader, entries)


def reels_bearing(reader: Reader, entries: Iterable[int]) -> set[str] | None:
    """The reels that entries bear on, with those recorded locked to them; None where it may be any reel."""
    touched: set[str] = set()
    for entry in entries:
        found = _told_of(reader, entry)
        if found is None:
            return None
        touched |= found
    return with_sets(reader, touched)


def with_sets(reader: Reader, reels: Collection[str]) -> set[str]:
    """Some reels and those recorded locked to them."""
    sets = {row[0] for reel in reels for row in reader.raw('SELECT "set" FROM sets WHERE reel = ?', (reel,))}
    found = set(reels)
    for each in sets:
        found |= {reel for (reel,) in reader.raw('SELECT reel FROM sets WHERE "set" = ?', (each,))}
    return found


def entered_since(reader: Reader, line: int, reel: str, but: Collection[int] = ()) -> list[str]:
    """What journal lines after a line tell that may bear on a reel, in words: `hold by Ann (entry 210)`.

    but: entries left out.
    """
    said: list[str] = []
    sql = "SELECT first_entry, last_entry, who, what FROM journal WHERE line > ? ORDER BY line"
    for first, last, who, what in reader.raw(sql, (line,)):
        if first is None:
            continue
        if last - first > _CHUNK:
            said.append(f"{what} by {who} ({last - first + 1} entries)")
            continue
        for entry in range(first, last + 1):
            told = _told_of(reader, entry)
            fact = reader.fact(entry)
            if fact is not None and entry not in but and (told is None or reel in told or _one_set(reader, reel, told)):
                said.append(f"{fact.kind.name.replace('-', ' ')} by {who} (entry {entry})")
    return said


def _one_set(reader: Reader, reel: str, others: set[str]) -> bool:
    """Whether a reel was ever recorded locked to one of some others."""
    sql = 'SELECT b.reel FROM sets AS a JOIN sets AS b ON a."set" = b."set" WHERE a.reel = ?'
    return any(other in others for (other,) in reader.raw(sql, (reel,)))


def _told_of(reader: Reader, entry: int) -> set[str] | None:
    fact = reader.fact(entry)
    if fact is None:
        return set()
    get = reader_of(fact.kind).get
    if fact.kind.name in _TELLS_OF_ALL:
        return None
    if fact.kind.name == "void":
        return _told_of(reader, get(fact.values, "target"))
    if fact.kind.name == "finding" and get(fact.values, "kind") in WHOLE_REEL_FAULTS:
        return None
    reels = {get(fact.values, "reel"), *(piece.tape for piece in fact.places)} - {None}
    transfer = get(fact.values, "transfer")
    if transfer is not None:
        reels |= {row[0] for row in reader.raw("SELECT reel FROM transfers WHERE transfer = ?", (transfer,))}
    if fact.kind.name == "hold-end":
        held = get(fact.values, "hold")
        reels |= {row[0] for row in reader.raw('SELECT reel FROM holds WHERE "hold" = ?', (held,))}
    if reels and reader.raw("SELECT 1 FROM edits LIMIT 1"):
        for reel in list(reels):
            reels |= {row[0] for row in reader.raw("SELECT to_reel FROM edits WHERE tape = ?", (reel,)) if row[0]}
            reels |= {row[0] for row in reader.raw("SELECT tape FROM edits WHERE to_reel = ?", (reel,))}
    return reels


def _store(connection: sqlite3.Connection, rows: list[tuple[ShelfRow, str]], gone: Iterable[str]) -> None:
    for reel in gone:
        connection.execute("DELETE FROM shelf_words WHERE rowid = (SELECT id FROM shelf WHERE reel = ?)", (reel,))
        connection.execute("DELETE FROM shelf WHERE reel = ?", (reel,))
        connection.execute("DELETE FROM tasks WHERE reel = ?", (reel,))
    names = ShelfRow._fields[1:]
    sets = ", ".join(f"{name} = excluded.{name}" for name in (*names[1:], "verdict_rank"))
    sql = (
        f"INSERT INTO shelf ({', '.join(names)}, verdict_rank) VALUES ({', '.join('?' * (len(names) + 1))}) "
        f"ON CONFLICT (reel) DO UPDATE SET {sets}"
    )
    connection.executemany(sql, [(*row[1:], _RANK[row.verdict]) for row, _ in rows])
    connection.executemany("DELETE FROM tasks WHERE reel = ?", [(row.reel,) for row, _ in rows])
    for row, words in rows:
        (each,) = connection.execute("SELECT id FROM shelf WHERE reel = ?", (row.reel,)).fetchone()
        connection.execute("INSERT OR REPLACE INTO shelf_words (rowid, words) VALUES (?, ?)", (each, words))


def _match(words: str) -> str:
    """The words somebody types as a full-text query: each begins a word; nothing they type is part of the query's
    own language."""
    plain = words.replace("\0", " ").encode("utf-8", "replace").decode()
    return " ".join(f'"{word.replace(chr(34), chr(34) * 2)}"*' for word in plain.split())


def _clients(reader: Reader) -> dict[str, str]:
    rows = reader.raw("SELECT project, client FROM projects WHERE client IS NOT NULL ORDER BY entry")
    return dict(rows)


def _bare_row(house: House, number: str, clients: dict[str, str]) -> tuple[ShelfRow, str]:
    """A reel's row before its verdict is known."""
    reel, item = house.reel(number), house.item_of(number)
    formulation = item.formulation if item else ""
    row = ShelfRow(
        0, number, "", "", 0, 0, 0, reel.stock_item, formulation, reel.tracks, house.layout(number).length,
        reel.owner or "", reel.shelf or "", "", "", reel.note or "",
    )  # fmt: skip
    return row, _words_of(row, (), clients)


def _row(house: House, answer: Advice, clients: dict[str, str]) -> tuple[ShelfRow, str]:
    row, _ = _bare_row(house, answer.reel, clients)
    takes = {atom_take for atom in answer.recording.live.atoms for atom_take in atom.owners}
    projects = sorted({take.project for take in takes if take.project})
    grade = answer.best_grade
    owner = next((name for _, _, name in owners(answer.view) if name), row.owner)
    row = row._replace(
        verdict=answer.verdict,
        grade=grade or "",
        longest=answer.fit(grade).longest if grade else 0,
        wear=answer.fitness.wear_most,
        splices=sum(joint.kind != "leader" for joint in answer.fitness.joints),
        owner=owner,
        projects=", ".join(projects),
        says=answer.reasons[0].says if answer.reasons else "",
    )
    return row, _words_of(row, sorted({take.title for take in takes}), clients)


def _words_of(row: ShelfRow, titles: Iterable[str], clients: dict[str, str]) -> str:
    named = [clients[project] for project in row.projects.split(", ") if project in clients]
    parts = [part for part in re.split(r"\W+|_+", row.reel) if part]
    bare = [part.lstrip("0") for part in parts]
    return " ".join(
        (row.reel, *parts, *bare, row.stock_item, row.formulation, row.owner, row.projects, *named, *titles, row.note)
    )
