"""`load` and `dump`: exchange folders in and out."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import house_command
from stock.cli.failing import BAD_INPUT
from stock.cli.printing import complain, say, say_json
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.desk.desk import Desk
    from stock.desk.exchanging import Loaded


@house_command("load", has_json=True)
@click.argument("path", metavar="FOLDER_OR_FILE", type=click.Path(path_type=Path))
@click.option("--dry-run", is_flag=True, help="Check all of it and store nothing.")
@click.pass_obj
def load(settings: Settings, path: Path, dry_run: bool) -> None:
    """Load one exchange file, or all files of an exchange folder.

    All of it is checked first. With anything wrong, every fault is told and nothing is stored. What is there already
    is left alone, so that loading a folder twice adds nothing.
    """
    from stock.desk.exchanging import load as load_path

    with _house(settings, dry_run) as desk:
        loaded = load_path(desk, path, dry_run=dry_run)
    if settings.as_json:
        say_json(_answer(loaded, dry_run))
    if loaded.found:
        _tell_faults(loaded)
        click.get_current_context().exit(BAD_INPUT)
    if not settings.as_json:
        for line in _summary(loaded, dry_run):
            say(line)


@contextmanager
def _house(settings: Settings, dry_run: bool) -> Iterator[Desk]:
    """The house to load into; a dry run makes none where there is none, but looks at the rows beside an empty one."""
    if not dry_run or settings.path.exists():
        with settings.entering() as desk:
            yield desk
        return
    with (
        tempfile.TemporaryDirectory(prefix="reelward-") as folder,
        replace(settings, database=f"{folder}/house.db").entering() as desk,
    ):
        yield desk


def _tell_faults(loaded: Loaded) -> None:
    from stock.exchange.report import lines

    complain(f"reelward: nothing was loaded: {loaded.found} thing{'' if loaded.found == 1 else 's'} to mend")
    for line in lines(loaded.problems, loaded.found):
        complain(f"  {line}")
    complain("  Mend the files and load them again.")


def _summary(loaded: Loaded, dry_run: bool) -> Iterator[str]:
    total = sum(loaded.added.values())
    for file, count in sorted(loaded.added.items()):
        yield f"{count:8}  {file}"
    would = "would be loaded; nothing was stored" if dry_run else "loaded"
    line = f", journal line {loaded.line}" if loaded.line is not None else ""
    yield f"{total} facts {would}{line}; {loaded.known} were there already."


def _answer(loaded: Loaded, dry_run: bool) -> dict[str, Any]:
    return {
        "ok": not loaded.found,
        "dry_run": dry_run,
        "added": dict(sorted(loaded.added.items())) if not loaded.found else {},
        "known": loaded.known,
        "line": loaded.line,
        "found": loaded.found,
        "problems": [problem._asdict() for problem in loaded.problems],
    }


@house_command("dump")
@click.argument("folder", metavar="FOLDER", type=click.Path(path_type=Path))
@click.option("--overwrite", is_flag=True, help="Replace the exchange files of a folder that is not empty.")
@click.pass_obj
def dump(settings: Settings, folder: Path, overwrite: bool) -> None:
    """Write everything recorded as an exchange folder, voided entries too; loading it elsewhere gives the same."""
    from stock.desk.exchanging import dump as dump_into

    with settings.asking() as desk:
        written = dump_into(desk, folder, overwrite=overwrite)
    say(f"{len(written)} files written to {folder}.")
