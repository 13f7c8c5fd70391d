"""The row of a dump for a fact: what `rows` reads back into the same fact."""

from __future__ import annotations

from stock.core.facts import Fact
from stock.core.kinds import Kind, columns
from stock.edge.cells import Context, amount_of, spell, width
from stock.edge.clock import spell_instant
from stock.edge.plan import own_number, place_columns
from stock.edge.tapes import spell_on_tape


def dump_columns(kind: Kind) -> tuple[str, ...]:
    """The columns of a kind's file as a dump writes it: its own fields, then what only a dump has."""
    own = [field.name for field in kind.fields]
    if kind.name == "decision":
        own.append("take_entry")
    own += [own_number(kind), "recorded_at"]
    return (*own, "on_tape") if kind.placed != "no" else tuple(own)


def spell_fact(fact: Fact, context: Context, start_end: tuple[str, str] | None) -> dict[str, str]:
    """The cells of a fact by column, in the order of `dump_columns`.

    start_end: what to write as its start and end (a point has its place as the start); None leaves them empty, which
    loses nothing, since `on_tape` says where it lies.
    """
    kind = fact.kind
    values = list(fact.values)
    names = [column.name for column in columns(kind)]
    places = dict(zip(place_columns(kind), start_end or ("", ""), strict=False))
    row: dict[str, str] = {}
    at = 0
    for field in kind.fields:
        if field.name in places:
            row[field.name] = places[field.name]
            continue
        parts = tuple(values[at : at + width(field.cell)])
        at += len(parts)
        if field.cell == "money" and isinstance(parts[0], int):
            row[field.name] = spell(field, (amount_of(parts[0], str(values[names.index("currency")])),), context)
        else:
            row[field.name] = spell(field, parts, context)
    if kind.name == "decision":
        row["take_entry"] = _number(values[at])
    row[own_number(kind)] = _number(fact.entry)
    row["recorded_at"] = "" if fact.recorded_us is None else spell_instant(fact.recorded_us)
    if kind.placed != "no":
        row["on_tape"] = spell_on_tape(fact.places)
    return row


def _number(entry: object) -> str:
    return "" if entry is None else str(entry)
