"""`demo`: any command on a throw-away copy of the demo house."""

from __future__ import annotations

import tempfile
import time
from dataclasses import replace
from datetime import UTC, date, datetime
from importlib.resources import as_file, files
from pathlib import Path

import click

from stock.cli.main import invoke
from stock.cli.settings import Settings
from stock.core.moments import instant

TODAY = date(2026, 11, 20)
"""The day the demo house is looked at; nothing in it is dated later."""

NOW_US = instant(datetime(2026, 11, 20, 18, 0, tzinfo=UTC))
"""When the demo's clock starts: the evening of that day."""


@click.command(
    "demo",
    context_settings={"ignore_unknown_options": True, "allow_interspersed_args": False},
    short_help="Run a command on a throw-away copy of the demo house.",
)
@click.argument("command", metavar="[COMMAND ...]", nargs=-1, type=click.UNPROCESSED)
@click.pass_obj
def demo(settings: Settings, command: tuple[str, ...]) -> None:
    """Run a command on a throw-away copy of the demo house, such as `reelward demo advise`.

    Answers are given for 2026-11-20 unless --today says otherwise. Without a command the screens open. Whatever is
    entered is gone at the end.
    """
    if settings.demo:
        raise click.UsageError("this is the demo already")
    if settings.database is not None:
        raise click.UsageError("the demo runs on its own copy: it takes no --db")
    began_us = time.monotonic_ns() // 1000

    def now_us() -> int:
        """The demo's clock: it starts on the evening of its day, and goes on from there."""
        return NOW_US + time.monotonic_ns() // 1000 - began_us

    with tempfile.TemporaryDirectory(prefix="reelward-demo-") as folder:
        database = str(Path(folder) / "house.db")
        house = replace(settings, database=database, usual_today=TODAY, now_us=now_us, demo=True)
        _fill(replace(house, who="demo"))
        status = invoke(command, house, "reelward demo")
    click.get_current_context().exit(status)


def _fill(house: Settings) -> None:
    from stock.desk.exchanging import load

    with as_file(files("seed")) as folder, house.entering() as desk:
        loaded = load(desk, folder)
    if loaded.found:
        raise RuntimeError("the demo house does not load")
