"""Commands that share the common options, whether these stand before the command's name or after it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

import click

from stock.cli.settings import Settings

Kept = Callable[[click.Context, click.Parameter, Any], None]


class _Named(Protocol):
    def list_commands(self, ctx: click.Context) -> list[str]: ...


def _keep(name: str) -> Kept:
    """A callback that keeps an option's value in the settings, where it was given."""

    def keep(ctx: click.Context, param: click.Parameter, value: Any) -> None:
        if value not in (None, False):
            setattr(ctx.obj, name, value)

    return keep


def _keep_database(ctx: click.Context, param: click.Parameter, value: str | None) -> None:
    if value is None:
        return
    settings: Settings = ctx.obj
    if settings.demo:
        raise click.UsageError("the demo runs on its own copy: it takes no --db", ctx)
    settings.database = value


def _keep_today(ctx: click.Context, param: click.Parameter, value: str | None) -> None:
    if value is None:
        return
    from stock.core.moments import date_of
    from stock.edge.clock import day
    from stock.edge.problems import CellError

    try:
        ctx.obj.today = date_of(day(value.strip()))
    except CellError as error:
        raise click.UsageError(f"--today: {error}", ctx) from None


def common_options() -> list[click.Parameter]:
    """The options every command takes."""
    return [
        click.Option(
            ["--db"],
            metavar="PATH_OR_URL",
            expose_value=False,
            callback=_keep_database,
            help="The house's database; else REELWARD_DB, else the user's data folder.",
        ),
        click.Option(
            ["--as", "acting"],
            metavar="NAME",
            expose_value=False,
            callback=_keep("who"),
            help="Who is acting; else the login name.",
        ),
        click.Option(
            ["--today"],
            metavar="DATE",
            expose_value=False,
            callback=_keep_today,
            help="Answer as of the end of that day (answering commands only).",
        ),
        click.Option(
            ["--json", "as_json"],
            is_flag=True,
            expose_value=False,
            callback=_keep("as_json"),
            help="Answer in JSON, where the command answers.",
        ),
    ]


class HouseCommand(click.Command):
    """A command on a house. dated: it may be asked as of a day. has_json: it can answer in JSON."""

    def __init__(self, *args: Any, dated: bool = False, has_json: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.dated = dated
        self.has_json = has_json
        self.params += common_options()

    def invoke(self, ctx: click.Context) -> Any:
        settings: Settings = ctx.obj
        if settings.today is not None and not self.dated:
            says = (
                "--today is for commands that answer: what is entered is dated by the clock, or by the fact's own date"
            )
            raise click.UsageError(says, ctx)
        if settings.as_json and not self.has_json:
            raise click.UsageError(f"`{self.name}` has no answer in JSON", ctx)
        return super().invoke(ctx)


def house_command(
    name: str, *, dated: bool = False, has_json: bool = False
) -> Callable[[Callable[..., None]], HouseCommand]:
    """Make a function a command; its docstring is the help."""

    def make(function: Callable[..., None]) -> HouseCommand:
        made: HouseCommand = click.command(name, cls=HouseCommand, dated=dated, has_json=has_json)(function)
        return made

    return make


def no_such_command(ctx: click.Context, group: _Named, what: str, name: str) -> click.UsageError:
    """The error of a name that is none, with the nearest there are."""
    from difflib import get_close_matches

    near = get_close_matches(name, group.list_commands(ctx), 3)
    hint = f"; did you mean {' or '.join(near)}?" if near else f"; there are: {', '.join(group.list_commands(ctx))}"
    return click.UsageError(f"there is no {what} `{name}`{hint}", ctx)


class Steps(click.Group):
    """A command of several steps, with the nearest named where one is misspelt."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in self.commands and not args[0].startswith("-"):
            raise no_such_command(ctx, self, "step", args[0])
        return super().resolve_command(ctx, args)
