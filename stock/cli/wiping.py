"""`wipe`: the guarded steps, permit and done, and the certificate between them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stock.cli.answers import in_feet
from stock.cli.asking import LABEL, SECOND, ask_typed, label_read
from stock.cli.commands import Steps, house_command
from stock.cli.printing import USUAL_WIDTH, complain, say, say_json, wrapped
from stock.cli.settings import Settings
from stock.core.cautions import BY_CODE

if TYPE_CHECKING:
    from stock.desk.desk import Desk
    from stock.desk.guard import Seen
    from stock.desk.wiping import Standing


wipe = Steps(
    "wipe",
    no_args_is_help=False,
    help="Erase a reel for reuse, in guarded steps: `permit`, then `done`, then listen and enter what you hear.\n\n"
    "There is no way round a no: a transfer, a discard, a release or an ended hold changes it, with a name on it.",
)


def _warn() -> None:
    for code in ("bulk-eraser", "heavy-reels"):
        for line in wrapped(f"{BY_CODE[code].title}: {BY_CODE[code].says}", USUAL_WIDTH, "Caution. "):
            complain(line)


def _read_now(desk: Desk, shown: Standing) -> Seen:
    """Read a copy of each transfer that was not read lately; gives the state to ask from."""
    from stock.cli.proving import Watch
    from stock.desk.rereading import media_of, read_again

    complain(f"Reading copies through once more, as a wipe asks: {', '.join(shown.unread)}.")
    with Watch() as told:
        proved = read_again(desk, shown.unread, told=told.show, stop=told.stopped)
        if told.stopped():
            raise click.Abort
    for transfer in shown.unread:
        if transfer not in [each.transfer for each in proved]:
            complain(f"No copy of {transfer} can be reached; mount one of: {', '.join(media_of(desk, transfer))}.")
    own = [entry for each in proved if each.receipt is not None for entry in each.receipt.entries]
    return shown.seen._replace(own=frozenset(own))


@house_command("places", has_json=True)
@click.argument("reel")
@click.pass_obj
def places(settings: Settings, reel: str) -> None:
    """Where to play a reel before its wipe, to compare what is heard with the track sheet."""
    from stock.desk.wiping import places_of

    with settings.asking() as desk:
        found = places_of(desk, reel)
    if settings.as_json:
        say_json({"reel": reel, "places": [{"at_ft": in_feet(place.at), "words": place.words} for place in found]})
        return
    for number, place in enumerate(found, 1):
        say(f"{number}. {place.words}")


@house_command("permit", has_json=True)
@click.argument("reel")
@LABEL
@click.option(
    "--heard",
    metavar="TITLE",
    multiple=True,
    help="The title heard at each of `wipe places`, in order (`no title` where none is); asked for at a terminal.",
)
@SECOND
@click.pass_obj
def permit(settings: Settings, reel: str, label: str | None, heard: tuple[str, ...], second: str | None) -> None:
    """Ask for the permit to wipe a reel: the answer is taken anew, and anything but yes refuses.

    The permit is good for today, and for nothing that is entered about the reel after it.
    """
    from stock.desk import wiping
    from stock.desk.guard import is_label_of

    _warn()
    with settings.entering(create=False) as desk:
        shown = wiping.standing(desk, reel)
        if (label is None or not heard) and not sys.stdin.isatty():
            raise click.UsageError(
                "there is no terminal to ask at: give --label, and --heard for each of `wipe places`"
            )
        label = label_read(label)
        if not heard:
            heard = tuple(ask_typed(f"Play it at {place.words}. Which title is there") for place in shown.places)
        seen = shown.seen
        if shown.answer.erasable == "yes" and is_label_of(label, reel) and shown.unread:
            seen = _read_now(desk, shown)
        given = wiping.permit(desk, reel, label=label, heard=heard, second=second, seen=seen)
    if settings.as_json:
        say_json({"reel": reel, "certificate": given.certificate, "line": given.line})
        return
    say(f"Reel {reel} may be wiped today. Certificate {given.certificate}, journal line {given.line}.")
    say(f"When it is erased: reelward wipe done {reel} --method bulk")


@house_command("done", has_json=True)
@click.argument("reel")
@click.option("--method", type=click.Choice(["bulk", "machine"]), required=True, help="How it was erased.")
@click.option("--start", metavar="PLACE", default="", help="Where the machine began; bulk is always the whole reel.")
@click.option("--end", metavar="PLACE", default="", help="Where the machine ended.")
@click.option("--speed", metavar="SPEED", default="", help="The machine's speed, for places given as times.")
@click.option("--machine", metavar="NAME", default="", help="The machine.")
@click.option("--note", metavar="TEXT", default="", help="Anything worth knowing.")
@click.pass_obj
def done(settings: Settings, reel: str, method: str, start: str, end: str, speed: str, machine: str, note: str) -> None:
    """Enter the wipe that today's permit allows; the answer is taken once more."""
    from stock.desk import wiping

    with settings.entering(create=False) as desk:
        receipt = wiping.done(desk, reel, method=method, start=start, end=end, speed=speed, machine=machine, note=note)
    if settings.as_json:
        say_json({"reel": reel, "entry": receipt.entries[0], "line": receipt.line})
        return
    say(f"Reel {reel} is wiped: entry {receipt.entries[0]}, journal line {receipt.line}.")
    say("Erased is not verified silent. Listen to it and enter what you hear:")
    say(f"  reelward add finding --reel {reel} --kind listened --severity 0")


@house_command("certificate", has_json=True)
@click.argument("entry", type=click.IntRange(1))
@click.option("--pdf", metavar="FILE", type=click.Path(path_type=Path), help="Write it as pages to print.")
@click.pass_obj
def certificate(settings: Settings, entry: int, pdf: Path | None) -> None:
    """The certificate of a wipe, by the wipe's entry: what was on the reel, its proof, and the rules in force."""
    from stock.desk.certificates import certificate as find
    from stock.desk.certificates import certificate_lines

    with settings.asking() as desk:
        found = find(desk, entry)
    if found is None:
        complain(f"entry {entry} is no wipe whose certificate stands in this journal")
        click.get_current_context().exit(1)
    if pdf is not None:
        _write_pdf(pdf, found)
    if settings.as_json:
        say_json(found)
    elif pdf is not None:
        say(f"The certificate is written to {pdf}.")
    else:
        for line in certificate_lines(found):
            say(line)


def _write_pdf(path: Path, found: dict[str, Any]) -> None:
    from datetime import datetime

    from stock.desk.certificates import certificate_lines
    from stock.exchange.certificate import certificate_pdf
    from stock.exchange.papers import write_whole

    write_whole(path, certificate_pdf(certificate_lines(found), datetime.fromisoformat(found["at"])))


for _command in (places, permit, done, certificate):
    wipe.add_command(_command)
