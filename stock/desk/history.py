"""The dated list of all that is recorded about one reel."""

from __future__ import annotations

from typing import Any, NamedTuple

from stock.core.facts import Fact
from stock.core.house import House
from stock.core.kinds import BY_NAME, KINDS, Kind
from stock.core.measure import Speed
from stock.core.moments import date_of, datetime_of
from stock.core.words import speed_words
from stock.desk.laying import reader_of
from stock.edge.cells import Context, spell, width
from stock.store.reader import Reader

_UNSAID = frozenset({"reel", "date", "by", "note", "take_entry"})
_SAID_AS = {
    **dict.fromkeys(("kind", "title", "take", "project", "state", "speed", "method", "result", "reason", "tone"), "{}"),
    "keep": "marked {}",
    "level_nwb_m": "{} nWb/m",
    "level_db": "{} dB",
    "frequency_hz": "at {}",
    "sample_rate_hz": "{}",
    "bit_depth": "{} bit",
    "count": "{} times",
    "start_code": "from {}",
    "rate": "{} frames a second",
    "from": "from {}",
    "to": "to {}",
}
"""How a value is said where its column's name would not do."""


class HistoryLine(NamedTuple):
    """One fact in words.

    when: the day or the moment, house's time, empty where undated. spans: the reel places it lies on now. voided: the
    void's entry, its reason and who voided it, or None.
    """

    entry: int
    kind: Kind
    when: str
    says: str
    by: str
    note: str
    spans: tuple[tuple[int, int], ...]
    voided: tuple[int, str, str] | None


def history(reader: Reader, house: House, reel: str) -> list[HistoryLine]:
    """All facts about a reel and the tape on it as of the house's moment, oldest first, voided ones too."""
    facts = _facts(reader, house, reel)
    voids = _voids(reader, house, {fact.entry or 0 for fact in facts})
    context = Context(house.calendar)
    layout = house.layout(reel)
    lines = []
    for fact in facts:
        get = reader_of(fact.kind).get
        day, at_us = get(fact.values, "day"), get(fact.values, "at_us")
        if not house.as_of.has(day, at_us):
            continue
        spans = [span for piece in fact.places if piece.lo < piece.hi for span in layout.project(*piece)]
        points = [layout.project_point(piece.tape, piece.lo) for piece in fact.places if piece.lo == piece.hi]
        spans += [(at, at) for at in points if at is not None]
        moment = house.calendar.loosens(day, at_us)
        line = HistoryLine(
            fact.entry or 0,
            fact.kind,
            _when(house, day, at_us),
            fact_words(fact, context),
            str(get(fact.values, "by") or ""),
            str(get(fact.values, "note") or ""),
            tuple(spans),
            voids.get(fact.entry or 0),
        )
        lines.append((moment, line))
    return [line for _, line in sorted(lines, key=lambda pair: (pair[0], pair[1].entry))]


def _when(house: House, day: int | None, at_us: int | None) -> str:
    if day is None and at_us is None:
        return ""
    if day is not None:
        return date_of(day).isoformat()
    assert at_us is not None
    return datetime_of(at_us).astimezone(house.calendar.zone).strftime("%Y-%m-%d %H:%M")


def _facts(reader: Reader, house: House, reel: str) -> list[Fact]:
    """Facts entered for the reel, facts on the tape now on it, and what is said of its transfers, takes and holds."""
    layout = house.layout(reel)
    tapes = {piece.tape for piece in (*layout.pieces, *layout.beyond)}
    found: dict[int, Fact] = {}
    names: dict[str, set[Any]] = {"transfer": set(), "hold": set(), "take": set()}
    for kind in KINDS:
        if "reel" in reader_of(kind).at:
            for fact in reader.facts(kind, reel=reel):
                found[fact.entry or 0] = fact
        if kind.placed != "no" and tapes:
            marks = ", ".join("?" * len(tapes))
            here = {
                entry for (entry,) in reader.iterate(f"SELECT entry FROM {kind.file} WHERE tape IN ({marks})", [*tapes])
            }
            sql = (
                f"SELECT k.entry FROM {kind.file} AS k JOIN places AS p ON p.entry = k.entry WHERE p.tape IN ({marks})"
            )
            here |= {entry for (entry,) in reader.iterate(sql, [*tapes])}
            for fact in reader.facts(kind, entries=here - found.keys()):
                if any(
                    layout.project(*piece) or layout.project_point(piece.tape, piece.lo) is not None
                    for piece in fact.places
                ):
                    found[fact.entry or 0] = fact
    for fact in found.values():
        if fact.kind.name in ("transfer", "hold"):
            names[fact.kind.name].add(reader_of(fact.kind).get(fact.values, fact.kind.name))
        elif fact.kind.name == "take":
            names["take"].add(fact.entry)
    for name, column, kind_names in (
        ("transfer", "transfer", ("listen", "copy", "copy-check")),
        ("hold", "hold", ("hold-end",)),
        ("take", "take_entry", ("decision",)),
    ):
        for kind_name in kind_names:
            kind = BY_NAME[kind_name]
            for key in names[name]:
                rows = reader.iterate(f'SELECT entry FROM {kind.file} WHERE "{column}" = ?', (key,))
                for fact in reader.facts(kind, entries=[entry for (entry,) in rows]):
                    found[fact.entry or 0] = fact
    return list(found.values())


def _voids(reader: Reader, house: House, entries: set[int]) -> dict[int, tuple[int, str, str]]:
    rows = reader.iterate('SELECT target, entry, reason, "by" FROM voids')
    return {target: (entry, reason, by) for target, entry, reason, by in rows if target in entries}


def fact_words(fact: Fact, context: Context) -> str:
    """A fact's own values in the order of its columns, empty ones left out."""
    parts: list[str] = []
    at = 0
    places = {"span": ("start", "end"), "point": ("at",)}.get(fact.kind.placed, ())
    for field in fact.kind.fields:
        if field.name in places:
            continue
        if fact.kind.name == "void" and field.name == "entry":
            at += 1
            continue
        stored = fact.values[at : at + width(field.cell)]
        at += len(stored)
        once = field.name == "count" and stored[0] == 1
        if field.name in _UNSAID or stored[0] is None or field.cell == "money" or once:
            continue
        if field.cell == "speed":
            text = speed_words(Speed(int(stored[0]), int(stored[1] or 0)))
        else:
            text = spell(field, stored, context)
        parts.append(_SAID_AS.get(field.name, f"{field.name.replace('_', ' ')} {{}}").format(text))
    return ", ".join(parts)
