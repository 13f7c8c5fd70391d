"""`bag`: a copy's folder made a bag (RFC 8493), and one that came from elsewhere checked and recorded."""

from __future__ import annotations

from pathlib import Path

import click

from stock.cli.commands import house_command, no_such_command
from stock.cli.printing import complain, say, say_json
from stock.cli.proving import prove
from stock.cli.settings import Settings


class _Acts(click.Group):
    """The acts, with the nearest named where one is misspelt."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in self.commands and not args[0].startswith("-"):
            raise no_such_command(ctx, self, "act", args[0])
        return super().resolve_command(ctx, args)


bag = _Acts(
    "bag",
    no_args_is_help=False,
    help="Bags of audio files (RFC 8493): `write` makes a copy's folder one, `check` takes one from elsewhere.",
)


@house_command("write", has_json=True)
@click.argument("transfer")
@click.argument("folder", type=click.Path(path_type=Path))
@click.pass_obj
def write(settings: Settings, transfer: str, folder: Path) -> None:
    """Make the folder of a copy a bag in its place: its files move into `data`, and manifests are written beside it."""
    from stock.desk.listening import to_hear
    from stock.proof.bag import write_bag

    with settings.asking() as desk:
        to_hear(desk, transfer)
    manifest = write_bag(folder, info={"External-Identifier": transfer})
    if settings.as_json:
        files = [{"path": path, "sha256": sha256} for path, sha256 in sorted(manifest.items())]
        say_json({"transfer": transfer, "folder": str(folder), "files": files})
    else:
        say(f"{folder} is a bag now, of {len(manifest)} files.")


@house_command("check", has_json=True)
@click.argument("transfer")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--medium", metavar="NAME", required=True, help="The disk, card or store the bag is on.")
@click.option("--place", type=click.Choice(["here", "elsewhere"]), required=True, help="In this house or another.")
@click.option("--copy", "copy_name", metavar="NAME", help="The copy's name; else the medium's.")
@click.option("--own-medium", is_flag=True, help="Another medium, though beside another copy: your word.")
@click.pass_context
def check(
    ctx: click.Context, transfer: str, folder: Path, medium: str, place: str, copy_name: str | None, own_medium: bool
) -> None:
    """Check a bag against its manifests and the record, and take its manifest as the hashes of a copy.

    Exit status 1 when it is no bag, not valid, or not what the record says.
    """
    if folder.is_dir() and not (folder / "bagit.txt").is_file():
        complain(f"{folder} is no bag: it has no bagit.txt. `reelward prove` proves plain folders.")
        ctx.exit(1)
    ctx.invoke(
        prove, transfer=transfer, folder=folder, medium=medium, place=place, copy_name=copy_name, tracks=(),
        own_medium=own_medium,
    )  # fmt: skip


for _command in (write, check):
    bag.add_command(_command)
