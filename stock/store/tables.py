"""The store's tables, made from the kinds of facts: one table for each kind, the journal, further places, the house."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import BigInteger, Column, ForeignKey, Index, Integer, MetaData, PrimaryKeyConstraint, Table, Text

from stock.core.kinds import KINDS, Kind, columns
from stock.store import triggers

STEPS = ("0001", "0002")
"""All schema steps, oldest first; each has its module in `stock.store.migrations`."""

SCHEMA = STEPS[-1]
"""The schema step of the tables below."""

NUMBER = BigInteger().with_variant(Integer(), "sqlite")
"""64 bits in every database; a strict SQLite table knows the type as INTEGER only."""

BY_TRANSFER = frozenset({"transfers", "listens", "copies", "copy_files", "copy_checks"})
"""Tables read by the name of a transfer."""


def build() -> MetaData:
    """All tables and indexes of the newest schema."""
    metadata = MetaData()
    Table(
        "journal",
        metadata,
        Column("line", NUMBER, autoincrement=False, nullable=False),
        Column("at_us", NUMBER, nullable=False),
        Column("who", Text, nullable=False),
        Column("what", Text, nullable=False),
        Column("facts", NUMBER, nullable=False),
        Column("first_entry", NUMBER),
        Column("last_entry", NUMBER),
        Column("content_sha256", Text, nullable=False),
        Column("previous_sha256", Text, nullable=False),
        Column("sha256", Text, nullable=False),
        PrimaryKeyConstraint("line"),
        sqlite_strict=True,
    )
    Table(
        "house",
        metadata,
        Column("name", Text, nullable=False),
        Column("value", Text, nullable=False),
        PrimaryKeyConstraint("name"),
        sqlite_strict=True,
    )
    Table(
        "schema_steps",
        metadata,
        Column("step", Text, nullable=False),
        PrimaryKeyConstraint("step"),
        sqlite_strict=True,
    )
    Table(
        "places",
        metadata,
        Column("entry", NUMBER, autoincrement=False, nullable=False),
        Column("seq", NUMBER, nullable=False),
        Column("tape", Text, nullable=False),
        Column("lo", NUMBER, nullable=False),
        Column("hi", NUMBER, nullable=False),
        PrimaryKeyConstraint("entry", "seq"),
        Index("ix_places_tape", "tape"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    for kind in KINDS:
        _fact_table(metadata, kind)
    return metadata


def trigger_statements() -> Iterator[str]:
    """The SQLite triggers of the newest schema, in the order they are made."""
    yield from triggers.append_only("journal", "line")
    yield from triggers.append_only("house", "name")
    yield from triggers.append_only("schema_steps", "step")
    yield from triggers.append_only("places", "entry", "seq")
    for kind in KINDS:
        yield from triggers.append_only(kind.file, "entry")
    yield triggers.voided_once()


def _fact_table(metadata: MetaData, kind: Kind) -> None:
    stored = columns(kind)
    names = {column.name for column in stored}
    parts: list[Column[int] | Column[str] | Index | PrimaryKeyConstraint] = [
        Column("entry", NUMBER, autoincrement=False, nullable=False),
        Column("line", NUMBER, ForeignKey("journal.line"), nullable=False),
        Column("recorded_us", NUMBER, nullable=False),
    ]
    for column in stored:
        if column.integer:
            parts.append(Column(column.name, NUMBER, nullable=column.nullable))
        else:
            parts.append(Column(column.name, Text, nullable=column.nullable))
    if kind.placed != "no":
        parts += [Column("tape", Text), Column("lo", NUMBER), Column("hi", NUMBER)]
    parts.append(PrimaryKeyConstraint("entry"))
    if kind.placed != "no":
        parts.append(Index(f"ix_{kind.file}_tape", "tape"))
    if "reel" in names:
        parts.append(Index(f"ix_{kind.file}_reel", "reel"))
    if kind.file in BY_TRANSFER:
        parts.append(Index(f"ix_{kind.file}_transfer", "transfer"))
    if kind.name == "void":
        parts.append(Index("ix_voids_target", "target", unique=True))
    Table(kind.file, metadata, *parts, sqlite_strict=True)
