"""A house made to be hard to write down: every kind of fact, with names and notes that files trip over.

Reels called like separators, notes with quotes, lines and formulas, counter times from zero marks, timecode places,
lengths measured again, edits dated by day and by minute, two in one minute, names voided and given again.
"""

from __future__ import annotations

SHA = "ab" * 32
FIRST, SECOND, THIRD = "50%; A:1", "=R 2", "'R:3%3B"
NOTE = "she said \"no, twice\"\n=SUM(A1:A9)\n'and again'; 100 % [/] it"


def _reel(number: str, **cells: str) -> dict[str, str]:
    usual = {
        "stock_item": "odd; 1/2:",
        "tracks": "8",
        "owner": "house",
        "arrived_as": "sealed",
        "acquired": "2025-01-07",
    }
    return {"reel": number, **usual, **cells}


def _guarded(text: str) -> str:
    """As a file has to hold a text that begins like a formula."""
    return f"'{text}" if text[0] in "'=+-@\t" else text


def _take(reel: str, take: str, start: str, end: str, **cells: str) -> dict[str, str]:
    usual = {"project": "a:b;c%d", "title": "=x", "speed": "15 ips", "tracks": "1 kick; 2 'room'; 3-8", "by": "Bo Tarn"}
    return {"reel": reel, "date": "2026-03-02", **usual, "take": take, "start": start, "end": end, **cells}


def _transfer(name: str, reel: str, start: str, end: str, **cells: str) -> dict[str, str]:
    usual = {"date": "2026-05-04", "speed": "15 ips", "tracks": "1-8", "sample_rate_hz": "96 kHz", "bit_depth": "24"}
    return {"transfer": name, "reel": reel, **usual, "start": start, "end": end, **cells}


_ROWS: dict[str, list[dict[str, str]]] = {
    "formulations.csv": [
        {"formulation": "-7 %", "base": "polyester", "thickness": "2.1 mil", "level_nwb_m": "355.5", "note": NOTE}
    ],
    "stock_items.csv": [
        {"stock_item": "odd; 1/2:", "formulation": "-7 %", "width": "2 in", "length": "2500 ft", "reel_size": "10.5 in"}
    ],
    "machines.csv": [{"machine": "@deck", "width": "2 in", "tracks": "8", "speeds": "15 ips; 30 ips", "note": '"'}],
    "reels.csv": [
        _reel(FIRST, price="189.00", currency="EUR", supplier="+Portside", shelf="-3", wind="tails-out", note=NOTE),
        _reel(SECOND, length="700.1234 m", passes_before="3", arrived_as="erased", batch="007"),
        _reel(THIRD, length="2400 ft", owner="Dee; Client"),
        _reel("R4", role="master"),
    ],
    "owners.csv": [{"reel": SECOND, "date": "2026-03-01", "owner": "50% Dee:", "by": "Cy Wren", "note": "+1"}],
    "zero_marks.csv": [
        {"reel": FIRST, "date": "2026-02-02", "at": "60 ft", "by": "Bo Tarn"},
        {"reel": FIRST, "date": "2026-06-01T10:00", "at": "70 ft", "by": "Bo Tarn"},
    ],
    "marks.csv": [
        {"reel": FIRST, "date": "2026-03-03", "at": "-0:10", "speed": "15 ips", "take": "=2", "note": "two\nlines"},
        {"reel": THIRD, "date": "2026-03-03T10:00", "at": "100 ft", "by": "Bo Tarn"},
    ],
    "lengths.csv": [
        {"reel": THIRD, "date": "2026-04-01", "length": "2300 ft", "how": "counter, twice", "by": "Bo Tarn"},
        {"reel": THIRD, "date": "2026-06-20T09:00", "length": "2310 ft", "by": "Bo Tarn", "entry": "907"},
    ],
    "sets.csv": [
        {"set": "a;b", "reel": FIRST, "date": "2026-03-02", "by": "Bo Tarn"},
        {"set": "a;b", "reel": "R4", "by": "Bo Tarn"},
    ],
    "passes.csv": [
        {"reel": FIRST, "date": "2026-03-02", "kind": "play", "count": "4", "machine": "@deck", "note": "\ttwo\nlines"},
        {"reel": FIRST, "date": "2026-03-02", "kind": "play", "count": "4", "machine": "@deck", "note": "\ttwo\nlines"},
        # counted from a zero mark, and before it
        {"reel": FIRST, "date": "2026-03-03", "kind": "record", "start": "-0:20", "end": "1:00", "speed": "15 ips +3%"},
        {"reel": THIRD, "date": "2026-03-02T23:59:59.000001Z", "kind": "wind"},
    ],
    "splices.csv": [{"reel": FIRST, "date": "2026-02-03", "at": "300 ft", "kind": "repair", "state": "doubtful"}],
    "edits.csv": [
        {"reel": FIRST, "date": "2026-03-20", "start": "1000 ft", "end": "1100 ft", "to_reel": SECOND, "to_at": "0 ft"},
        # two in one minute, both places as the reel was before it
        {"reel": SECOND, "date": "2026-03-21T11:00", "start": "0 ft", "end": "50 ft", "to_reel": "R4"},
        {
            "reel": SECOND,
            "date": "2026-03-21T11:00",
            "start": "80 ft",
            "end": "90 ft",
            "to_reel": "R4",
            "to_at": "0 ft",
        },
        {"reel": "R4", "date": "2026-03-22", "start": "2400 ft", "end": "2520 ft", "to_reel": "R4", "to_at": "0 ft"},
        {"reel": "R4", "date": "2026-03-23", "start": "2:00", "end": "2:20", "speed": "15 ips", "entry": "904"},
        {"reel": THIRD, "date": "2026-05-20T09:00", "start": "2000 ft", "end": "2010 ft", "note": NOTE},
    ],
    "findings.csv": [
        {"reel": FIRST, "date": "2026-06-02", "kind": "inspection", "severity": "0"},
        # across the join that the first edit made
        {"reel": FIRST, "date": "2026-06-02", "kind": "edge", "severity": "2", "start": "950 ft", "end": "1050 ft"},
        {"reel": SECOND, "date": "2026-06-02", "kind": "listened", "severity": "0", "tracks": "1-8", "by": "Cy Wren"},
    ],
    "response.csv": [
        {
            "reel": FIRST,
            "date": "2026-02-02",
            "at": "1:00",
            "speed": "15 ips",
            "machine": "@deck",
            "track": "1",
            "frequency_hz": "10 kHz",
            "level_db": "-0.4",
            "tone": "fresh",
        },
        {"reel": FIRST, "date": "2026-02-02", "frequency_hz": "1000", "level_db": "0"},
    ],
    "takes.csv": [
        _take(FIRST, "1", "0:30", "4:00"),
        _take(FIRST, "2", "5:00", "9:00", keep="tones", by=""),
        _take("R4", "1", "01:00:10:00", "01:02:00:00", date="2026-03-02T12:00"),
        _take(THIRD, "1", "10 ft", "500 ft", entry="901", note="the wrong reel"),
        _take(THIRD, "9", "0 ft", "2400 ft", entry="902", state="whole"),
        _take(THIRD, "9", "100 ft", "300 ft", date="2026-03-03", entry="903"),
    ],
    "decisions.csv": [
        {
            "reel": FIRST,
            "title": "=x",
            "take": "1",
            "date": "2026-05-01",
            "keep": "discard",
            "by": "Cy Wren",
            "note": NOTE,
        },
        # means a take that was voided afterwards, for there is no other
        {"reel": THIRD, "title": "=x", "take": "1", "date": "2026-05-01", "keep": "keep", "by": "Cy Wren"},
        # means the older one, for the newer was voided
        {"reel": THIRD, "title": "=x", "take": "9", "date": "2026-05-01", "keep": "keep", "by": "Cy Wren"},
    ],
    "stripes.csv": [
        {"reel": "R4", "date": "2026-03-01", "track": "8", "start_code": "01:00:00:00", "rate": "25"},
        {"reel": "R4", "date": "2026-03-24T10:00", "at": "50 ft", "start_code": "10:00:00;02", "rate": "29.97 drop"},
    ],
    "transfers.csv": [
        _transfer("T;1", FIRST, "0 ft", "2400 ft"),
        _transfer("T:2", FIRST, "1:00", "2:00", entry="905"),
        _transfer("T:2", FIRST, "1:00", "2:30", note=NOTE),
        _transfer("-T 3", "R4", "10:00:01;00", "10:00:30;00"),
        _transfer("T4", THIRD, "0 ft", "100 ft", entry="906"),
    ],
    "listens.csv": [
        {"transfer": "T;1", "date": "2026-05-06", "by": "Cy Wren"},
        {"transfer": "T4", "date": "2026-05-06", "by": "Cy Wren", "entry": "908"},
    ],
    "copies.csv": [
        {
            "transfer": "T;1",
            "copy": "a:1",
            "medium": "drive; red",
            "place": "here",
            "folder": "=x/y",
            "date": "2026-05-04",
        },
        {"transfer": "T;1", "copy": "b", "medium": "drive blue", "place": "elsewhere", "by": "Bo Tarn"},
    ],
    "copy_files.csv": [
        {"transfer": "T;1", "copy": "a:1", "path": "data/'01 kick;.wav", "bytes": "9", "sha256": SHA, "track": "1"}
    ],
    "copy_checks.csv": [
        {
            "transfer": "T;1",
            "copy": "a:1",
            "date": "2026-05-05",
            "method": "read",
            "result": "pass",
            "manifest_sha256": SHA.upper(),
        },
        {"transfer": "T;1", "copy": "b", "date": "2026-05-05T10:00+02:00", "method": "stated", "result": "fail"},
    ],
    "holds.csv": [
        {"hold": "h: 1%", "reel": SECOND, "date": "2026-03-21", "until": "2030-01-01", "reason": NOTE, "by": "Cy Wren"}
    ],
    "hold_ends.csv": [{"hold": "h: 1%", "date": "2026-09-01", "by": "Cy Wren"}],
    "releases.csv": [
        {"reel": FIRST, "project": "a:b;c%d", "date": "2026-06-01", "granted_by": "Dee; Client"},
        {"reel": SECOND, "date": "2026-06-01", "granted_by": "50% Dee:"},
    ],
    "wipes.csv": [
        {"reel": SECOND, "date": "2026-07-01", "method": "bulk", "second": "Bo Tarn", "certificate": SHA},
        {"reel": THIRD, "date": "2026-07-01", "method": "machine", "start": "0:10", "end": "1:00", "speed": "7.5 ips"},
    ],
    "retirements.csv": [{"reel": THIRD, "date": "2026-08-01", "reason": "+/- worn", "note": NOTE}],
    "moves.csv": [
        {"reel": FIRST, "date": "2026-03-01", "kind": "out", "to": "=Dee"},
        {"reel": FIRST, "date": "2026-03-02", "kind": "back"},
    ],
    "reservations.csv": [{"reel": FIRST, "project": "nobody; entered it", "date": "2026-08-01", "until": "2027-01-01"}],
    "projects.csv": [
        {
            "project": "a:b;c%d",
            "client": "50% Dee:",
            "from": "2026-01-01",
            "to": "2027-01-01",
            "chance": "80 %",
            "stock_item": "odd; 1/2:",
            "speed": "15 ips -1.25%",
            "length_low": "3:00",
            "length_likely": "1:02:03.5",
            "false_starts": "0.125",
            "passes_per_take": "2.5",
            "release_needed": "yes",
        }
    ],
    "quotes.csv": [
        {
            "supplier": "+Portside",
            "stock_item": "odd; 1/2:",
            "unit_price": "21900",
            "currency": "JPY",
            "valid_until": "2027-03-31",
        }
    ],
    "orders.csv": [
        {
            "order": "=PO:1",
            "date": "2026-11-08",
            "supplier": "+Portside",
            "stock_item": "odd; 1/2:",
            "quantity": "8",
            "unit_price": "1.125",
            "currency": "KWD",
            "expected": "2027-01-02",
        }
    ],
    "receipts.csv": [
        {"order": "=PO:1", "date": "2026-11-09", "stock_item": "odd; 1/2:", "quantity": "3", "first_reel": FIRST}
    ],
    "rules.csv": [
        {"rule": "time_zone", "value": "Europe/Oslo", "date": "2025-01-01", "by": "Cy Wren"},
        {"rule": "response_fall_critical", "value": "1.5 dB", "date": "2025-01-01", "by": "Cy Wren", "note": NOTE},
        {"rule": "splice_guard_s", "value": "2.5", "date": "2025-01-01", "by": "Cy Wren"},
        {"rule": "usual_speed", "value": "38.1 cm/s", "date": "2025-01-01T12:00", "by": "Cy Wren"},
    ],
    "voids.csv": [
        {"entry": str(entry), "date": "2026-10-01", "reason": NOTE, "by": "Cy; Wren"}
        for entry in (901, 903, 904, 905, 906, 907, 908)
    ],
}

ODD = {
    file: [{column: _guarded(cell) if cell else cell for column, cell in row.items()} for row in rows]
    for file, rows in _ROWS.items()
}
"""The rows by file, as a file holds them."""
