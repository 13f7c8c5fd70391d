"""Step 0001 makes everything: the journal, the house, the places, and a table for each kind of fact."""

from __future__ import annotations

from collections.abc import Iterator

from alembic.operations import Operations
from sqlalchemy import Column, ForeignKey, PrimaryKeyConstraint, Text

from stock.store import triggers
from stock.store.tables import NUMBER

# A name with # holds whole numbers, else text; one with ! is never empty.
OTHERS = {
    "journal": (
        "line#! at_us#! who! what! facts#! first_entry# last_entry# content_sha256! previous_sha256! sha256!",
        ("line",),
    ),
    "house": ("name! value!", ("name",)),
    "schema_steps": ("step!", ("step",)),
    "places": ("entry#! seq#! tape! lo#! hi#!", ("entry", "seq")),
}
FACTS = {
    "formulations": "formulation! base thickness# back_coated level_nwb_m# binder_watch note",
    "stock_items": "stock_item! formulation! width#! length#! reel_size# core#",
    "machines": "machine! width# tracks# largest_reel# speeds note",
    "reels": (
        "reel! stock_item! tracks#! batch length# owner acquired# arrived_as passes_before# role price# "
        "currency supplier shelf wind note"
    ),
    "owners": "reel! day# at_us# owner! by note tape lo# hi#",
    "zero_marks": "reel! day# at_us# by note tape lo# hi#",
    "lengths": "reel! day# at_us# length#! how by note",
    "sets": "set! reel! day# at_us# by note",
    "passes": "reel! day# at_us# kind! speed# vary# tracks# track_names count# take machine by note tape lo# hi#",
    "splices": "reel! day# at_us# speed# vary# kind state by note tape lo# hi#",
    "edits": "reel! day# at_us# speed# vary# to_reel to_at# by note tape lo# hi#",
    "findings": "reel! day# at_us# kind! severity#! speed# vary# tracks# track_names by note tape lo# hi#",
    "response": "reel! day# at_us# speed# vary# machine track# frequency_hz#! level_db#! tone by note tape lo# hi#",
    "takes": (
        "reel! day# at_us# project title! take! speed#! vary# tracks# track_names state keep machine "
        "noise_reduction equalisation level_nwb_m# by note tape lo# hi#"
    ),
    "decisions": "reel! project title! take! day# at_us# keep! by! note take_entry#!",
    "stripes": "reel! day# at_us# track# start_code rate by note tape lo# hi#",
    "transfers": (
        "transfer! reel! day# at_us# speed#! vary# tracks#! track_names sample_rate_hz#! bit_depth#! by note "
        "tape lo# hi#"
    ),
    "listens": "transfer! day# at_us# by! note",
    "copies": "transfer! copy! medium! place! folder day# at_us# by",
    "copy_files": "transfer! copy! path! bytes# sha256 track#",
    "copy_checks": "transfer! copy! day# at_us# method! result! manifest_sha256 by note",
    "holds": "hold! reel! day# at_us# until# reason! by tape lo# hi#",
    "hold_ends": "hold! day# at_us# by note",
    "releases": "reel! project day# at_us# granted_by! by note tape lo# hi#",
    "wipes": "reel! day# at_us# method! speed# vary# machine second certificate by note tape lo# hi#",
    "retirements": "reel! day# at_us# reason by note tape lo# hi#",
    "moves": "reel! day# at_us# kind! to by note",
    "reservations": "reel! project! day# at_us# until# by note",
    "projects": (
        "project! client from# to# chance# stock_item speed# vary# tracks# titles# length_low# length_likely# "
        "length_high# takes_low# takes_likely# takes_high# false_starts# mode cool_days# days_back# "
        "passes_per_take# client_buys release_needed grade"
    ),
    "quotes": (
        "supplier! stock_item! day# at_us# from_quantity# unit_price#! currency! pricing minimum# case# "
        "order_fee# lead_low# lead_likely# lead_high# valid_until#"
    ),
    "orders": "order! day# at_us# supplier! stock_item! quantity#! unit_price#! currency! expected#",
    "receipts": "order! day# at_us# stock_item! quantity#! first_reel batch by",
    "rules": "rule! value! day# at_us# by! note",
    "voids": "target#! day# at_us# reason! by!",
}
INDEXED = ("tape", "reel")
BY_TRANSFER = ("transfers", "listens", "copies", "copy_files", "copy_checks")


def upgrade(op: Operations) -> None:
    """Make the tables, indexes and triggers in an empty database."""
    for table, (names, key) in OTHERS.items():
        ordered_by_key = {"sqlite_with_rowid": False} if table == "places" else {}
        op.create_table(table, *_columns(names), PrimaryKeyConstraint(*key), sqlite_strict=True, **ordered_by_key)
        _run(op, triggers.append_only(table, *key))
    op.create_index("ix_places_tape", "places", ["tape"])
    for table, names in FACTS.items():
        op.create_table(
            table,
            Column("entry", NUMBER, autoincrement=False, nullable=False),
            Column("line", NUMBER, ForeignKey("journal.line"), nullable=False),
            Column("recorded_us", NUMBER, nullable=False),
            *_columns(names),
            PrimaryKeyConstraint("entry"),
            sqlite_strict=True,
        )
        held = {column.name for column in _columns(names)}
        for name in INDEXED:
            if name in held:
                op.create_index(f"ix_{table}_{name}", table, [name])
        if table in BY_TRANSFER:
            op.create_index(f"ix_{table}_transfer", table, ["transfer"])
        _run(op, triggers.append_only(table, "entry"))
    op.create_index("ix_voids_target", "voids", ["target"], unique=True)
    op.execute(triggers.voided_once())


def _columns(names: str) -> Iterator[Column[int] | Column[str]]:
    for word in names.split():
        name, nullable = word.rstrip("#!"), not word.endswith("!")
        if "#" in word:
            yield Column(name, NUMBER, autoincrement=False, nullable=nullable)
        else:
            yield Column(name, Text, nullable=nullable)


def _run(op: Operations, statements: Iterator[str]) -> None:
    for statement in statements:
        op.execute(statement)
