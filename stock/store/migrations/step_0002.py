"""Step 0002 makes the table of marks: places worth finding again, made while a take runs."""

from __future__ import annotations

from alembic.operations import Operations
from sqlalchemy import Column, ForeignKey, PrimaryKeyConstraint, Text

from stock.store import triggers
from stock.store.tables import NUMBER


def upgrade(op: Operations) -> None:
    """Make the table with its indexes and triggers."""
    op.create_table(
        "marks",
        Column("entry", NUMBER, autoincrement=False, nullable=False),
        Column("line", NUMBER, ForeignKey("journal.line"), nullable=False),
        Column("recorded_us", NUMBER, nullable=False),
        Column("reel", Text, nullable=False),
        *(Column(name, NUMBER) for name in ("day", "at_us", "speed", "vary")),
        *(Column(name, Text) for name in ("take", "by", "note", "tape")),
        *(Column(name, NUMBER) for name in ("lo", "hi")),
        PrimaryKeyConstraint("entry"),
        sqlite_strict=True,
    )
    for name in ("tape", "reel"):
        op.create_index(f"ix_marks_{name}", "marks", [name])
    for statement in triggers.append_only("marks", "entry"):
        op.execute(statement)
