"""`labels` and `sheet`: labels and track sheets as PDF."""

from __future__ import annotations

from pathlib import Path

import click

from stock.cli.commands import house_command
from stock.cli.printing import say
from stock.cli.settings import Settings

_INTO = click.option(
    "--pdf", "path", metavar="FILE", type=click.Path(path_type=Path), required=True, help="The file to write."
)


@house_command("labels", dated=True)
@click.argument("reels", metavar="REEL ...", nargs=-1, required=True)
@click.option(
    "--pdf", "path", metavar="FILE", type=click.Path(path_type=Path), required=True, help="The file to write."
)
@click.pass_obj
def labels(settings: Settings, reels: tuple[str, ...], path: Path) -> None:
    """Box and reel labels with a QR code of the reel's number, as PDF on A4."""
    from stock.desk.labels import write_labels

    with settings.asking() as desk:
        write_labels(desk, list(dict.fromkeys(reels)), path)
    say(f"Written: {path}")


@house_command("sheet", dated=True)
@click.argument("reel")
@click.option(
    "--pdf", "path", metavar="FILE", type=click.Path(path_type=Path), required=True, help="The file to write."
)
@click.pass_obj
def sheet(settings: Settings, reel: str, path: Path) -> None:
    """The track sheet of a reel, as PDF: takes along the tape, and what is on each track."""
    from stock.desk.labels import write_sheet

    with settings.asking() as desk:
        write_sheet(desk, reel, path)
    say(f"Written: {path}")
