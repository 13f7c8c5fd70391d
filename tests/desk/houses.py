"""Houses for these tests: written as exchange folders, loaded, and looked at fact by fact and answer by answer."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path

import seed
from stock.core.facts import Fact
from stock.core.kinds import KINDS
from stock.core.moments import instant
from stock.core.reasons import Reason
from stock.desk.desk import Desk
from stock.desk.exchanging import Loaded, load
from stock.exchange.report import words

Rows = Mapping[str, list[dict[str, str]]]

DEMO = Path(seed.__file__).parent
NOW_US = instant(datetime(2026, 11, 20, 20, tzinfo=UTC))
"""The day the demo house is made for, in the evening."""


def at(text: str) -> int:
    """An instant written `2026-11-20T20:00`, UTC."""
    return instant(datetime.fromisoformat(text).replace(tzinfo=UTC))


def open_desk(folder: Path, who: str = "Ada Quill", now_us: Callable[[], int] = lambda: NOW_US) -> Desk:
    """The house in a folder, made where there is none."""
    return Desk.open(folder / "house.db", who, now_us=now_us)


def write_house(rows: Rows, folder: Path) -> Path:
    """An exchange folder of rows of cells by file name; columns in the order they first appear."""
    folder.mkdir(parents=True)
    for file, of_file in ((file, of_file) for file, of_file in rows.items() if of_file):
        columns = list(dict.fromkeys(column for row in of_file for column in row))
        with (folder / file).open("w", encoding="utf-8", newline="") as out:
            writer = csv.DictWriter(out, columns, restval="", lineterminator="\n", quoting=csv.QUOTE_ALL)
            writer.writeheader()
            writer.writerows(of_file)
    return folder


def load_well(desk: Desk, folder: Path) -> Loaded:
    """Load a folder in which nothing is wrong."""
    loaded = load(desk, folder)
    assert [words(problem) for problem in loaded.problems] == []
    return loaded


def facts_of(desk: Desk) -> list[Fact]:
    """Everything recorded, by entry: values, places, number, and when it was recorded."""
    with desk.store.reading() as reader:
        found = [fact for kind in KINDS for fact in reader.facts(kind)]
    return sorted(found, key=lambda fact: fact.entry or 0)


def answers_of(desk: Desk) -> dict[str, tuple[str, str, dict[str, str], list[Reason]]]:
    """Every reel's verdict, both answers and all reasons in their order."""
    return {
        advice.reel: (
            advice.verdict,
            advice.erasable,
            {grade: fit.answer for grade, fit in advice.fitness.grades.items()},
            advice.reasons,
        )
        for advice in desk.advise()
    }


def texts_of(paths: Iterable[Path]) -> dict[str, bytes]:
    """What stands in some files, by their names."""
    return {path.name: path.read_bytes() for path in paths}
