"""A tiny house made by hand, and rows to add to it: what the hand-worked examples are told with."""

from __future__ import annotations

from datetime import date

from .judge import Judgement, judge
from .texts import House, Row

AS_OF = date(2026, 6, 1)
HASH = "ab" * 32
PROJECT = {"project": "inn", "client": "client one", "release_needed": "no"}
TAKE = {
    "reel": "R1", "date": "2025-07-01", "project": "inn", "title": "river", "take": "1", "start": "50.0000 m",
    "end": "100.0000 m", "speed": "15 ips", "tracks": "", "state": "whole", "keep": "keep", "by": "Ada Quill",
}  # fmt: skip
INSPECTED = {"reel": "R1", "date": "2026-05-01", "kind": "inspection", "severity": "0", "start": "", "end": ""}
FIT_FOR_ALL = {"critical": "yes", "standard": "yes", "scratch": "yes"}


def house(**files: list[Row]) -> House:
    """A house of sealed 300 m reels R1 and R2 with three tracks, fit for every grade, and the rows given."""
    rows: House = {
        "formulations.csv": [{"formulation": "grey", "base": "polyester", "binder_watch": ""}],
        "stock_items.csv": [{"stock_item": "grey 2", "formulation": "grey", "width": "2 in", "length": "300.0000 m"}],
        "reels.csv": [
            {
                "reel": reel, "stock_item": "grey 2", "tracks": "3", "batch": "b1", "length": "", "owner": "house",
                "arrived_as": "sealed", "passes_before": "", "role": "",
            }
            for reel in ("R1", "R2")
        ],
        "projects.csv": [PROJECT],
        "findings.csv": [INSPECTED],
    }  # fmt: skip
    for name, added in files.items():
        rows[f"{name}.csv"] = rows.get(f"{name}.csv", []) + added
    return rows


def chain(**changes: str) -> dict[str, list[Row]]:
    """A take with its whole chain of proof; `transfer_date` and such change cells of one row."""
    chained: dict[str, list[Row]] = {
        "takes": [dict(TAKE)],
        "transfers": [
            {
                "transfer": "T1", "reel": "R1", "date": "2025-08-01", "start": "0.0000 m", "end": "300.0000 m",
                "speed": "15 ips", "tracks": "1-3", "sample_rate_hz": "48000", "bit_depth": "24",
            }
        ],
        "listens": [{"transfer": "T1", "date": "2025-08-02", "by": "Bo Tarn"}],
        "copies": [
            {"transfer": "T1", "copy": "c1", "medium": "drive red", "place": "here"},
            {"transfer": "T1", "copy": "c2", "medium": "drive blue", "place": "elsewhere"},
        ],
        "copy_checks": [
            {
                "transfer": "T1", "copy": copy, "date": "2025-08-03", "method": "read", "result": "pass",
                "manifest_sha256": HASH,
            }
            for copy in ("c1", "c2")
        ],
    }  # fmt: skip
    places = {"take": "takes", "transfer": "transfers", "listen": "listens", "copy": "copies", "check": "copy_checks"}
    for change, text in changes.items():
        kind, _, column = change.partition("_")
        chained[places[kind]][-1][column] = text
    return chained


def plus(files: dict[str, list[Row]], **more: list[Row]) -> dict[str, list[Row]]:
    """The same files with further rows."""
    return {name: files.get(name, []) + more.get(name, []) for name in [*files, *(set(more) - set(files))]}


def first(**files: list[Row]) -> Judgement:
    """The judgement of R1."""
    return judge(house(**files), AS_OF)["R1"]


def record(start: str, end: str, when: str = "2025-07-01", **cells: str) -> Row:
    """A record pass on R1."""
    return {"reel": "R1", "date": when, "kind": "record", "start": start, "end": end, "speed": "15 ips"} | cells


def codes(*texts: str) -> set[tuple[str, str]]:
    """`code` is severity no, `code?` a doubt, `code.` a note."""
    severities = {"?": "doubt", ".": "note"}
    return {(text.rstrip("?."), severities.get(text[-1], "no")) for text in texts}
