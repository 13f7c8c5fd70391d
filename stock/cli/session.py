"""`log`: takes written down as they happen, without a screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import click

from stock.cli.commands import Steps, house_command
from stock.cli.printing import complain, say, say_json, table, width, wrapped
from stock.cli.settings import Settings

if TYPE_CHECKING:
    from stock.core.session import OnMachine, Running
    from stock.desk.session.loaded import Loaded
    from stock.desk.session.log import Ended, Started
    from stock.desk.session.next_reel import NextReel


log = Steps(
    "log",
    no_args_is_help=False,
    help="The session log: a take that starts is in the record at once, and still runs when the program is gone.\n\n"
    "What is not said goes on from the take before: project, title, number, tracks with their names, machine, speed.",
)

_AT = "Where, by the machine's counter, `2:10`; or `300 ft`."


@house_command("start", has_json=True)
@click.argument("reel")
@click.option("--at", metavar="PLACE", default="", help=f"{_AT} Else where the tape stands.")
@click.option("--speed", metavar="SPEED", default="", help="`15 ips`, `15 ips +3%`.")
@click.option("--tracks", metavar="TRACKS", default="", help="`1-8,13` or `1 kick; 2 snare`.")
@click.option("--project", metavar="NAME", default="", help="For whom.")
@click.option("--title", metavar="TITLE", default="", help="Its title; it can be named later.")
@click.option("--take", metavar="NUMBER", default="", help="Its number or name; else the next.")
@click.option("--machine", metavar="NAME", default="", help="The machine.")
@click.option("--planned", metavar="TIME", default="", help="How long it is to be, `9:00`.")
@click.option("--yes", is_flag=True, help="What is asked about first is meant: recording over a take, too little tape.")
@click.pass_obj
def start(settings: Settings, /, reel: str, planned: str, yes: bool, **given: str) -> None:
    """Start a take. Exit status 1, and nothing entered, where something must be asked first."""
    from stock.desk.session import log as taking

    with settings.entering(create=False) as desk:
        started = taking.start(desk, reel, planned_us=planned_us(planned), yes=yes, **given)
        on = _on(desk, reel)
    if settings.as_json:
        say_json({**_started_json(started), "start": on.clock_at(started.running.start)})
        return
    for line in _started_lines(started, on):
        say(line)


@house_command("stop", has_json=True)
@click.argument("reel")
@click.option("--at", metavar="PLACE", default="", help=f"{_AT} Else by the clock.")
@click.option("--false-start", is_flag=True, help="It was a false start.")
@click.option("--plays", type=click.IntRange(0, 100_000), default=0, help="How often it was played back.")
@click.option("--title", metavar="TITLE", default="", help="Another title for it.")
@click.option("--take", metavar="NUMBER", default="", help="Another number for it.")
@click.option("--note", metavar="TEXT", default="", help="Anything worth knowing.")
@click.pass_obj
def stop(settings: Settings, /, reel: str, **given: Any) -> None:
    """End the take that runs; its record pass, and its play passes, are entered with it."""
    from stock.desk.session import log as taking

    with settings.entering(create=False) as desk:
        ended = taking.stop(desk, reel, **given)
        on = _on(desk, reel)
    if settings.as_json:
        say_json(_ended_json(ended, on))
        return
    for line in _ended_lines(ended, on):
        say(line)


@house_command("next", has_json=True)
@click.argument("reel")
@click.option("--planned", metavar="TIME", default="", help="How long the next is to be, `9:00`.")
@click.option("--yes", is_flag=True, help="What is asked about first is meant.")
@click.pass_obj
def next_take(settings: Settings, reel: str, planned: str, yes: bool) -> None:
    """End the take that runs and start the next of its title at the same place: the tape rolls on."""
    from stock.desk.errors import DeskError
    from stock.desk.session import log as taking

    with settings.entering(create=False) as desk:
        lasts = planned_us(planned)
        ended = taking.stop(desk, reel)
        on = _on(desk, reel)
        try:
            started = taking.start(desk, reel, planned_us=lasts, yes=yes)
        except DeskError:
            complain(f"{ended.label} ended at {on.clock_at(ended.hi)}: entry {ended.entry}.")
            raise
    if settings.as_json:
        say_json({"ended": _ended_json(ended, on), "started": _started_json(started)})
        return
    for line in (*_ended_lines(ended, on), *_started_lines(started, on)):
        say(line)


@house_command("mark", has_json=True)
@click.argument("reel")
@click.option("--at", metavar="PLACE", default="", help=f"{_AT} Else where the tape is.")
@click.option("--note", metavar="TEXT", default="", help="Why.")
@click.pass_obj
def mark(settings: Settings, reel: str, at: str, note: str) -> None:
    """Mark a place worth finding again."""
    from stock.cli.answers import in_feet
    from stock.desk.session import log as taking

    with settings.entering(create=False) as desk:
        made = taking.mark(desk, reel, note, at)
    if settings.as_json:
        say_json({"reel": reel, "entry": made.entry, "line": made.line, "at": made.words, "at_ft": in_feet(made.at)})
        return
    say(f"Marked {made.words}: entry {made.entry}.")


@house_command("name", has_json=True)
@click.argument("reel")
@click.argument("title")
@click.option("--take", metavar="NUMBER", default="", help="Its number; else the next of that title.")
@click.pass_obj
def name(settings: Settings, reel: str, title: str, take: str) -> None:
    """Give the take that runs, or the newest on the reel, another title."""
    from stock.desk.session import log as taking

    with settings.entering(create=False) as desk:
        entry, label = taking.name(desk, reel, title, take)
    if settings.as_json:
        say_json({"reel": reel, "take": label, "entry": entry})
        return
    say(f"It is {label} now: entry {entry}.")


@house_command("played", has_json=True)
@click.argument("reel")
@click.option("--count", type=click.IntRange(1, 100_000), default=1, help="How often.")
@click.pass_obj
def played(settings: Settings, reel: str, count: int) -> None:
    """Enter play passes over the newest take on the reel."""
    from stock.desk.session import log as taking

    with settings.entering(create=False) as desk:
        entry, label = taking.played(desk, reel, count)
    if settings.as_json:
        say_json({"reel": reel, "take": label, "entry": entry})
        return
    say(f"{label} played {'once' if count == 1 else f'{count} times'}: entry {entry}.")


@house_command("overdubs", has_json=True)
@click.argument("reel")
@click.argument("line")
@click.option("--speed", metavar="SPEED", default="", help="`15 ips`; else as the reel was recorded last.")
@click.option("--machine", metavar="NAME", default="", help="The machine.")
@click.pass_obj
def overdubs(settings: Settings, reel: str, line: str, speed: str, machine: str) -> None:
    """Enter a day's overdubs from one line: `tracks 9,12, about 60 passes, 0:30 to 5:10`."""
    from stock.desk.session import log as taking

    with settings.entering(create=False) as desk:
        entry, read, over = taking.overdubs(desk, reel, line, speed=speed, machine=machine)
    if settings.as_json:
        told = {"tracks": read.tracks, "passes": read.times, "start": read.start, "end": read.end}
        say_json({"reel": reel, "entry": entry, "kind": read.kind, **told, "over": over})
        return
    say(f"{read.times} {read.kind} passes on tracks {read.tracks}, {read.start} to {read.end}: entry {entry}.")
    if over:
        say(f"It made new: {', '.join(over)}. A transfer made before does not hold them.")


@house_command("status", has_json=True)
@click.argument("reels", metavar="[REEL ...]", nargs=-1)
@click.option("--planned", "takes", metavar="TIME[xN]", multiple=True, help="`9:00`, `4:30x3`: do they still fit?")
@click.option("--speed", metavar="SPEED", default="", help="`15 ips`; else as the reel was recorded last.")
@click.option("--tracks", metavar="TRACKS", default="", help="The tracks in use; else as in the take before.")
@click.pass_obj
def status(settings: Settings, reels: tuple[str, ...], takes: tuple[str, ...], speed: str, tracks: str) -> None:
    """What runs, and of the reels named (else those used today) how much tape is left, and what still fits."""
    from stock.desk.picking import Picker, takes_of
    from stock.desk.session.ending import reels_used
    from stock.desk.session.loaded import load
    from stock.desk.session.next_reel import next_reels
    from stock.edge.problems import CellError

    try:
        planned = takes_of(list(takes)) if takes else ()
    except CellError as error:
        raise click.UsageError(f"--planned: {error}") from None
    with settings.asking() as desk:
        now_us = desk.now_us()
        found = [load(desk, reel, speed=speed, tracks=tracks) for reel in reels or reels_used(desk)]
        told = []
        for loaded in found:
            place = _stands(loaded, now_us)
            fits = _outlook(loaded, now_us, planned)
            wanting = [each.take_us for each in fits if not each.fits]
            elsewhere = next_reels(Picker(desk), loaded, wanting) if wanting else []
            told.append((loaded, place, fits, elsewhere))
    if settings.as_json:
        say_json({"reels": [_status_json(*each) for each in told]})
        return
    if not told:
        say("No take runs, and no reel was used today.")
    for each in told:
        for line in _status_lines(*each, width()):
            say(line)


@house_command("todo", has_json=True)
@click.pass_obj
def todo(settings: Settings) -> None:
    """What is still to be done with the reels used today."""
    from stock.desk.session.ending import to_do_list

    with settings.asking() as desk:
        found = to_do_list(desk)
    if settings.as_json:
        say_json({"to_do": [each._asdict() for each in found]})
        return
    if not found:
        say("Nothing is left to do.")
        return
    for line in table(["reel", "to do"], [[each.reel, each.says] for each in found], width()):
        say(line)


for _command in (start, stop, next_take, mark, name, played, overdubs, status, todo):
    log.add_command(_command)


def planned_us(text: str, option: str = "--planned") -> int | None:
    """A playing time typed for an option, microseconds; None for an empty one (UsageError where it is none)."""
    from stock.edge.clock import duration
    from stock.edge.problems import CellError

    if not text.strip():
        return None
    try:
        found = duration(text.strip())
    except CellError as error:
        raise click.UsageError(f"{option}: {error}") from None
    if not found:
        raise click.UsageError(f"{option}: a take without a playing time")
    return found


def _on(desk: Any, reel: str) -> OnMachine:
    from stock.desk.session.loaded import load

    return load(desk, reel).on


def _stands(loaded: Loaded, now_us: int) -> int:
    from stock.core.session import place_of

    return loaded.stands if loaded.running is None else place_of(loaded.running, loaded.on, now_us)


def _outlook(loaded: Loaded, now_us: int, planned: Sequence[int]) -> Any:
    from stock.core.session import outlook

    after = loaded.after_a_take or loaded.running is not None
    return outlook(loaded.on, _stands(loaded, now_us), planned, after_a_take=after)


def _running_json(running: Running, on: OnMachine) -> dict[str, Any]:
    from stock.cli.answers import in_feet
    from stock.edge.clock import spell_instant

    return {
        "take": running.label,
        "entry": running.entry,
        "project": running.project,
        "tracks": running.tracks or None,
        "start": on.clock_at(running.start),
        "start_ft": in_feet(running.start),
        "started": spell_instant(running.started_us),
        "by": running.by,
    }


def _started_json(started: Started) -> dict[str, Any]:
    return {
        "reel": started.running.reel,
        "entry": started.entry,
        "line": started.line,
        "take": started.running.label,
        "warnings": [{"code": each.code, "says": each.says} for each in started.concerns],
    }


def _ended_json(ended: Ended, on: OnMachine) -> dict[str, Any]:
    from stock.cli.answers import in_feet

    return {
        "reel": on.reel,
        "entry": ended.entry,
        "line": ended.line,
        "take": ended.label,
        "start": on.clock_at(ended.lo),
        "end": on.clock_at(ended.hi),
        "start_ft": in_feet(ended.lo),
        "end_ft": in_feet(ended.hi),
        "warnings": list(ended.says),
    }


def _started_lines(started: Started, on: OnMachine) -> Iterator[str]:
    running = started.running
    yield f"{running.label} runs on reel {running.reel} from {on.clock_at(running.start)}: entry {started.entry}."
    for concern in started.concerns:
        yield f"  - {concern.says}"


def _ended_lines(ended: Ended, on: OnMachine) -> Iterator[str]:
    yield (
        f"{ended.label} ended on reel {on.reel}: {on.clock_at(ended.lo)} to {on.clock_at(ended.hi)}, "
        f"entry {ended.entry}."
    )
    for words in ended.says:
        yield f"  - {words}"


def _status_json(loaded: Loaded, place: int, fits: Any, elsewhere: list[NextReel]) -> dict[str, Any]:
    from stock.cli.answers import in_feet
    from stock.core.session import bound, left_us

    on = loaded.on
    return {
        "reel": on.reel,
        "running": None if loaded.running is None else _running_json(loaded.running, on),
        "stands": on.clock_at(place),
        "stands_ft": in_feet(place),
        "left_s": round(left_us(on, place) / 1_000_000, 1),
        "left_to": bound(on, place).label,
        "next": f"{loaded.carried.title}/{loaded.carried.take}",
        "planned": [
            {
                "take_s": each.take_us / 1_000_000,
                "fits": each.fits,
                "left_s": round(each.left_us / 1_000_000, 1),
                "lacks_ft": in_feet(each.lacks),
            }
            for each in fits
        ],
        "next_reels": [each._asdict() for each in elsewhere],
    }


def _status_lines(loaded: Loaded, place: int, fits: Any, elsewhere: list[NextReel], columns: int) -> Iterator[str]:
    from stock.core.session import bound, left_us, outlook_words
    from stock.core.words import clock, speed_words

    on = loaded.on
    runs = f"{loaded.running.label} runs, at" if loaded.running is not None else "no take runs; the tape stands at"
    yield from wrapped(f"{on.reel}: {runs} {on.clock_at(place)}", columns)
    yield f"  {clock(left_us(on, place))} left at {speed_words(on.speed)} to {bound(on, place).label}"
    if place >= on.length:
        yield "  by the clock its tape has run out: say where it ended"
    for each in fits:
        yield f"  {outlook_words(each)}"
    if elsewhere:
        words = ", ".join(f"{each.reel}{' (wipe it first)' if each.wipe else ''}" for each in elsewhere)
        yield from wrapped(f"go to {words}", columns, "  ")
