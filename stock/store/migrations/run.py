"""Running schema steps: each in one transaction together with the record that it ran."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from alembic.migration import MigrationContext
from alembic.operations import Operations
from sqlalchemy import Connection, Engine

from stock.store.backup import backup, backup_folder
from stock.store.engine import connect_for_writing, open_engine
from stock.store.migrations import step_0001, step_0002

Upgrade = Callable[[Operations], None]

UPGRADES: Mapping[str, Upgrade] = {"0001": step_0001.upgrade, "0002": step_0002.upgrade}
"""What each step does, oldest first."""


def migrate_after_backup(path: Path, now_us: int) -> None:
    """Bring a file to the newest schema, after a backup into its backup folder."""
    backup(path, backup_folder(path), now_us)
    engine = open_engine(path)
    try:
        migrate(engine, UPGRADES)
    finally:
        engine.dispose()


def migrate(engine: Engine, upgrades: Mapping[str, Upgrade]) -> None:
    """Run the steps a file has not been through. A step that fails leaves the file as it was before that step."""
    for step, upgrade in upgrades.items():
        with connect_for_writing(engine) as connection, connection.begin():
            # Looked up under the lock: another process may have run it meanwhile.
            if step not in _done(connection):
                upgrade(Operations(MigrationContext.configure(connection)))
                connection.exec_driver_sql("INSERT INTO schema_steps VALUES (?)", (step,))


def _done(connection: Connection) -> set[str]:
    tables = connection.exec_driver_sql("SELECT 1 FROM sqlite_schema WHERE name = 'schema_steps'")
    if tables.first() is None:
        return set()
    return set(connection.exec_driver_sql("SELECT step FROM schema_steps").scalars())
