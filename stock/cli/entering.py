"""`add`: one fact recorded."""

from __future__ import annotations

import click

from stock.cli.asking import guard_options, label_read
from stock.cli.commands import HouseCommand, no_such_command
from stock.cli.printing import USUAL_WIDTH, complain, say, say_json, wrapped
from stock.cli.settings import Settings
from stock.core.cautions import cautions_for
from stock.core.kinds import BY_NAME, Field, Kind


class Facts(click.Group):
    """A command for each kind of fact, made from its fields."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        from stock.desk.desk import GUARDED

        return [name for name in BY_NAME if name not in GUARDED]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        return _command(BY_NAME[cmd_name]) if cmd_name in BY_NAME else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        from stock.desk.desk import GUARDED

        if args[0] in GUARDED:
            raise click.UsageError(f"there is no `add {args[0]}`: {GUARDED[args[0]]}", ctx)
        if args[0] not in BY_NAME and not args[0].startswith("-"):
            raise no_such_command(ctx, self, "kind of fact", args[0])
        return super().resolve_command(ctx, args)


add = Facts(
    "add",
    short_help="Record one fact.",
    no_args_is_help=False,
    help="Record one fact: `reelward add KIND --reel ...`, with an option for each thing to say.\n\nA date left out "
    "is now; `--by` left out is who is acting.",
)


def _command(kind: Kind) -> HouseCommand:
    columns = {f"cell_{field.name}": field.name for field in kind.fields}

    @click.pass_obj
    def enter(settings: Settings, /, label: str | None = None, second: str | None = None, **given: str | None) -> None:
        cells = {columns[name]: text for name, text in given.items() if text is not None}
        _enter(settings, kind, cells, label, second)

    options: list[click.Parameter] = [_option(field) for field in kind.fields]
    if kind.name == "edit":
        options += guard_options()
    return HouseCommand(
        kind.name, params=options, callback=enter, has_json=True, help=f"Record {kind.help}.", short_help=kind.help
    )


def _option(field: Field) -> click.Option:
    said = f"one of {', '.join(field.choices)}" if field.choices else field.help
    if field.choices and field.help:
        said = f"{field.help}: {said}"
    defaults = {"date": "else now", "by": "else who is acting"}
    needed = defaults.get(field.name, "needed" if field.required else "")
    return click.Option(
        [f"--{field.name.replace('_', '-')}", f"cell_{field.name}"],
        metavar=field.cell.upper(),
        help=f"{said} [{needed}]" if needed else said,
    )


def _enter(settings: Settings, kind: Kind, cells: dict[str, str], label: str | None, second: str | None) -> None:
    from stock.desk.desk import throws_away
    from stock.desk.editing import throw_away

    with settings.entering() as desk:
        if throws_away(kind, cells):
            receipt = throw_away(desk, cells, label=label_read(label), second=second)
        else:
            receipt = desk.add(kind.name, cells)
    entry = receipt.entries[0]
    if settings.as_json:
        say_json({"entry": entry, "line": receipt.line})
    else:
        say(f"Entry {entry} ({kind.name}) is recorded, journal line {receipt.line}.")
    for caution in cautions_for(kind.name, cells):
        for line in wrapped(f"{caution.title}: {caution.says}", USUAL_WIDTH, "Caution. "):
            complain(line)
