"""The random houses: the same for the same seed, possible in a real studio, and varied enough to try every rule."""

from __future__ import annotations

from collections import Counter

import pytest

from .book import Book, between, total
from .ground import survey
from .houses import AS_OF, random_house
from .judge import judge
from .texts import House, read_length

SEEDS = range(200)


@pytest.fixture(scope="module")
def houses() -> list[House]:
    """Two hundred houses."""
    return [random_house(seed) for seed in SEEDS]


def test_a_seed_makes_one_house_and_its_judgement_changes_nothing(houses: list[House]) -> None:
    for seed in (0, 1, 199):
        once = judge(houses[seed], AS_OF)
        assert random_house(seed) == houses[seed]
        assert judge(random_house(seed), AS_OF) == once
    assert houses[0] != houses[1]


def test_the_order_of_rows_means_nothing(houses: list[House]) -> None:
    for rows in houses[:40]:
        backwards = {file: list(reversed(found)) for file, found in rows.items()}
        assert judge(backwards, AS_OF) == judge(rows, AS_OF)


def test_every_place_lies_on_its_reel_and_only_unrecorded_tape_is_thrown_away(houses: list[House]) -> None:
    thrown = 0
    for rows in houses:
        book = Book({file: found for file, found in rows.items() if file != "voids.csv"}, AS_OF)
        for file, found in rows.items():
            for row in found:
                if "reel" not in row or not row.get("date"):
                    continue
                length = total(book.pieces_before(row["reel"], book.moment(row).start))
                if row.get("start") or row.get("end"):
                    assert 0 <= read_length(row["start"]) < read_length(row["end"]) <= length, (file, row)
                if row.get("at"):
                    assert 0 <= read_length(row["at"]) < length, (file, row)
        for edit in book.rows("edits.csv"):
            moment = book.moment(edit)
            if edit["to_reel"]:
                assert edit["to_reel"] != edit["reel"]
                assert 0 <= read_length(edit["to_at"]) <= total(book.pieces_before(edit["to_reel"], moment.end))
                continue
            thrown += 1
            pieces = book.pieces_before(edit["reel"], moment.end)
            for tape, low, high in between(pieces, read_length(edit["start"]), read_length(edit["end"])):
                for recording in survey(book).recordings:
                    assert not any(span[0] == tape and span[1] < high and low < span[2] for span in recording.spans), (
                        edit,
                        recording.row,
                    )
    assert thrown >= 10


def test_names_and_entry_numbers_are_given_once(houses: list[House]) -> None:
    voided = 0
    for rows in houses:
        for file, column in (("transfers.csv", "transfer"), ("takes.csv", "take"), ("holds.csv", "hold")):
            assert max(Counter(row[column] for row in rows.get(file, [])).values(), default=1) == 1
        if "voids.csv" in rows:
            facts = [row["entry"] for file, found in rows.items() if file != "voids.csv" for row in found]
            voids = rows["voids.csv"]
            assert len({*facts, *(row["void_entry"] for row in voids)}) == len(facts) + len(voids)
            assert {row["entry"] for row in voids} <= set(facts)
            voided += 1
    assert voided >= 40


def test_the_houses_try_every_verdict_and_reason(houses: list[House]) -> None:
    answers = [answer for rows in houses for answer in judge(rows, AS_OF).values()]
    verdicts = Counter(answer["verdict"] for answer in answers)
    assert set(verdicts) == {"keep", "retire", "blank", "clear", "inspect"}
    assert min(verdicts.values()) >= 15
    met = {code for answer in answers for code, _ in answer["recording_codes"]}
    assert met == {
        "not-transferred", "partly-transferred", "tracks-missing", "unlogged-recording", "overwritten",
        "format-too-low", "not-heard", "cooling-off", "too-few-copies", "one-medium", "none-elsewhere",
        "copy-check-failed", "copy-only-stated", "copy-check-old", "copy-unchecked", "on-hold", "no-release",
        "reference-tape", "not-here", "content-unknown", "stray-field", "set-not-clear", "nothing-recorded",
    }  # fmt: skip
    tape = {code for answer in answers for code in answer["tape_codes"]}
    assert tape == {
        "too-many-passes", "passes-unknown", "too-many-reuses", "high-frequency-loss", "damaged", "not-inspected",
        "wiped-not-heard", "batch-suspect", "sticky", "shedding", "vinegar", "mould", "retired",
    }  # fmt: skip
    may_go = [answer for answer in answers if answer["erasable"] == "yes"]
    assert 3 * sum(answer["live_kept"] for answer in may_go) >= len(may_go) >= 150
    for grade in ("critical", "standard", "scratch"):
        fit = Counter(answer["fit"][grade] for answer in answers)
        assert min(fit["yes"], fit["no"], fit["unknown"]) >= 50
