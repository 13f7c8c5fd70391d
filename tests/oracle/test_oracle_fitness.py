"""Is the tape fit: the second judge on tiny houses, with answers worked out by hand from the rules as worded."""

from __future__ import annotations

import pytest

from .judge import judge
from .texts import Row
from .tiny import AS_OF, FIT_FOR_ALL, INSPECTED, first, house, record

WIPED = {"reel": "R1", "date": "2025-01-01", "method": "bulk"}


def finding(kind: str, severity: str, day: str, start: str = "", end: str = "") -> Row:
    """A finding on R1."""
    return {"reel": "R1", "date": day, "kind": kind, "severity": severity, "start": start, "end": end}


def splice(state: str, kind: str = "edit", day: str = "2025-01-01") -> Row:
    """A splice in the middle of R1, which leaves no useful stretch on either side of it."""
    return {"reel": "R1", "date": day, "at": "150.0000 m", "kind": kind, "state": state}


def checked(level_db: str, day: str, track: str = "1") -> Row:
    """A response check on R1."""
    cells = {"reel": "R1", "at": "20.0000 m", "speed": "15 ips", "machine": "", "frequency_hz": "10000"}
    return cells | {"date": day, "track": track, "level_db": level_db}


CONDITION: dict[str, tuple[dict[str, list[Row]], str]] = {
    "thirty passes": ({"passes": [record("", "", kind="play", count="30")]}, "yes yes yes"),
    "thirty and a wind": (
        {"passes": [record("", "", kind="play", count="30"), record("", "", kind="wind")]}, "no yes yes",
    ),
    "too many passes at the head alone": (
        {"passes": [record("0.0000 m", "50.0000 m", kind="play", count="500")]}, "yes yes yes",
    ),
    "wiped, heard on the same day": (
        {"wipes": [WIPED], "findings": [finding("listened", "0", "2025-01-01")]},
        "unknown unknown unknown",
    ),
    "wiped, heard the day after": (
        {"wipes": [WIPED], "findings": [finding("listened", "0", "2025-01-02")]},
        "yes yes yes",
    ),
    "wiped twice, heard": (
        {
            "wipes": [WIPED, WIPED | {"date": "2024-01-01"}],
            "findings": [finding("listened", "0", "2025-01-02")],
        },
        "no yes yes",
    ),
    "a sound splice": ({"splices": [splice("sound")]}, "no no yes"),
    "a doubtful splice": ({"splices": [splice("doubtful")]}, "no no no"),
    "a doubtful splice made anew": ({"splices": [splice("doubtful"), splice("sound", day="2025-01-02")]}, "no no yes"),
    "a splice found doubtful the day it was made": ({"splices": [splice("doubtful"), splice("sound")]}, "no no no"),
    "leader": ({"splices": [splice("sound", "leader")]}, "no no no"),
    "dropouts": ({"findings": [finding("dropout", "2", "2025-01-01")]}, "no no yes"),
    "dropouts, lighter later": (
        {"findings": [finding("dropout", "2", "2025-01-01"), finding("dropout", "1", "2025-02-01")]}, "no no yes",
    ),
    "dropouts, gone later": (
        {"findings": [finding("dropout", "2", "2025-01-01"), finding("dropout", "0", "2025-02-01")]}, "yes yes yes",
    ),
    "a bent edge does not heal": (
        {"findings": [finding("edge", "1", "2025-01-01"), finding("edge", "0", "2025-02-01")]}, "no yes yes",
    ),
    "vinegar on polyester": ({"findings": [finding("vinegar", "1", "2025-01-01")]}, "no yes yes"),
    "mould": ({"findings": [finding("mould", "1", "2025-01-01")]}, "no no no"),
    "retired": ({"retirements": [{"reel": "R1", "date": "2025-01-01"}]}, "no no no"),
    "the response fell by 1 dB": (
        {"response": [checked("0", "2024-01-01"), checked("-1", "2025-01-01")]}, "yes yes yes",
    ),
    "the response fell by 1.5 dB": (
        {"response": [checked("0.5", "2024-01-01"), checked("-1", "2025-01-01")]}, "no yes yes",
    ),
    "two tracks are no pair": (
        {"response": [checked("0.5", "2024-01-01"), checked("-9", "2025-01-01", track="2")]}, "yes yes yes",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "expected"), CONDITION.values(), ids=CONDITION.keys())
def test_condition_and_grades(rows: dict[str, list[Row]], expected: str) -> None:
    assert " ".join(first(**rows)["fit"].values()) == expected


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2026-03-03", "yes yes yes"),
        ("2026-03-02", "unknown yes yes"),
        ("2025-06-01", "unknown yes yes"),
        ("2025-05-31", "unknown unknown yes"),
    ],
)
def test_an_inspection_ages(day: str, expected: str) -> None:
    rows = house(passes=[record("", "", "2025-01-01", kind="play")])
    rows["findings.csv"] = [finding("inspection", "0", day)]
    assert " ".join(judge(rows, AS_OF)["R1"]["fit"].values()) == expected


def test_sticky_tape_is_retired_and_its_batch_suspect_until_inspected() -> None:
    rows = house(findings=[finding("sticky", "1", "2025-01-01")])
    answers = judge(rows, AS_OF)
    assert (answers["R1"]["verdict"], answers["R2"]["verdict"]) == ("retire", "inspect")
    rows["findings.csv"].append(INSPECTED | {"reel": "R2", "date": "2025-01-01"})
    assert judge(rows, AS_OF)["R2"]["verdict"] == "inspect"
    rows["findings.csv"].append(INSPECTED | {"reel": "R2", "date": "2025-01-02"})
    assert judge(rows, AS_OF)["R2"]["verdict"] == "blank"


def test_a_join_is_a_splice_and_the_useful_stretch_is_exact() -> None:
    # 10 m put in at 100 m: 310 m of tape with joins at 100 and 110 m. At 15 in/s the tail is 11.43 m and the guard
    # 0.762 m, so from 110.762 to 298.57 m lie 187.808 m.
    edit = {"reel": "R2", "date": "2025-01-01", "start": "0.0000 m", "end": "10.0000 m", "to_reel": "R1"}
    rows = house(edits=[edit | {"to_at": "100.0000 m"}])
    rows["rules.csv"] = [{"rule": "shortest_stretch", "value": "187.8080 m", "date": "2024-01-01", "by": "Ada Quill"}]
    assert judge(rows, AS_OF)["R1"]["fit"] == FIT_FOR_ALL
    rows["rules.csv"][0]["value"] = "187.8081 m"
    assert judge(rows, AS_OF)["R1"]["fit"] == {"critical": "no", "standard": "no", "scratch": "yes"}
