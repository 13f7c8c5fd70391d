"""Cells of every kind of fact for the small house, and ways to enter one and look at what it became."""

from __future__ import annotations

from stock.core.facts import Fact
from stock.core.kinds import BY_NAME, columns
from stock.desk.desk import Desk, throws_away
from stock.desk.editing import throw_away

FOOT = 3048
SECOND_AT_15 = 3810
"""Tape that passes in a second at 15 ips: 15 inches of 254 tenths of a millimetre."""
SHA = "cd" * 32

TAKE = {
    "reel": "R1", "date": "2026-03-02T10:00", "project": "inn", "title": "river", "take": "1", "start": "100 ft",
    "end": "400 ft", "speed": "15 ips", "tracks": "1-8",
}  # fmt: skip
TRANSFER = {
    "transfer": "T1", "reel": "R1", "date": "2026-04-02", "start": "90 ft", "end": "410 ft", "speed": "15 ips",
    "tracks": "1-8", "sample_rate_hz": "96000", "bit_depth": "24",
}  # fmt: skip
COPY = {"transfer": "T1", "copy": "c1", "medium": "drive red", "place": "here", "folder": "T1", "date": "2026-04-02"}
BEFORE: tuple[tuple[str, dict[str, str]], ...] = (
    ("take", TAKE),
    ("transfer", TRANSFER),
    ("copy", COPY),
    ("hold", {"hold": "h1", "reel": "R3", "reason": "asked for", "date": "2026-04-02"}),
    (
        "order",
        {
            "order": "PO 1", "date": "2026-04-02", "supplier": "Portside", "stock_item": "grey nine 2", "quantity": "8",
            "unit_price": "189.00", "currency": "EUR",
        },
    ),
)  # fmt: skip
"""What the facts below refer to."""

SAID = {"by": "Bo Tarn", "note": "said so"}
SPAN = {"start": "500 ft", "end": "600 ft", "speed": "15 ips"}
FULL: dict[str, dict[str, str]] = {
    "formulation": {
        "formulation": "brown four", "base": "acetate", "thickness": "2.1 mil", "back_coated": "yes",
        "level_nwb_m": "355", "binder_watch": "yes", "note": "old",
    },
    "stock-item": {
        "stock_item": "grey nine 1", "formulation": "grey nine", "width": "1 in", "length": "2500 ft",
        "reel_size": "10.5 in", "core": "4.5 in",
    },
    "machine": {
        "machine": "deck two", "width": "1 in", "tracks": "8", "largest_reel": "10.5 in", "speeds": "15 ips; 30 ips",
        "note": "the small one",
    },
    "reel": {
        "reel": "R9", "stock_item": "grey nine 2", "tracks": "16", "batch": "007", "length": "2400 ft",
        "owner": "house", "acquired": "2026-01-02", "arrived_as": "erased", "passes_before": "3", "role": "session",
        "price": "189.00", "currency": "EUR", "supplier": "Portside", "shelf": "A-1", "wind": "tails-out", "note": "n",
    },
    "owner": {"reel": "R1", "date": "2026-05-01", "owner": "Dee Client", **SAID},
    "zero-mark": {"reel": "R1", "date": "2026-05-01", "at": "60 ft", **SAID},
    "length": {"reel": "R2", "date": "2026-05-01", "length": "2450 ft", "how": "counter", **SAID},
    "set": {"set": "pair", "reel": "R1", "date": "2026-05-01", **SAID},
    "pass": {
        "reel": "R1", "date": "2026-05-01", "kind": "record", **SPAN, "tracks": "1 kick; 2-8", "count": "3",
        "take": "river/1", "machine": "deck one", **SAID,
    },
    "splice": {
        "reel": "R1", "date": "2026-05-01", "at": "700 ft", "speed": "15 ips", "kind": "repair", "state": "doubtful",
        **SAID,
    },
    "edit": {
        "reel": "R1", "date": "2026-05-01", **SPAN, "to_reel": "R2", "to_at": "10 ft", **SAID,
    },
    "finding": {
        "reel": "R1", "date": "2026-05-01", "kind": "dropout", "severity": "1", **SPAN, "tracks": "3", **SAID,
    },
    "response": {
        "reel": "R1", "date": "2026-05-01", "at": "20 ft", "speed": "15 ips", "machine": "deck one", "track": "1",
        "frequency_hz": "10 kHz", "level_db": "-0.4", "tone": "kept", **SAID,
    },
    "take": {
        **TAKE, "take": "2", "state": "whole", "keep": "keep", "machine": "deck one", "noise_reduction": "none",
        "equalisation": "house", "level_nwb_m": "355", **SAID,
    },
    "decision": {
        "reel": "R1", "project": "inn", "title": "river", "take": "1", "date": "2026-05-01", "keep": "keep", **SAID,
    },
    "stripe": {
        "reel": "R1", "date": "2026-05-01", "track": "8", "at": "5 ft", "start_code": "01:00:00:00", "rate": "25",
        **SAID,
    },
    "transfer": {**TRANSFER, "transfer": "T2", **SAID},
    "listen": {"transfer": "T1", "date": "2026-05-01", **SAID},
    "copy": {**COPY, "copy": "c2", "by": "Bo Tarn"},
    "copy-file": {
        "transfer": "T1", "copy": "c1", "path": "data/01.wav", "bytes": "576000000", "sha256": SHA, "track": "1",
    },
    "copy-check": {
        "transfer": "T1", "copy": "c1", "date": "2026-05-01", "method": "read", "result": "pass",
        "manifest_sha256": SHA, **SAID,
    },
    "hold": {"hold": "h2", "reel": "R1", "date": "2026-05-01", "until": "2030-01-01", "reason": "r", "by": "Bo Tarn"},
    "hold-end": {"hold": "h1", "date": "2026-05-01", **SAID},
    "release": {"reel": "R1", "project": "inn", "date": "2026-05-01", "granted_by": "Dee Client", **SAID},
    "retirement": {"reel": "R2", "date": "2026-05-01", "reason": "worn", **SAID},
    "move": {"reel": "R1", "date": "2026-05-01", "kind": "out", "to": "Dee Client", **SAID},
    "reservation": {"reel": "R2", "project": "inn", "date": "2026-05-01", "until": "2027-01-01", **SAID},
    "project": {
        "project": "barn", "client": "Dee Client", "from": "2026-12-01", "to": "2027-01-31", "chance": "80 %",
        "stock_item": "grey nine 2", "speed": "15 ips", "tracks": "8", "titles": "9", "length_low": "3:00",
        "length_likely": "4:00", "length_high": "9:00", "takes_low": "1", "takes_likely": "3", "takes_high": "9",
        "false_starts": "0.2", "mode": "through", "cool_days": "3", "days_back": "30", "passes_per_take": "6.5",
        "client_buys": "no", "release_needed": "yes", "grade": "critical",
    },
    "quote": {
        "supplier": "Portside", "stock_item": "grey nine 2", "date": "2026-05-01", "from_quantity": "8",
        "unit_price": "180.00", "currency": "EUR", "pricing": "all-units", "minimum": "1", "case": "4",
        "order_fee": "18.00", "lead_low": "20", "lead_likely": "30", "lead_high": "50", "valid_until": "2027-03-31",
    },
    "order": {**BEFORE[4][1], "order": "PO 2", "expected": "2027-01-01"},
    "receipt": {
        "order": "PO 1", "date": "2026-05-01", "stock_item": "grey nine 2", "quantity": "8", "first_reel": "R1",
        "batch": "007", "by": "Bo Tarn",
    },
    "mark": {"reel": "R1", "date": "2026-05-01", "at": "310 ft", "speed": "15 ips", "take": "river/1", **SAID},
    "rule": {"rule": "cooling_days", "value": "30", "date": "2026-05-01", **SAID},
}  # fmt: skip


def fact(desk: Desk, entry: int) -> Fact:
    with desk.store.reading() as reader:
        found = reader.fact(entry)
    assert found is not None
    return found


def value(found: Fact, column: str) -> object:
    return found.values[[each.name for each in columns(found.kind)].index(column)]


def add(desk: Desk, kind: str, /, **cells: str) -> int:
    """Enter one fact; its entry. Tape is thrown away by somebody who reads the label."""
    if throws_away(BY_NAME[kind], cells):
        return throw_away(desk, cells, label=cells["reel"]).entries[0]
    return desk.add(kind, cells).entries[0]


def spans(desk: Desk, entry: int) -> list[tuple[str, float, float]]:
    """The tape a fact lies on, in feet."""
    return [(tape, lo / FOOT, hi / FOOT) for tape, lo, hi in fact(desk, entry).places]
