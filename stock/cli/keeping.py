"""`check`, `backup` and `restore`: the record kept safe."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stock.cli.commands import house_command
from stock.cli.printing import say, say_json
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.desk import Desk
    from stock.store.journal import Line
    from stock.store.verify import Finding

_NOT_CHECKED = frozenset({"not-a-file", "newer-schema", "no-permission", "network-file-system"})
"""Refusals to look at a file at all: nothing is found out about the record."""


@house_command("check", has_json=True)
@click.option(
    "--head", metavar="HASH", help="A journal hash printed earlier, or its beginning: it must still be there."
)
@click.pass_obj
def check(settings: Settings, head: str | None) -> None:
    """Check the database: the engine's own checks, every hash of the journal, every fact, the layout of the reels.

    Exit status 1 when anything is wrong.
    """
    path = settings.path
    findings = _findings(settings, path, head)
    newest = None if findings else _head(path)
    if settings.as_json:
        say_json(
            {
                "database": str(path),
                "sound": not findings,
                "line": newest.line if newest else None,
                "head": newest.sha256 if newest else None,
                "findings": [found._asdict() for found in findings],
            }
        )
    elif newest is not None:
        say(f"{path} is sound: {newest.line} journal lines, head {newest.sha256}")
    else:
        say(f"{path} is not sound:")
        for found in findings:
            say(f"  {found.code}: {found.where}: {found.says}")
        say("Restore a backup (`reelward restore FILE`), or ask whoever keeps the record.")
    if findings:
        click.get_current_context().exit(1)


def _findings(settings: Settings, path: Path, head: str | None) -> list[Finding]:
    from stock.core.layout import LayoutError
    from stock.store.check import check as check_file
    from stock.store.verify import Finding

    findings = check_file(path, head=head)
    if not path.exists() or (findings and findings[0].code in _NOT_CHECKED):
        # Opening it raises the same refusal with its remedy.
        with settings.asking():
            return findings
    if findings:
        return findings
    try:
        with settings.asking() as desk:
            desk.house()
            return [
                Finding("list", f"reel {reel}", "the list of reels says other than the facts") for reel in _stale(desk)
            ]
    except LayoutError as error:
        return [Finding("layout", f"entry {error.entry}", error.says)]


def _stale(desk: Desk) -> list[str]:
    """The reels that the list beside the database, where there is one, has wrong."""
    from stock.desk.shelf import Shelf, shelf_path

    if not shelf_path(desk.store.path).exists():
        return []
    shelf = Shelf(desk)
    try:
        return shelf.differences()
    finally:
        shelf.close()


def _head(path: Path) -> Line | None:
    from stock.store.engine import peek
    from stock.store.reader import Reader

    with closing(peek(path)) as connection:
        return Reader(connection).head()


@house_command("backup")
@click.argument("folder", metavar="[FOLDER]", required=False, type=click.Path(path_type=Path))
@click.pass_obj
def backup(settings: Settings, folder: Path | None) -> None:
    """Copy the database as it is now: into the folder, or into one kept for its backups beside it."""
    with settings.asking() as desk:
        made = desk.backup(folder)
    newest = _head(made)
    say(f"Backup: {made}")
    if newest is not None:
        say(f"It holds {newest.line} journal lines, head {newest.sha256}")


@house_command("restore")
@click.argument("backup_file", metavar="FILE", type=click.Path(path_type=Path))
@click.pass_obj
def restore(settings: Settings, backup_file: Path) -> None:
    """Put a backup in the database's place. It is checked in full first; the database that stood there is kept."""
    from stock.store.backup import restore as put_back

    target = settings.path
    kept = put_back(backup_file.expanduser().resolve(), target, settings.clock_us())
    say(f"{target} is restored from {backup_file}")
    if kept is not None:
        say(f"The database that stood there is kept: {kept}")
