"""What the common options say, and the house opened as they say it."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stock.desk.desk import Desk


@dataclass
class Settings:
    """The common options of one run.

    database: path or URL, None for the environment's or the usual one. who: who is acting, None for the login name.
    today: the day asked for. usual_today: the day answers are given for where none is asked. now_us: the clock, None
    for this machine's. demo: whether the house is the demo house. in_words: whether what is drawn is told in sentences.
    """

    database: str | None = None
    who: str | None = None
    today: date | None = None
    usual_today: date | None = None
    as_json: bool = False
    now_us: Callable[[], int] | None = None
    demo: bool = False
    in_words: bool = False

    @property
    def target(self) -> str | Path:
        """The path or URL of the house's database."""
        from stock.desk.desk import default_path

        return self.database or os.environ.get("REELWARD_DB") or default_path()

    @property
    def path(self) -> Path:
        """The database's file (UnsupportedUrl where the target is none)."""
        from stock.store.engine import database_path

        return database_path(self.target)

    def clock_us(self) -> int:
        """Microseconds since 1970-01-01 UTC, by the clock in use."""
        from stock.store.store import clock_us

        return (self.now_us or clock_us)()

    def acting(self) -> str:
        """Who is acting; UsageError where nobody can be told or the name cannot be kept."""
        from stock.edge.problems import CellError
        from stock.edge.texts import name

        who = (self.who if self.who is not None else _login_name()).strip()
        if not who:
            raise click.UsageError("nobody is named as acting: give --as NAME")
        try:
            return name(who)
        except CellError as error:
            raise click.UsageError(f"--as: {error}") from None

    @contextmanager
    def asking(self) -> Iterator[Desk]:
        """The house, to answer questions; NoDatabase where there is none."""
        from stock.desk.desk import Desk

        today = self.today or self.usual_today
        desk = Desk.open(self.target, self.who or "", create=False, today=today, now_us=self.clock_us)
        try:
            yield desk
        finally:
            desk.close()

    @contextmanager
    def entering(self, *, create: bool = True) -> Iterator[Desk]:
        """The house, to enter facts; where there is none it is made, or NoDatabase without `create`."""
        from stock.desk.desk import Desk

        desk = Desk.open(self.target, self.acting(), create=create, now_us=self.clock_us)
        try:
            yield desk
        finally:
            desk.close()


def _login_name() -> str:
    import getpass

    try:
        return getpass.getuser()
    except (KeyError, OSError, ImportError):
        return ""
